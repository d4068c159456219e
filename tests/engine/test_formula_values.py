"""Formulas worked out: OL and its like, what has no answer, and the doubt of readings."""

from __future__ import annotations

from fractions import Fraction

import pytest

from engine.formula import (
    FormulaError,
    Measured,
    Value,
    evaluate,
    parse,
    shown,
    words_within,
)
from engine.quantity import literal
from engine.reading import Special
from tests.engine.sample_figures import SAMPLES, about, sure


def worked(text: str, **values: Value) -> Value:
    return evaluate(parse(text, SAMPLES), values, SAMPLES)


OL, UNSTEADY, CANT = Special.OL, Special.UNSTEADY, Special.CANT_READ


@pytest.mark.parametrize(
    ("text", "values", "answer"),
    [
        ("min(a, b)", (OL, sure("3 ohm")), sure("3 ohm")),
        ("max(a, b)", (OL, sure("3 ohm")), OL),
        ("min(a, b)", (OL, OL), OL),
        ("min(a, b)", (UNSTEADY, sure("3 ohm")), UNSTEADY),
        ("max(a, b)", (OL, UNSTEADY), OL),
        ("min(a, b)", (CANT, UNSTEADY), CANT),
        ("a plus b", (OL, sure("3 ohm")), OL),
        ("a less b", (OL, sure("3 ohm")), OL),
        ("a plus b", (UNSTEADY, OL), UNSTEADY),
        ("85 % of a", (OL, OL), OL),
        ("loop(a, b)", (OL, sure("3 ohm")), OL),
        ("loop(a, b)", (CANT, sure("3 ohm")), CANT),
        ("leak(24 V, a)", (OL, OL), OL),
        ("low of a", (OL, OL), OL),
    ],
)
def test_what_a_meter_says_instead(text: str, values: tuple[Value, Value], answer: Value) -> None:
    got = worked(text, a=values[0], b=values[1])
    assert got == (
        sure(answer) if isinstance(answer, str) and not isinstance(answer, Special) else answer
    )


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("24 V over (a less a)", "24 V over 0 A"),
        ("3 A less open", "It can't be worked out"),
        ("3 A over open", "It can't be worked out"),
        ("spread(none, none)", "nothing but zeros"),
        ("leak(24 V, dead)", "leak can't be worked out for these values."),
        ("spare of allowed(24 V)", "allowed gives no spare for these values."),
        ("min(empty)", "no reading is there"),
    ],
)
def test_what_cannot_be_worked_out_is_a_sentence(text: str, sentence: str) -> None:
    values: dict[str, Value] = {
        "a": sure("2 A"),
        "open": OL,
        "none": sure("0 V"),
        "dead": sure("0 ohm"),
        "empty": (),
    }
    with pytest.raises(FormulaError) as caught:
        evaluate(parse(text, SAMPLES), values, SAMPLES)
    assert sentence in caught.value.sentence


def test_a_name_without_a_value_yet_is_said_by_name() -> None:
    with pytest.raises(KeyError, match=r"survey\.l12"):
        worked("survey.l12 less 3 V")


# --- doubt ----------------------------------------------------------------------------------------


def test_doubt_is_carried_through_sums_and_quotients() -> None:
    got = worked("a less b", a=about("24 V", "0.5 V"), b=about("4 V", "0.1 V"))
    assert got == about("20 V", "0.6 V")
    got = worked("a over b", a=about("24 V", "1 V"), b=sure("2 A"))
    assert got == about("12 ohm", "0.5 ohm")


def test_a_name_used_twice_does_not_widen() -> None:
    got = worked("a less a plus a", a=about("24 V", "1 V"))
    assert got == about("24 V", "1 V")


def test_doubt_of_a_figure_spans_its_corners() -> None:
    got = worked("spread(a, b)", a=about("200 V", "1 V"), b=about("200 V", "1 V"))
    assert isinstance(got, Measured)
    assert got.quantity == literal("0 %")
    assert [got.low, got.high] == [0, Fraction("0.5")]  # 201 and 199 V: 1 of 200


def test_many_readings_keep_an_exact_least_and_most() -> None:
    legs = {f"r{n}": about(f"{n + 5} ohm", "0.5 ohm") for n in range(8)}
    names = ", ".join(legs)
    least = evaluate(parse(f"min({names})", SAMPLES), legs, SAMPLES)
    assert least == about("5 ohm", "0.5 ohm")
    signs = " less ".join(legs)
    spread = evaluate(parse(signs, SAMPLES), legs, SAMPLES)
    assert isinstance(spread, Measured)
    assert spread.high - spread.quantity.value == 4  # eight times half an ohm


def test_a_divisor_that_may_be_zero_is_not_divided_by() -> None:
    with pytest.raises(FormulaError, match="within the accuracy"):
        worked("24 V over a", a=about("0.1 A", "0.2 A"))
    with pytest.raises(FormulaError, match="within the accuracy"):
        worked("a over (b less c)", a=sure("5 V"), b=about("2 A", "1 A"), c=sure("1.5 A"))


def test_doubt_takes_no_magnitude_through_zero() -> None:
    got = worked("a plus 1 ohm", a=about("0.1 ohm", "0.2 ohm"))
    assert isinstance(got, Measured)
    assert [got.low, got.high] == [1, Fraction("1.3")]
    got = worked("a plus 0 V", a=about("0 V", "0.2 V"))
    assert isinstance(got, Measured)
    assert [got.low, got.high] == [0, Fraction("0.2")]


def test_an_end_that_a_figure_refuses_is_left_out() -> None:
    got = worked("spread(a, a)", a=about("0.1 V", "0.2 V"))
    assert isinstance(got, Measured)
    assert got.low == got.high == 0


def test_words_within_the_doubt() -> None:
    formula = parse("word of spread(a, b)", SAMPLES)
    near: dict[str, Value] = {"a": about("204 V", "1 V"), "b": sure("196 V")}
    far: dict[str, Value] = {"a": about("204 V", "1 V"), "b": sure("204 V")}
    assert words_within(formula, near, SAMPLES) == ("good", "high")
    assert words_within(formula, far, SAMPLES) == ("good",)
    assert evaluate(formula, near, SAMPLES) == "good"
    assert evaluate(parse("even of spread(a, b)", SAMPLES), far, SAMPLES) == "yes"


def test_a_figure_is_told_a_word() -> None:
    amps: dict[str, Value] = {"a": sure("10 A"), "b": sure("9 A"), "kind": "current"}
    assert worked("word of spread(a, b, kind is current)", **amps) == "good"
    assert worked("word of spread(a, b)", **amps) == "high"
    assert worked("word of spread(a, b, kind is voltage)", **amps) == "high"


def test_shown_in_words() -> None:
    values: dict[str, Value] = {"rated": sure("45 uF"), "pairs": (sure("208 V"), OL)}
    assert shown(parse("rated plus 6 %", SAMPLES), values, SAMPLES) == "47.7 uF"
    assert shown(parse("pairs", SAMPLES), values, SAMPLES) == "208 V OL"

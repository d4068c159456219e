"""Markings, doubts, resolution, and what follows from a meter's function."""

from __future__ import annotations

from fractions import Fraction

import pytest

from engine.quantity import Kind, Quantity, literal
from engine.reading import (
    FUNCTION_KIND,
    Asked,
    Function,
    Reading,
    Refused,
    doubt,
    parse,
    parse_marking,
)
from tests.engine.questions import AIR, CAPACITOR, LUG, MARKED_VOLTS, TO_FRAME, VOLTS, F, asked


@pytest.mark.parametrize(
    ("text", "understood"),
    [
        ("208-230", "208 V, 230 V"),
        ("208–230V", "208 V, 230 V"),
        ("208/230 V", "208 V, 230 V"),
        ("208 to 230", "208 V, 230 V"),
        ("230 V - 208 V", "208 V, 230 V"),
        ("460", "460 V"),
        ("can't read", "can't read"),
    ],
)
def test_a_volts_marking(text: str, understood: str) -> None:
    readings = parse_marking(text, MARKED_VOLTS)
    assert ", ".join(reading.words() for reading in readings) == understood


@pytest.mark.parametrize("text", ["208Y/120", "208-230-460", "208 can't read", "OL", "-230", ""])
def test_what_is_no_volts_marking(text: str) -> None:
    with pytest.raises(Refused) as caught:
        parse_marking(text, MARKED_VOLTS)
    assert caught.value.text == text


def test_what_is_out_of_the_ordinary_is_doubted_and_not_refused() -> None:
    question = Asked(
        Kind.VOLTAGE,
        F.VOLTS,
        plausible=(literal("0 V"), literal("700 V")),
        usual=(literal("180 V"), literal("260 V")),
    )
    assert doubt(parse("208", question), question) == ""
    assert doubt(parse("OL", question), question) == ""
    assert doubt(parse("2080", question), question) == (
        "2080 V is outside what can be here, 0 V to 700 V. Is it so?"
    )
    assert doubt(parse("20.8", question), question) == (
        "20.8 V is outside what is usual here, 180 V to 260 V. Is it so?"
    )
    air = Asked(Kind.TEMPERATURE, F.TEMPERATURE, usual=(literal("32 F"), literal("122 F")))
    assert "0 C to 50 C" in doubt(parse("72 C", air), air)


@pytest.mark.parametrize(
    ("text", "question", "resolution"),
    [
        ("208", VOLTS, "1"),
        ("208.0", VOLTS, "1/10"),
        ("2.2 Mohm", TO_FRAME, "100000"),
        ("2200 kohm", TO_FRAME, "1000"),
        ("49.0 uF", CAPACITOR, "1/10"),
        ("12 mV", LUG, "1/1000"),
        ("22 C", AIR, "9/5"),
        ("OL", VOLTS, "0"),
    ],
)
def test_the_last_digit_typed_is_the_resolution(
    text: str, question: Asked, resolution: str
) -> None:
    assert parse(text, question).resolution == Fraction(resolution)


def test_a_reading_without_its_digits_is_still_put_into_words() -> None:
    value = Quantity.of("2200", "kohm")
    reading = Reading(value, None, "")
    assert reading.words() == "2.2 Mohm"
    assert reading.low == reading.high == value.value
    with pytest.raises(ValueError, match="no digits of its own"):
        reading.digits()


def test_what_is_asked_has_one_kind() -> None:
    with pytest.raises(ValueError, match="volts reads voltage"):
        Asked(Kind.RESISTANCE, F.VOLTS)
    with pytest.raises(ValueError, match="uF is not a unit of voltage"):
        Asked(Kind.VOLTAGE, F.VOLTS, unit="uF")


# Common practice, no source: an ohmmeter, an insulation tester and a capacitance meter bring
# their own supply, and a circuit that has one already falsifies or destroys them.
def test_which_functions_are_for_a_dead_circuit() -> None:
    assert {one for one in F if one.is_dead} == {F.OHMS, F.INSULATION, F.CAPACITANCE}
    neither = {F.TEMPERATURE, F.PRESSURE, F.INCHES_OF_WATER}
    assert {one for one in F if one.is_live} == set(F) - neither - {one for one in F if one.is_dead}


@pytest.mark.parametrize("function", F)
def test_every_functions_example_is_understood(function: Function) -> None:
    assert FUNCTION_KIND[function] is function.setting.kind
    reading = parse(function.setting.example, asked(function))
    assert reading.words() == function.setting.example


@pytest.mark.parametrize("kind", Kind)
def test_every_kinds_example_is_understood(kind: Kind) -> None:
    question = Asked(kind)
    assert parse(question.example_of(1), question).quantity

"""Cuts proved to rise over a nameplate box, crossings shown, the rest said to be unproved."""

from __future__ import annotations

import pytest

from engine.bands import read_bands
from engine.formula import (
    AtLeast,
    Between,
    Box,
    FormulaError,
    OneOf,
    UnprovableError,
    bounds,
    parse,
)
from engine.quantity import Kind, literal
from engine.rising import Crossing, NotProved, rises
from tests.engine.sample_figures import SAMPLES


def between(low: str, high: str, marking: bool = False) -> Between:
    return Between(literal(low), literal(high), marking)


def one_of(*values: str) -> OneOf:
    return OneOf(tuple(literal(value) for value in values))


BOX = Box(
    {
        "rated": between("5 uF", "100 uF"),
        "tolerance": between("3 %", "10 %"),
        "wide": between("0 %", "120 %"),
        "rla": between("5 A", "60 A"),
        "big": between("20.5 A", "60 A"),
        "mca": between("10 A", "60 A"),
        "mocp": between("15 A", "60 A"),
        "ohms": between("1 ohm", "5 ohm"),
        "zero": between("0 ohm", "5 ohm"),
        "volts": one_of("208 V", "230 V", "460 V"),
        "marking": OneOf(((literal("208 V"), literal("230 V")), (literal("460 V"),))),
        "range": between("190 V", "500 V", marking=True),
        "refrigerant": OneOf(("R-32", "R-454B")),
    },
    (AtLeast("mocp", "mca"),),
    {"supply": Kind.VOLTAGE, "other": Kind.VOLTAGE, "tried": Kind.COUNT},
)


def verdict(*cuts: str) -> Crossing | NotProved | None:
    bands, misfits = read_bands((*cuts, "otherwise"), SAMPLES)
    assert not misfits
    return rises(bands, BOX, SAMPLES)


@pytest.mark.parametrize(
    "cuts",
    [
        ("up to 5 V", "up to 5.001 V"),
        ("below 5 V", "up to 5 V"),
        ("below rated less tolerance", "up to rated plus tolerance"),
        ("below 85 % of volts", "up to volts", "up to 110 % of volts"),
        ("below mca", "up to mocp"),
        ("below mca", "up to mocp", "up to mocp plus 1 A"),
        ("below supply less 5 V", "up to supply"),
        ("below min(supply, other)", "up to max(supply, other)"),
        ("below min(supply, other) less 1 V", "below min(supply, other)"),
        ("below max(mca, 5 A)", "up to mocp plus 1 A"),
        ("below low of marking less 10 %", "up to high of marking plus 10 %"),
        ("below 90 % of low of range", "up to 110 % of high of range"),
        ("below 90 % of min(range)", "up to max(range)"),
        ("below allowed(supply)", "up to high of allowed(supply)"),
        ("below low of allowed(supply) less 1 V", "up to high of allowed(supply) plus 1 V"),
        ("below allowed(volts)", "up to volts plus 11 %"),
        ("below rla times ohms", "up to rla times ohms plus 1 V"),
        ("below volts over ohms", "up to volts over ohms plus 1 A"),
        ("below 200 V over ohms", "up to 201 V over ohms"),
        ("up to rated less wide", "up to rated plus 121 %"),
        ("below 50 % of big", "below big plus 2 A", "below 110 % of big plus 2 A"),
    ],
)
def test_proved(cuts: tuple[str, ...]) -> None:
    assert verdict(*cuts) is None


@pytest.mark.parametrize(
    ("cuts", "sentence"),
    [
        (
            ("up to 5 V", "up to 5000 mV"),
            "'up to 5 V' ends at 5 V and the next, 'up to 5000 mV', at 5 V: the cuts do not rise.",
        ),
        (
            ("below rated plus tolerance", "up to rated less tolerance"),
            "With rated 5 uF, tolerance 3 %, 'below rated plus tolerance' ends at 5.15 uF and "
            "the next, 'up to rated less tolerance', at 4.85 uF: the cuts do not rise.",
        ),
        (("below mca", "below mocp"), "With mca 15 A, mocp 15 A"),
        (("below rated", "below rated plus wide"), "wide 0 %"),
        (("up to 220 V", "up to volts"), "With volts 208 V"),
        (("up to 110 % of low of marking", "up to high of marking"), "With marking 460 V, "),
        (("below min(rla, 10 A)", "up to max(4 A, 5 A)"), "With rla 60 A"),
        (("below 240 V", "up to allowed(volts)"), "With volts 208 V"),
    ],
)
def test_crossing(cuts: tuple[str, ...], sentence: str) -> None:
    found = verdict(*cuts)
    assert isinstance(found, Crossing)
    assert sentence in found.sentence


def test_bands_that_overlap_only_for_small_motors() -> None:
    # computed with z3 and by hand: half of R, R plus 2, 1.1 R; the last pair crosses below R = 20
    found = verdict("below 50 % of rla", "below rla plus 2 A", "below 110 % of rla")
    assert isinstance(found, Crossing)
    assert (found.lower_at, found.upper_at) == ("7 A", "5.5 A")
    assert found.nameplate == (("rla", "5 A"),)
    assert verdict("below 50 % of big", "below big plus 2 A", "below 110 % of big") is None


@pytest.mark.parametrize(
    ("cuts", "why"),
    [
        (("below supply", "up to other"), "Nothing says between which values"),
        (("below allowed(supply)", "up to supply"), "rests on allowed"),
        (("below high of allowed(supply)", "up to allowed(supply)"), "rests on allowed"),
        (("below allowed(supply)", "up to high of allowed(other)"), "rests on allowed"),
        (("below spread(supply, other)", "up to 2 %"), "rests on spread"),
        (("below 200 V over zero", "up to 201 V over zero"), "can be zero"),
        (("below tried times 2 times", "up to 100 times"), "Nothing says between which values"),
        (("below rated times wide times wide", "up to 2000 uF"), "multiplied by itself"),
    ],
)
def test_not_proved_says_why(cuts: tuple[str, ...], why: str) -> None:
    found = verdict(*cuts)
    assert isinstance(found, NotProved)
    assert why in found.why
    assert found.sentence.startswith(f"That '{cuts[1]}' lies above '{cuts[0]}' is not proved.")


def test_a_crossing_is_said_before_what_is_not_proved() -> None:
    found = verdict("below supply", "up to 300 V", "up to 200 V")
    assert isinstance(found, Crossing)


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("rated less tolerance", "4.5 uF", "97 uF"),
        ("rla times ohms", "5 V", "300 V"),
        ("230 V over ohms", "46 A", "230 A"),
        ("rla less rla", "0 A", "0 A"),
        ("mocp less mca", "0 A", "50 A"),
        ("low of range", "190 V", "500 V"),
        ("high of marking less low of marking", "0 V", "22 V"),
        ("max(rla, 10 A)", "10 A", "60 A"),
        ("-1 times min(rla, 10 A)", "-10 A", "-5 A"),
    ],
)
def test_bounds(text: str, low: str, high: str) -> None:
    assert bounds(parse(text, SAMPLES), BOX, SAMPLES) == (literal(low), literal(high))


def test_bounds_say_when_there_are_none() -> None:
    with pytest.raises(UnprovableError, match="between which values 'supply' lies"):
        bounds(parse("supply", SAMPLES), BOX, SAMPLES)
    with pytest.raises(FormulaError, match="A word has no least"):
        bounds(parse("refrigerant", SAMPLES), BOX, SAMPLES)


def test_too_many_names_is_said_and_not_tried() -> None:
    names = [f"n{at}" for at in range(20)]
    box = Box({name: between("1 A", "2 A") for name in names})
    with pytest.raises(UnprovableError, match="too many nameplate values"):
        bounds(parse(" plus ".join(names), SAMPLES), box, SAMPLES)

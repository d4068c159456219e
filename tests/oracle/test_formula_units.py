"""The table of kinds judged by pint: what comes of an operation has the dimension it must have."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from typing import Any

import pytest

from engine.formula.kinds import How, rule
from engine.quantity import UNITS, Kind, Quantity, base_unit

pint = pytest.importorskip("pint")

REGISTRY: Any = pint.UnitRegistry(non_int_type=Fraction)

ELECTRIC = {
    Kind.VOLTAGE: "volt",
    Kind.CURRENT: "ampere",
    Kind.RESISTANCE: "ohm",
    Kind.POWER: "watt",
    Kind.COUNT: "dimensionless",
}
"""Kinds with their base unit as pint has it; watts and volt-amperes are one dimension."""


def one(kind: Kind) -> Any:
    return REGISTRY.Quantity(Fraction(1), ELECTRIC[kind])


@pytest.mark.parametrize("word", ["times", "over"])
@pytest.mark.parametrize(("left", "right"), list(product(ELECTRIC, repeat=2)))
def test_what_comes_of_it_has_its_dimension(word: str, left: Kind, right: Kind) -> None:
    found = rule(word, left, right)
    answer = one(left) * one(right) if word == "times" else one(left) / one(right)
    if found is None:
        return
    assert answer.check(one(found.kind).dimensionality)
    assert answer.to(ELECTRIC[found.kind]).magnitude == found.scale
    assert found.how is (How.PRODUCT if word == "times" else How.QUOTIENT)


def test_what_is_left_out_is_left_out_on_purpose() -> None:
    """Everything pint could express in these kinds, less what no tree has a use for."""
    left_out = []
    for word, left, right in product(("times", "over"), ELECTRIC, ELECTRIC):
        answer = one(left) * one(right) if word == "times" else one(left) / one(right)
        known = any(answer.check(one(kind).dimensionality) for kind in ELECTRIC)
        if known and rule(word, left, right) is None:
            left_out.append(f"{left} {word} {right}")
    assert left_out == []


DEGREES = {"F": "degF", "C": "degC", "F apart": "delta_degF", "C apart": "delta_degC"}


@pytest.mark.parametrize("word", ["plus", "less"])
@pytest.mark.parametrize(("left", "right"), list(product(DEGREES, repeat=2)))
def test_temperatures_differ_and_shift_as_they_must(word: str, left: str, right: str) -> None:
    kinds = UNITS[left].kind, UNITS[right].kind
    found = rule(word, *kinds)
    a = REGISTRY.Quantity(Fraction(70), DEGREES[left])
    b = REGISTRY.Quantity(Fraction(20), DEGREES[right])
    try:
        expected = a + b if word == "plus" else a - b
    except pint.OffsetUnitCalculusError:
        assert found is None
        return
    if found is None:  # pint works it out, but no difference less a temperature means anything
        assert (word, *kinds) == ("less", Kind.TEMPERATURE_DIFFERENCE, Kind.TEMPERATURE)
        return
    sign = 1 if word == "plus" else -1
    ours = Quantity.of(70, left).value + sign * Quantity.of(20, right).value
    unit = DEGREES[base_unit(found.kind).symbol]
    assert float(ours) == pytest.approx(float(expected.to(unit).magnitude), abs=1e-9)

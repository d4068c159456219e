"""The readings a step still wants, and what each can plausibly be."""

from __future__ import annotations

from engine.formula import Formula, FormulaError, Measured, evaluate
from engine.quantity import Kind, Quantity, degrees_of
from engine.reading import FUNCTION_KIND, Asked, Function
from engine.session.judging import Names, Spot, names_of
from engine.session.known import lookup, spots_of
from engine.session.state import State
from engine.trade.catalogue import FIGURES
from engine.tree import ActHead, Step, WalkTree
from engine.vocabulary import Field


def open_spots(walk: WalkTree, state: State, step: Step) -> tuple[tuple[Spot, Asked], ...]:
    """Return the readings of a step that are still to be taken, each with what it is asked as."""
    wanted = spots_of(walk, state, step)
    still = [spot for spot in wanted if (spot.reading, spot.label) not in state.gathered]
    plausible = _plausible(walk, state, step)
    return tuple((spot, _asked(spot, plausible, walk.degrees)) for spot in still)


def _asked(spot: Spot, plausible: dict[Kind, tuple[Quantity, Quantity]], degrees: str) -> Asked:
    kind = FUNCTION_KIND[spot.function]
    return Asked(
        kind,
        spot.function,
        plausible=plausible.get(kind),
        usual=_USUAL.get(spot.function),
        unit=degrees_of(kind, degrees),
    )


_USUAL = {
    Function.VOLTS: (Quantity.of(0, "V"), Quantity.of(620, "V")),
    Function.LOW_IMPEDANCE_VOLTS: (Quantity.of(0, "V"), Quantity.of(620, "V")),
    Function.CLAMP_AMPS: (Quantity.of(0, "A"), Quantity.of(400, "A")),
    Function.TEMPERATURE: (Quantity.of(-40, "F"), Quantity.of(300, "F")),
}
"""What a rooftop unit can show at all; outside it the reading is asked once more (judgement)."""

_WIDE = 10
"""A capacitor can read this many times above the highest cut and still be one (judgement)."""


def _plausible(walk: WalkTree, state: State, step: Step) -> dict[Kind, tuple[Quantity, Quantity]]:
    """Return by kind what a reading of this step can be, from the cuts it is judged by.

    Only for capacitance: a meter that finds its own range may be showing kilohms on a part that
    failed, so for ohms and millivolts a bare number is always asked about.
    """
    head = step.head
    assert isinstance(head, ActHead)
    names = names_of(step, {}, lookup(walk, state))
    cuts = [cut.at for one in head.judgements if one.bands for cut in one.bands.cuts]
    values = [value for value in (_worked(cut, names) for cut in cuts) if value is not None]
    farads = [value for value in values if value.kind is Kind.CAPACITANCE]
    if not farads:
        return {}
    # A can that reads a hundredth of its rating is open; below that a number means another prefix.
    low = min(value.value for value in farads) / 100
    high = max(value.value for value in farads) * _WIDE
    return {Kind.CAPACITANCE: (Quantity(low, Kind.CAPACITANCE), Quantity(high, Kind.CAPACITANCE))}


def _worked(cut: Formula, names: Names) -> Quantity | None:
    try:
        value = evaluate(cut, names.of(cut), FIGURES)
    except (KeyError, FormulaError):
        return None
    return value.quantity if isinstance(value, Measured) else None


def asked_of_field(field: Field, degrees: str) -> Asked:
    """Return what a nameplate question that is answered by a number wants."""
    assert field.kind is not None
    plausible = (field.low, field.high) if field.low and field.high else None
    unit = unit_of_field(field, degrees)
    return Asked(field.kind, plausible=plausible, usual=field.usual, unit=unit)


def unit_of_field(field: Field, degrees: str) -> str:
    """Return the unit that a bare number takes as an answer; empty where words are the answer."""
    return (degrees_of(field.kind, degrees) if field.kind else "") or field.unit

"""The readings a step still wants, and what each can plausibly be."""

from __future__ import annotations

from engine.formula import FormulaError, Measured, evaluate
from engine.quantity import Kind, Quantity
from engine.reading import FUNCTION_KIND, Asked, Function
from engine.session.judging import Spot, names_of, spots
from engine.session.moving import lookup, phases_of
from engine.session.state import State
from engine.trade.catalogue import FIGURES
from engine.tree import ActHead, Step, WalkTree
from engine.vocabulary import Field


def open_spots(walk: WalkTree, state: State, step: Step) -> tuple[tuple[Spot, Asked], ...]:
    """Return the readings of a step that are still to be taken, each with what it is asked as."""
    wanted = spots(step, walk.vocabulary, phases_of(state), state.words)
    still = [spot for spot in wanted if (spot.reading, spot.label) not in state.gathered]
    plausible = _plausible(walk, state, step)
    return tuple((spot, _asked(spot, plausible)) for spot in still)


def _asked(spot: Spot, plausible: dict[Kind, tuple[Quantity, Quantity]]) -> Asked:
    kind = FUNCTION_KIND[spot.function]
    return Asked(
        kind, spot.function, plausible=plausible.get(kind), usual=_USUAL.get(spot.function)
    )


_USUAL = {
    Function.VOLTS: (Quantity.of(0, "V"), Quantity.of(620, "V")),
    Function.LOW_IMPEDANCE_VOLTS: (Quantity.of(0, "V"), Quantity.of(620, "V")),
    Function.CLAMP_AMPS: (Quantity.of(0, "A"), Quantity.of(400, "A")),
    Function.TEMPERATURE: (Quantity.of(-40, "F"), Quantity.of(300, "F")),
}
"""What a rooftop unit can show at all; outside it the reading is asked once more (judgement)."""

_WIDE = 10
"""A reading can lie this many times above the highest cut and still be one (judgement)."""


def _plausible(walk: WalkTree, state: State, step: Step) -> dict[Kind, tuple[Quantity, Quantity]]:
    """Return by kind what a reading of this step can be, from the cuts it is judged by."""
    head = step.head
    assert isinstance(head, ActHead)
    names = names_of(step, {}, lookup(walk, state))
    spans: dict[Kind, tuple[Quantity, Quantity]] = {}
    for bands in (one.bands for one in head.judgements if one.bands):
        for cut in bands.cuts:
            try:
                value = evaluate(cut.at, names.of(cut.at), FIGURES)
            except (KeyError, FormulaError):
                continue
            if isinstance(value, Measured):
                low, high = _span(value.quantity)
                known = spans.get(value.quantity.kind, (low, high))
                spans[value.quantity.kind] = (
                    min(known[0], low, key=lambda one: one.value),
                    max(known[1], high, key=lambda one: one.value),
                )
    return spans


def _span(cut: Quantity) -> tuple[Quantity, Quantity]:
    # A can that reads a hundredth of its rating is open; below that a number means another prefix.
    least = cut.value / 100 if cut.kind is Kind.CAPACITANCE else cut.value * 0
    return Quantity(least, cut.kind), Quantity(cut.value * _WIDE, cut.kind)


def asked_of_field(field: Field, count: int = 1) -> Asked:
    """Return what a nameplate question that is answered by a number wants."""
    assert field.kind is not None
    plausible = (field.low, field.high) if field.low and field.high else None
    return Asked(field.kind, plausible=plausible, usual=field.usual, unit=field.unit, count=count)

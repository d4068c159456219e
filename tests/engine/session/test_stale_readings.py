"""Readings taken before something was switched on no longer count, also where it tripped."""

from __future__ import annotations

from fractions import Fraction

import pytest

from engine import power
from engine.expansion import expand
from engine.layouts import LAYOUTS
from engine.power import Act, Deed
from engine.quantity import Kind, Quantity
from engine.reading import Function, Reading
from engine.session.freshness import make_stale
from engine.session.state import ReadingKey, State, Took
from engine.tree import WalkTree
from engine.vocabulary import Point, Vocabulary
from tests.engine.written import tree_of

LAYOUT = LAYOUTS["single feed"]
POINTS = {"line": Point("line", "Line", "disconnect box", "feeder")}


def _walk() -> WalkTree:
    tree = tree_of("start: leave\nsteps: {leave: {act: end, end: withdrawn}}\nfindings: {}\n")
    return expand(tree, {}, Vocabulary(POINTS, {}, {}, {}, {}))[0]


def _read_before(deed: Deed, outcome: str) -> bool:
    """Return whether a feeder reading, taken with breaker and disconnect off, is stale after."""
    start = power.begin(LAYOUT)
    for device in ("breaker", "disconnect"):
        off = Deed(Act.SWITCH_OFF, device=device)
        start = power.apply(LAYOUT, start, off, power.pessimistic(Act.SWITCH_OFF))
    key = ReadingKey(Function.OHMS, "line", "ground", "dead", ())
    reading = Reading(Quantity(Fraction(400), Kind.RESISTANCE), None, "400 ohm")
    after = power.apply(LAYOUT, start, deed, outcome)
    state = State(power=after, taken={key: Took(reading, 1)})
    return make_stale(_walk(), LAYOUT, state, start, deed).taken[key].stale


@pytest.mark.parametrize("outcome", ["holds", "trips"])
def test_switched_on_even_for_a_moment(outcome: str) -> None:
    assert _read_before(Deed(Act.SWITCH_ON, device="breaker", mode="for service"), outcome)


def test_what_lies_ahead_of_the_switch_is_not_touched_by_it() -> None:
    assert not _read_before(Deed(Act.SWITCH_ON, device="disconnect", mode="for service"), "holds")

"""The search in a tree of two suspects and two checks, worked out on paper.

Weak capacitor 3 in 10, compressor winding open 1 in 20; something that is not listed 2 in 100 of
both. *capacitor* takes 4 minutes and finds the one, *windings* says no minutes and finds the other:
2 are taken for it. Both are done with the unit dead, which takes 12 by the tree's own procedure:
look over 1, off 1, lock 1, try 1, cover off 2, prove dead 3, discharge 3.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from engine import power
from engine.layouts import LAYOUTS
from engine.loader.library import load
from engine.suspects.access import Access
from engine.suspects.from_tree import OTHER, OTHER_LEAST, Advice, Moment, Said, TreeSearch
from engine.suspects.planning import Method
from engine.tree import WalkTree

FILE = Path(__file__).parents[2] / "data" / "trees" / "hums-and-stops.yaml"
WEAK, OPEN = "weak-capacitor", "compressor-open"
DEAD = "unit dead"
GOOD = Said("capacitor", "good", frozenset({WEAK}))
WHOLE = Said("windings", "whole", frozenset({OPEN}))


@cache
def walk() -> WalkTree:
    found = load(str(FILE), Path("nowhere")).walk
    assert found is not None
    return found


def arrival() -> power.State:
    return power.begin(LAYOUTS[walk().tree.layout])._replace(looked_over=True)


def once_dead() -> power.State:
    there = Access(walk(), {}).change(arrival(), "", DEAD)
    assert there is not None
    assert there.minutes == 12.0
    return there.power


def minutes(advice: Advice) -> dict[str, float]:
    return {one.task.name: one.minutes for one in advice.choices}


def test_expected_minutes_with_the_change_of_access() -> None:
    """Capacitor first: 12 + 4 + 1/7 × 2. Windings first: 12 + 2 + 6/7 × 4."""
    advice = TreeSearch(walk()).next_check(Moment(arrival()))
    assert minutes(advice) == pytest.approx({"capacitor": 16 + 2 / 7, "windings": 14 + 24 / 7})
    assert (advice.next, advice.method) == ("capacitor", Method.EXACT)
    assert advice.instead("windings") == pytest.approx(8 / 7)


def test_once_the_unit_is_dead_the_change_is_not_paid_again() -> None:
    """4 + 1/7 × 2 and 2 + 6/7 × 4; after a good capacitor the 2 of the windings are left."""
    search = TreeSearch(walk())
    advice = search.next_check(Moment(once_dead(), DEAD))
    assert minutes(advice) == pytest.approx({"capacitor": 4 + 2 / 7, "windings": 2 + 24 / 7})
    after = search.next_check(Moment(once_dead(), DEAD, said=(GOOD,)))
    assert minutes(after) == pytest.approx({"windings": 2.0})


def test_what_cannot_be_done_is_planned_without() -> None:
    """Only the windings are left: 12 + 2, and if they are whole nothing more can be done."""
    moment = Moment(arrival(), cannot=frozenset({"capacitor"}))
    assert minutes(TreeSearch(walk()).next_check(moment)) == pytest.approx({"windings": 14.0})


def test_what_is_still_possible() -> None:
    """0.3, 0.05, and 0.02 × 0.35 = 0.007: of 0.357.

    Weak: one of the three answers that find the capacitor, 1/3 each with it; no answer of the
    winding, so 1 of 4 with the others: 0.1, 0.0125, 0.00175, of 0.11425.
    """
    search = TreeSearch(walk())
    before = search.still_possible(Moment(arrival())).remaining
    assert before == pytest.approx({WEAK: 0.3 / 0.357, OPEN: 0.05 / 0.357, OTHER: 0.007 / 0.357})
    weak = Said("capacitor", "weak", points_to=frozenset({WEAK}))
    after = search.still_possible(Moment(arrival(), said=(weak,))).remaining
    parts = {WEAK: 0.1, OPEN: 0.0125, OTHER: 0.00175}
    assert after == pytest.approx({name: one / 0.11425 for name, one in parts.items()})


@pytest.mark.parametrize("times", [3, 30])
def test_what_is_not_listed_never_falls_below_its_least(times: int) -> None:
    """Three times: 0.3 / 27 and 0.05 / 64 share 0.99, since 0.007 / 64 is 0.0091 of all three."""
    weak = Said("capacitor", "weak", points_to=frozenset({WEAK}))
    possible = TreeSearch(walk()).still_possible(Moment(arrival(), said=(weak,) * times))
    assert possible.remaining[OTHER] == pytest.approx(OTHER_LEAST)
    weak_share = 0.3 / 3**times / (0.3 / 3**times + 0.05 / 4**times)
    assert possible.remaining[WEAK] == pytest.approx(0.99 * weak_share)


def test_where_both_are_cleared_the_two_readings_are_named() -> None:
    search = TreeSearch(walk())
    moment = Moment(once_dead(), DEAD, said=(GOOD, WHOLE))
    possible = search.still_possible(moment)
    assert possible.remaining == {WEAK: 0.0, OPEN: 0.0, OTHER: 1.0}
    assert possible.clashes == (("capacitor", "windings"),)
    assert search.next_check(moment).next is None
    assert search.still_possible(Moment(once_dead(), DEAD, said=(GOOD,))).clashes == ()

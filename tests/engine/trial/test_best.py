"""The best order known: never slower than the author's, and quicker where that begins dearly."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import pytest

from engine.tree import WalkTree
from engine.trial.belonging import belongs
from engine.trial.best import best_minutes
from engine.trial.scoring import weights_of
from engine.trial.walked import Walked
from engine.trial.walking import walk_all
from engine.unit.faults import Row
from tests.engine.trial.trees import HIGH_LEG, tree, unit

DEAR = 60.0
"""Minutes that an early check is made to take besides its own."""


@pytest.fixture(scope="module")
def walk() -> WalkTree:
    return tree("blank-thermostat")


def walked(walk: WalkTree) -> Sequence[Walked]:
    of = unit(HIGH_LEG)
    return walk_all(walk, of, [Row((of.faults[name],)) for name in belongs(walk, of)])


def together(walk: WalkTree, minutes: Mapping[str, float]) -> float:
    """Return the mean over the faults, by how often each is the cause."""
    weights = weights_of(walk, unit(HIGH_LEG), tuple(minutes))
    return sum(weights[name] * one for name, one in minutes.items()) / sum(weights.values())


def authored(rows: Sequence[Walked]) -> dict[str, float]:
    return {one.faults[0]: one.minutes for one in rows}


def test_every_fault_has_its_minutes_and_together_they_are_not_more(walk: WalkTree) -> None:
    rows = walked(walk)
    best = best_minutes(walk, unit(HIGH_LEG), rows)
    assert best.keys() == authored(rows).keys()
    assert all(minutes > 0 for minutes in best.values())
    assert together(walk, best) <= together(walk, authored(rows)) + 1e-9


@pytest.mark.parametrize("early", ["story", "r-to-c"])
def test_a_check_that_costs_an_hour_is_not_done_first(walk: WalkTree, early: str) -> None:
    """What all begin with is left for later: those found without it do not pay for it."""
    step = walk.steps[early]
    dear = replace(walk, steps={**walk.steps, early: replace(step, minutes=step.minutes + DEAR)})
    rows = walked(dear)
    best = best_minutes(dear, unit(HIGH_LEG), rows)
    theirs = authored(rows)
    assert together(dear, best) < together(dear, theirs) - 10
    spared = [name for name in best if best[name] <= theirs[name] - DEAR / 2]
    assert spared


def test_faults_that_answer_alike_take_the_same(walk: WalkTree) -> None:
    best = best_minutes(walk, unit(HIGH_LEG), walked(walk))
    assert best["fuse 1 blown"] == best["fuse 2 blown"]

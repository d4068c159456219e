"""Many random trees and states, every protecting step left out, many walks of proved trees."""

from __future__ import annotations

import pytest

from engine.layouts import LAYOUTS, Layout
from engine.tree import Step
from tests.deleted_steps import assert_missed, protecting
from tests.engine.verify.test_deleted_steps import TRIPS
from tests.engine.verify.test_every_walk import slices_agree
from tests.engine.verify.test_slices import closed, complete
from tests.engine.verify.test_walks_of_proved_trees import (
    STOPPING,
    TREES,
    every_rule_proved,
    never_refused,
)
from tests.technician import STEADY

MANY, PARTS = 1_000, 10


@pytest.mark.parametrize("part", range(PARTS))
def test_slices_find_what_the_whole_model_finds(part: int, monkeypatch: pytest.MonkeyPatch) -> None:
    seeds = range(10_000 + part * MANY // PARTS, 10_000 + (part + 1) * MANY // PARTS)
    refuted = sum(slices_agree(seed, monkeypatch) for seed in seeds)
    assert MANY // PARTS // 10 < refuted < MANY // PARTS * 9 // 10


@pytest.mark.parametrize("step", protecting(TRIPS).values(), ids=lambda step: step.name)
def test_a_protecting_step_left_out_is_missed(step: Step) -> None:
    assert_missed(TRIPS, step)


@pytest.mark.parametrize("layout", LAYOUTS.values(), ids=lambda one: one.name)
def test_slices_are_complete_and_closed_on_every_layout(layout: Layout) -> None:
    complete(layout, range(100, 112))
    closed(layout, range(100, 104))


@pytest.mark.parametrize("tree", TREES)
def test_no_walk_of_a_proved_tree_is_refused(tree: str) -> None:
    every_rule_proved(tree)
    never_refused(tree, 1000, 150, STEADY)
    never_refused(tree, 2000, 150, STOPPING)

"""A thousand random trees slice by slice and walk by walk; every protecting step left out."""

from __future__ import annotations

import pytest

from engine.layouts import LAYOUTS, Layout
from engine.tree import Step
from tests.deleted_steps import assert_missed, protecting
from tests.engine.verify.test_deleted_steps import TRIPS
from tests.engine.verify.test_every_walk import slices_agree
from tests.engine.verify.test_slices import closed, complete

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

"""The walk in batches and the walk at the prompt are the same walk, reading by reading."""

from __future__ import annotations

from functools import cache
from random import Random

import pytest

from engine.loader.library import load
from engine.tree import WalkTree
from engine.trial.belonging import belongs
from engine.trial.walking import Walking
from engine.unit.faults import Row
from engine.unit.unit import Unit
from tests.engine.trial.one_by_one import OneByOne
from tests.engine.unit.benches import HIGH, SINGLE, THREE, unit

TREES = ("blank-thermostat", "unit-trips-breaker")
PAIRS = [(tree, name) for tree in TREES for name in (SINGLE, THREE, HIGH)]
SEED = 3


@cache
def tree(name: str) -> WalkTree:
    walk = load(name).walk
    assert walk is not None
    return walk


def drawn(walk: WalkTree, of: Unit, count: int, seed: int) -> list[Row]:
    """Return rows drawn by a seed from what belongs to a tree."""
    random = Random(seed)
    names = belongs(walk, of)
    return [Row((of.faults[random.choice(names)],), random.randrange(200)) for _ in range(count)]


def assert_alike(walk: WalkTree, of: Unit, rows: list[Row], look: list[int]) -> None:
    """Hold that some of the rows, walked among all, are walked the same one by one."""
    walking = Walking(walk, of, rows, SEED)
    together = walking.walked()
    for at in look:
        state = OneByOne(walk, of, rows[at], SEED).walked()
        alone = [(one.step, one.key, one.verdict, one.silent) for one in state.passed]
        assert [tuple(one) for one in together[at].path] == alone, rows[at]
        assert state.end == together[at].end
        for key, took in state.taken.items():
            other = walking.displays.reading(key, at)
            assert took.reading.special == other.special
            if took.reading.quantity and other.quantity:
                value = float(took.reading.quantity.value)
                assert float(other.quantity.value) == pytest.approx(value, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize(("name", "of"), PAIRS)
def test_rows_in_a_batch_walk_as_at_the_prompt(name: str, of: str) -> None:
    walk, simulated = tree(name), unit(of)
    rows = drawn(walk, simulated, 12, 7)
    assert_alike(walk, simulated, rows, [5])

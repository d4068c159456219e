"""Every shipped tree finds every fault of every shipped unit that shows its complaint.

The goals are the project's own: right on the unit as drawn, at most one in a hundred wrong as made,
never a rule of safe work broken. The README's table is what comes of it.
"""

from __future__ import annotations

import pytest

from engine.tree import WalkTree
from engine.unit.unit import Unit
from tests.trials import README, both, row, tabled, tried

LEAST = {"unit-trips-breaker": 12, "blank-thermostat": 8}
"""How many faults of each unit have to belong to a tree."""


@pytest.mark.parametrize(
    ("walk", "unit"),
    list(both()),
    ids=lambda one: one.tree.name if hasattr(one, "tree") else one.name,
)
def test_a_shipped_tree_meets_every_goal(walk: WalkTree, unit: Unit) -> None:
    trial = tried(walk, unit)
    assert trial.missed == ()
    assert len(trial.faults) >= LEAST.get(walk.tree.name, 1)
    assert row(trial) in tabled(README.read_text(encoding="utf-8"))[1]

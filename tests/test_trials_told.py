"""The README's table of trials: every shipped tree on every unit, and as many faults as belong.

What the faults come to takes minutes to try: ``python -m tests.trials --check``.
"""

from __future__ import annotations

from engine.trial.belonging import belongs
from tests.trials import HEAD, README, ROW, both, tabled


def test_the_readme_tells_of_every_tree_on_every_unit() -> None:
    _, table, _ = tabled(README.read_text(encoding="utf-8"))
    assert table.startswith(HEAD)
    told = {(one["tree"], one["unit"]): int(one["faults"]) for one in ROW.finditer(table)}
    there = {(walk.tree.name, unit.name): len(belongs(walk, unit)) for walk, unit in both()}
    assert told == there, "The trees or the units have changed: python -m tests.trials"

"""What the steps of a tree showed with each suspect, counted over a trial's rows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from engine.loader.outcomes import Counts
from engine.tree import WalkTree
from engine.trial.scoring import called
from engine.trial.walked import Walked
from engine.unit.unit import Unit


def shown_by_step(walk: WalkTree, unit: Unit, walked: Iterable[Walked]) -> Counts:
    """Return how often each step showed each verdict with each suspect; rows with one fault only.

    Of a row each step counts once, the first time: what it shows after a repair is no evidence.
    """
    counted: dict[str, dict[str, Counter[str]]] = {}
    for row in walked:
        if len(row.faults) != 1:
            continue
        suspect = called(walk, unit, row.faults[0])
        seen: set[str] = set()
        for one in row.path:
            if not one.silent and one.step not in seen:
                seen.add(one.step)
                by = counted.setdefault(one.step, {})
                by.setdefault(suspect, Counter())[one.verdict] += 1
    return {
        step: {suspect: dict(sorted(one.items())) for suspect, one in sorted(by.items())}
        for step, by in sorted(counted.items())
    }

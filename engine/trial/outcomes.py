"""What the steps of a tree showed with each suspect, counted over a trial's rows."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from engine.loader.outcomes import Counts
from engine.trial.walked import Walked
from engine.unit.unit import Unit


def shown_by_step(unit: Unit, walked: Iterable[Walked]) -> Counts:
    """Return how often each step showed each verdict with each suspect; rows with one fault only.

    Of a row each step counts once, the first time: what it shows after a repair is no evidence.
    """
    counted: dict[str, dict[str, Counter[str]]] = {}
    for row in walked:
        if len(row.faults) != 1:
            continue
        suspect = unit.faults[row.faults[0]].suspect
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

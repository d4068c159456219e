"""Groups of rows on their way: which is next, and which have come to stand alike.

Owns `Group` and `Waiting`. The group that has come by the fewest steps goes on first, so that rows
which parted and came back together are one again before they go on.
"""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heappop, heappush

import numpy as np

from engine.session.state import State
from engine.trial.site import Work
from engine.unit.meter import Rows


@dataclass(slots=True)
class Group:
    """Rows that have answered alike."""

    state: State
    rows: Rows
    work: Work
    owner: int
    """The row whose readings the session's state holds."""
    answers: int = 0

    @property
    def stands(self) -> tuple[object, ...]:
        """What groups that go on alike have in common: everything but what they read."""
        state = self.state
        way = tuple((one.step, one.key, one.verdict, one.silent) for one in state.passed)
        place = (state.step, state.needs, state.close, state.first, state.changing, state.heading)
        plate = (tuple(state.words.items()), tuple(state.numbers.items()), state.end)
        return (way, place, plate, state.bearings, state.found, state.power, self.work)


class Waiting:
    """Groups that have not come to their end."""

    def __init__(self) -> None:
        self._groups: dict[tuple[object, ...], Group] = {}
        self._order: list[tuple[int, int, tuple[object, ...]]] = []
        self._count = 0

    def add(self, group: Group) -> None:
        """Take in a group, or its rows into one that stands where it does."""
        key = group.stands
        other = self._groups.get(key)
        if other is not None:
            other.rows = np.sort(np.concatenate([other.rows, group.rows]))
            other.answers = max(other.answers, group.answers)
            return
        self._groups[key] = group
        self._count += 1
        heappush(self._order, (len(group.state.passed), self._count, key))

    def next(self) -> Group | None:
        """Return the group that has come by the fewest steps; None where none is left."""
        if not self._order:
            return None
        return self._groups.pop(heappop(self._order)[2])

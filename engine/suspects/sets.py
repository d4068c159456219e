"""Finding the cause with readings that are never wrong: a state is a set of suspects, as bits."""

from __future__ import annotations

from collections.abc import Iterator
from math import log2

from engine.matrix import Matrix
from engine.suspects.alike import classes
from engine.suspects.splitting import Part, State, Task

_CHUNK = 8
"""Suspects whose weights are added up beforehand, every set of them."""


class Sets:
    """Sets of suspects, and the checks that part them."""

    quick = True

    def __init__(self, matrix: Matrix, possible: int, *, single: bool = False) -> None:
        """Begin with some suspects; ``single`` also gives states of one, for which work is left."""
        self.tasks = tuple(Task(c.minutes, c.access, c.risk, c.name) for c in matrix.checks)
        self.changes = matrix.changes
        self.start = possible
        whole = sum(matrix.suspects.values())
        self._tables = list(_tables([one / whole for one in matrix.suspects.values()]))
        self._names, self._single = matrix.names, single
        self._masses: dict[State, float] = {}
        self._cuts = list(_cuts(matrix, possible))
        self._cells = {check: cells for check, _, cells in self._cuts}

    def mass(self, state: State) -> float:
        """Return the weight of a set of suspects."""
        known = self._masses.get(state)
        if known is None:
            known, rest = 0.0, state
            for table in self._tables:
                known += table[rest & 255]
                rest >>= _CHUNK
            self._masses[state] = known
        return known

    def left(self, state: State) -> dict[str, float]:
        """Return the suspects of a set with their weights."""
        names = enumerate(self._names)
        return {name: self.mass(1 << at) for at, name in names if state >> at & 1}

    def size(self, state: State) -> int:
        """Return how many suspects a set has."""
        return state.bit_count()

    def parts(self, state: State) -> list[Part]:
        """Return every check with more than one outcome in a set, and the sets it leaves.

        Sets of one are left out: there is nothing more to find. Of checks that part a set in the
        same way and are done in the same place, only the first and cheapest is kept, save at the
        start, where each may be asked about.
        """
        if not state & state - 1:
            return []
        found: list[Part] = []
        seen: set[object] = set()
        for check, access, cells in self._cuts:
            first = state & cells[0]
            if first == state:
                continue
            if len(cells) == 2:
                second = state ^ first
                if not first:
                    continue
                key: object = (access, first if first < second else second)
                inside: tuple[int, ...] = (first, second)
            else:
                inside = tuple([cell for one in cells if (cell := state & one)])
                if len(inside) == 1:
                    continue
                key = (access, *sorted(inside))
            if key not in seen or state == self.start:
                seen.add(key)
                children = inside if self._single else [one for one in inside if one & one - 1]
                found.append(Part(check, tuple(children)))
        return found

    def bits(self, state: State, part: Part) -> float:
        """Return the entropy of a check's outcomes in a set, times its mass."""
        mass = self.mass(state)
        cells = self._cells[part.check]
        parts = (self.mass(inside) for one in cells if (inside := state & one))
        return mass * log2(mass) - sum(one * log2(one) for one in parts if one)

    def closing(self, state: State, *, finished: bool) -> tuple[float, ...] | None:
        """Return nothing to do where no check parts a set any more."""
        return (0.0,) * len(self.changes) if finished else None

    def coarser(self) -> Sets:
        """Return the same search: sets are few enough as they are."""
        return self

    def order(self, states: list[State]) -> list[State]:
        """Return smaller sets first: as numbers, a part is less than the whole."""
        return sorted(states)


def _tables(weights: list[float]) -> Iterator[list[float]]:
    """Yield for each few suspects the weight of every set of them."""
    for at in range(0, len(weights), _CHUNK):
        table = [0.0]
        for weight in weights[at : at + _CHUNK]:
            table += [one + weight for one in table]
        yield table


def _cuts(matrix: Matrix, possible: int) -> Iterator[tuple[int, int, list[int]]]:
    """Yield each check that parts the suspects, the cheapest first, with its cells as bits."""
    order = sorted(
        enumerate(matrix.checks), key=lambda one: (one[1].minutes, one[1].risk, one[1].name)
    )
    for at, check in order:
        cells = classes(next(iter(check.shows[suspect])) for suspect in matrix.names)
        inside = [cell for one in cells if (cell := one & possible)]
        if len(inside) > 1:
            yield at, check.access, inside

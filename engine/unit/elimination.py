"""Gaussian elimination on a fixed pattern, many rows at once.

Owns the one solver. The order is chosen once for a circuit (fewest neighbours first, those that
touch no other of the same round together), so that a solution is a few dozen array operations for
one row and for a thousand. A matrix is kept as its entries off the diagonal and the sum of each
row: the diagonal is never stored and never loses digits, and a stray of 1e-8 S beside a contact of
1e3 S keeps all of its own (the state-reduction algorithm of Grassmann, Taksar and Heyman, 1985,
from memory). Nodes that stand last are left to a dense solution with pivots.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

_FEW = 6
"""Neighbours that a node may have and still go with the next round: fewer rounds for one row, and
hardly an entry more for a thousand."""

Ints = NDArray[np.intp]
Numbers = NDArray[Any]
"""Complex for 60 Hz, real for direct current."""


@dataclass(frozen=True, slots=True)
class Sums:
    """A scatter: several contributions to one target are added before they are kept."""

    order: Ints | None
    """None where no two go to the same."""
    starts: Ints
    targets: Ints

    @classmethod
    def of(cls, targets: Sequence[int]) -> Sums:
        """Return the scatter of contributions that go to ``targets``, in their order."""
        where = np.asarray(targets, dtype=np.intp)
        if np.unique(where).size == where.size:
            return cls(None, where, where)
        order = np.argsort(where, kind="stable")
        unique, starts = np.unique(where[order], return_index=True)
        return cls(order, starts.astype(np.intp), unique)

    def add(self, into: Numbers, contributions: Numbers) -> None:
        """Add contributions [many, …] to the rows of ``into`` they belong to."""
        if self.order is None:
            if self.targets.size:
                into[self.targets] += contributions
        else:
            into[self.targets] += np.add.reduceat(contributions[self.order], self.starts, axis=0)


@dataclass(frozen=True, slots=True)
class Round:
    """Nodes that are eliminated together; neighbours are padded with a node and entry of zeros."""

    pivots: Ints
    out: Ints
    """[pivots, most]: the entry from pivot to neighbour."""
    back: Ints
    """[pivots, most]: the entry from neighbour to pivot."""
    neighbours: Ints
    pivot_of: Ints
    """For every pivot and true neighbour: position in the round, and the entry back."""
    back_of: Ints
    onto: Sums
    """… and the neighbour."""
    left: Ints
    right: Ints
    fill: Sums


class Plan:
    """The order of elimination for one pattern of joined nodes."""

    def __init__(self, size: int, joined: Iterable[tuple[int, int]], last: Sequence[int]) -> None:
        """Choose the order for ``joined`` pairs of nodes; ``last`` are left to the dense part."""
        self.size = size
        self.last = np.asarray(last, dtype=np.intp)
        self._near: list[set[int]] = [set() for _ in range(size)]
        self.entry: dict[tuple[int, int], int] = {}
        for one, other in joined:
            self._join(one, other)
        self._join_all(last)
        self.rounds = tuple(self._eliminated(frozenset(last)))
        self.entries = len(self.entry)

    def _join(self, one: int, other: int) -> None:
        if one != other:
            self._near[one].add(other)
            self._near[other].add(one)
            for pair in ((one, other), (other, one)):
                self.entry.setdefault(pair, len(self.entry))

    def _join_all(self, nodes: Iterable[int]) -> None:
        several = sorted(nodes)
        for at, one in enumerate(several):
            for other in several[at + 1 :]:
                self._join(one, other)

    def _eliminated(self, last: frozenset[int]) -> Iterable[Round]:
        waiting = set(range(self.size)) - last
        found = []
        while waiting:
            chosen = self._apart(waiting)
            around = [sorted(self._near[pivot]) for pivot in chosen]
            for pivot, neighbours in zip(chosen, around, strict=True):
                self._join_all(neighbours)
                for other in neighbours:
                    self._near[other].discard(pivot)
            waiting -= set(chosen)
            found.append((chosen, around))
        # Only now is every entry known, so that the padding can stand behind the last.
        return [self._round(chosen, around) for chosen, around in found]

    def _apart(self, waiting: set[int]) -> list[int]:
        """Return nodes with few neighbours, none beside another."""
        fewest = min(len(self._near[node]) for node in waiting)
        taken: list[int] = []
        beside: set[int] = set()
        for node in sorted(waiting, key=lambda node: (len(self._near[node]), node)):
            if len(self._near[node]) > max(fewest, _FEW):
                break
            if node not in beside:
                taken.append(node)
                beside |= self._near[node]
        return taken

    def _round(self, chosen: list[int], around: list[list[int]]) -> Round:
        most = max(map(len, around), default=0)
        none = len(self.entry)

        def padded(rows: list[list[int]], pad: int) -> Ints:
            full = [row + [pad] * (most - len(row)) for row in rows]
            return np.asarray(full, dtype=np.intp).reshape(len(rows), most)

        each = [(at, p, n) for at, p in enumerate(chosen) for n in around[at]]
        both = [(p, i, j) for at, p in enumerate(chosen) for i in around[at] for j in around[at]]
        both = [(p, i, j) for p, i, j in both if i != j]
        entry = self.entry
        return Round(
            pivots=np.asarray(chosen, dtype=np.intp),
            out=padded(
                [[entry[p, n] for n in a] for p, a in zip(chosen, around, strict=True)], none
            ),
            back=padded(
                [[entry[n, p] for n in a] for p, a in zip(chosen, around, strict=True)], none
            ),
            neighbours=padded(around, self.size),
            pivot_of=np.asarray([at for at, _, _ in each], dtype=np.intp),
            back_of=np.asarray([entry[n, p] for _, p, n in each], dtype=np.intp),
            onto=Sums.of([n for _, _, n in each]),
            left=np.asarray([entry[i, p] for p, i, _ in both], dtype=np.intp),
            right=np.asarray([entry[p, j] for p, _, j in both], dtype=np.intp),
            fill=Sums.of([entry[i, j] for _, i, j in both]),
        )

    @cached_property
    def dense(self) -> Ints:
        """The entries between the last nodes, [last, last]; the diagonal points at the padding."""
        pad = self.entries
        rows = [[self.entry.get((int(i), int(j)), pad) for j in self.last] for i in self.last]
        return np.asarray(rows, dtype=np.intp).reshape(self.last.size, self.last.size)


class Factored:
    """A matrix with all nodes but the last eliminated, for many rows."""

    def __init__(self, plan: Plan, entries: Numbers, sums: Numbers) -> None:
        """``entries`` [entries + 1, rows], ``sums`` [size + 1, rows], the last of each zeros.

        Both are used up. Each node's row sum is what it conducts to the reference.
        """
        self.plan = plan
        self._entries = entries
        self._sums = sums
        self._inverse: list[Numbers] = []
        with np.errstate(all="ignore"):
            for step in plan.rounds:
                self._eliminate(step)

    def _eliminate(self, step: Round) -> None:
        entries, sums = self._entries, self._sums
        inverse = 1 / (sums[step.pivots] - entries[step.out].sum(axis=1))
        self._inverse.append(inverse)
        entries[step.back] *= -inverse[:, None]
        factors = entries[step.back_of]
        step.onto.add(sums, factors * sums[step.pivots][step.pivot_of])
        if step.left.size:
            step.fill.add(entries, entries[step.left] * entries[step.right])

    def dense(self) -> Numbers:
        """Return the matrix of the last nodes, [rows, last, last]."""
        block = self._entries[self.plan.dense]
        at = np.arange(self.plan.last.size)
        block[at, at] = self._sums[self.plan.last] - block.sum(axis=1)
        return np.ascontiguousarray(block.transpose(2, 0, 1))

    def forward(self, right: Numbers) -> Numbers:
        """Eliminate right sides [size + 1, several, rows] in place; return those of the last.

        The answer is [rows, last, several].
        """
        for step in self.plan.rounds:
            factors = self._entries[step.back_of][:, None]
            step.onto.add(right, factors * right[step.pivots][step.pivot_of])
        return np.ascontiguousarray(right[self.plan.last].transpose(2, 0, 1))

    def backward(self, right: Numbers, last: Numbers) -> Numbers:
        """Return all nodes [size + 1, several, rows] from eliminated sides and the last nodes."""
        right[self.plan.last] = last.transpose(1, 2, 0)
        right[self.plan.size] = 0
        for step, inverse in zip(reversed(self.plan.rounds), reversed(self._inverse), strict=True):
            beyond = self._entries[step.out][:, :, None] * right[step.neighbours]
            right[step.pivots] = (right[step.pivots] - beyond.sum(axis=1)) * inverse[:, None]
        return right

"""Finding the cause with readings that may be wrong: a state is which checks have shown what.

Weights follow from the outcomes by Bayes' rule, whatever the order they came in, and a check
that was made is not made again: what made it err is still there.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import inf, log2

from engine.matrix import Check, Matrix, outcomes_of
from engine.suspects.alike import classes
from engine.suspects.splitting import Part, State, Task

SURE = 0.95
"""A suspect that is this likely counts as the cause."""

Weights = tuple[float, ...]


class Odds:
    """What checks have shown, in mixed radix: a digit for each check, 0 where it was not made."""

    def __init__(
        self,
        matrix: Matrix,
        weights: Sequence[float],
        known: Mapping[str, str],
        *,
        least: float = 0.0,
        sure: float = SURE,
    ) -> None:
        """Begin with what some checks have shown already, and weights that follow from it.

        What is less likely to be come to than ``least`` is not looked into; ``sure`` above 1
        goes on whatever is believed.
        """
        self.tasks = tuple(Task(c.minutes, c.access, c.risk, c.name) for c in matrix.checks)
        self.changes = matrix.changes
        self.start = 0
        self._columns = [_columns(check, matrix.names) for check in matrix.checks]
        self._entropies = [_entropies(columns) for columns in self._columns]
        self._classes = [_alike(check, matrix) for check in matrix.checks]
        self._radix = _radixes(self._columns)
        self._names, self._least, self._sure_at = matrix.names, least, sure
        self._open = [at for at, one in enumerate(matrix.checks) if one.name not in known]
        self._after = [list(_still_after(check, matrix, known)) for check in matrix.checks]
        self._finds = [_set_of(check.finds, matrix.names) for check in matrix.checks]
        self._found = 0
        for at, check in enumerate(matrix.checks):
            self._found |= self._finds[at] if check.name in known else 0
        whole = sum(weights)
        self._weights: dict[State, Weights] = {0: tuple(one / whole for one in weights)}
        self._masses: dict[State, float] = {0: 1.0}

    def mass(self, state: State) -> float:
        """Return how likely it is that the checks show what they have shown in a state."""
        return self._masses[state]

    def left(self, state: State) -> dict[str, float]:
        """Return the suspects that are left with their weights."""
        pairs = zip(self._names, self._weights[state], strict=True)
        return {name: weight for name, weight in pairs if weight}

    def size(self, state: State) -> int:
        """Return how many suspects are left."""
        return sum(1 for one in self._weights[state] if one)

    def parts(self, state: State) -> list[Part]:
        """Return every check not yet made that could part the suspects left."""
        weights = self._weights[state]
        if self._sure(state):
            return []
        live = sum(1 << at for at, one in enumerate(weights) if one)
        found = []
        for check in self._open:
            if self._shown(state, check) or not self._may_come(state, check):
                continue
            if all(live & one in (0, live) for one in self._classes[check]):
                continue
            found.append(Part(check, self._children(state, weights, check)))
        return found

    def _shown(self, state: State, check: int) -> int:
        """Return the digit of a check: 0, or its outcome's position and one more."""
        return state // self._radix[check] % (len(self._columns[check]) + 1)

    def _may_come(self, state: State, check: int) -> bool:
        return all(self._shown(state, first) - 1 in those for first, those in self._after[check])

    def _sure(self, state: State) -> bool:
        return max(self._weights[state]) >= self._sure_at * self._masses[state]

    def _children(self, state: State, weights: Weights, check: int) -> tuple[State, ...]:
        children = []
        radix = self._radix[check]
        for outcome, column in enumerate(self._columns[check], 1):
            child = state + outcome * radix
            if child not in self._masses:
                parted = tuple([weight * one for weight, one in zip(weights, column, strict=True)])
                self._masses[child] = sum(parted)
                self._weights[child] = parted
            if self._masses[child] <= self._least:
                continue
            if not self._sure(child) or self._must_find(child):
                children.append(child)
        return tuple(children)

    def bits(self, state: State, part: Part) -> float:
        """Return the information of a check in a state, times its mass."""
        weights, mass = self._weights[state], self._masses[state]
        gained = mass * log2(mass)
        for column in self._columns[part.check]:
            shown = sum([weight * one for weight, one in zip(weights, column, strict=True)])
            gained -= shown * log2(shown) if shown else 0.0
        noise = self._entropies[part.check]
        return gained - sum([weight * one for weight, one in zip(weights, noise, strict=True)])

    def closing(self, state: State, *, finished: bool) -> tuple[float, ...] | None:
        """Return the way to the check that finds the likeliest suspect, where none has yet."""
        if not finished:
            return None
        ways = self._must_find(state)
        if not ways:
            return (0.0,) * len(self.changes)
        mass = self._masses[state]
        return tuple(
            mass * min(row[self.tasks[at].access] + self.tasks[at].minutes for at in ways)
            for row in self.changes
        )

    def _must_find(self, state: State) -> list[int]:
        """Return the checks of which one is still made to find the likeliest suspect."""
        weights = self._weights[state]
        likeliest = 1 << weights.index(max(weights))
        ways = [at for at in self._open if self._finds[at] & likeliest]
        done = self._found & likeliest or any(self._shown(state, at) for at in ways)
        return [] if done else [at for at in ways if self._reached(at)]

    def _reached(self, check: int) -> bool:
        access = self.tasks[check].access
        return any(row[access] < inf for row in self.changes)

    def order(self, states: list[State]) -> list[State]:
        """Return states with more checks made first: as numbers, they are greater."""
        return sorted(states, reverse=True)


def _columns(check: Check, names: Sequence[str]) -> list[Weights]:
    """Return for each outcome how likely it is with each suspect."""
    return [
        tuple(check.shows[name].get(outcome, 0.0) for name in names)
        for outcome in outcomes_of(check)
    ]


def _entropies(columns: Sequence[Weights]) -> Weights:
    return tuple(-sum(one * log2(one) for one in row if one) for row in zip(*columns, strict=True))


def _alike(check: Check, matrix: Matrix) -> list[int]:
    """Return the sets of suspects that a check does not part, as bits."""
    rows = (check.shows[name] for name in matrix.names)
    return classes(frozenset(row if matrix.only_hints else row.items()) for row in rows)


def _set_of(suspects: frozenset[str], names: Sequence[str]) -> int:
    return sum(1 << at for at, name in enumerate(names) if name in suspects)


def _still_after(
    check: Check, matrix: Matrix, known: Mapping[str, str]
) -> Iterator[tuple[int, frozenset[int]]]:
    """Yield what must have been shown before a check, by positions, where it is not known yet."""
    numbers = {one.name: at for at, one in enumerate(matrix.checks)}
    for name, outcomes in check.after:
        if known.get(name) in outcomes:
            continue
        # What showed something else already is never shown again: nothing is enough then.
        open_ = name in numbers and name not in known
        shown = outcomes_of(matrix.check(name)) if open_ else ()
        yield numbers.get(name, 0), frozenset(at for at, one in enumerate(shown) if one in outcomes)


def _radixes(columns: Sequence[Sequence[Weights]]) -> list[int]:
    radixes, radix = [], 1
    for one in columns:
        radixes.append(radix)
        radix *= len(one) + 1
    return radixes

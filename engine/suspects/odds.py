"""Finding the cause with readings that may be wrong: a state is which checks have shown what.

Weights follow from the outcomes by Bayes' rule, whatever the order they came in, and a check
that was made is not made again: what made it err is still there.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from copy import copy
from math import inf, log2
from operator import itemgetter, mul
from typing import NamedTuple

from engine.matrix import Check, Matrix, outcomes_of
from engine.suspects.alike import bits, classes
from engine.suspects.splitting import Part, State, Task

SURE = 0.95
"""A suspect that is this likely counts as the cause."""

COARSE = 5e-3
"""What a rollout does not look into: outcomes less likely than this to be come to."""
LIKELY = 0.5
"""A check is not made while it could find a suspect that would still be less likely than this."""
NEAR = 1e-9
"""Relative difference in likelihood that counts as none: what is worked out is rounded."""
NONE, OUT = -1, -2
"""An outcome finds nothing; it finds a suspect that is out."""

Weights = tuple[float, ...]


class Held(NamedTuple):
    """What is held in a state: the suspects left, as bits, and their weights in order."""

    live: int
    weights: Weights


class View(NamedTuple):
    """A check, as far as it matters to the suspects left."""

    outcomes: tuple[tuple[int, Weights, int, float], ...]
    """What an outcome adds to the state, how likely it is with each of them, which of them it
    finds (by place, -1 for none), and the most bits that it can leave."""
    noise: Weights
    """The entropy of the outcomes with each of them, in bits."""


class Odds:
    """What checks have shown, in mixed radix: a digit for each check, 0 where it was not made."""

    quick = False

    def __init__(
        self,
        matrix: Matrix,
        weights: Sequence[float],
        known: Mapping[str, str],
        *,
        coarse: float = COARSE,
        sure: float = SURE,
    ) -> None:
        """Begin with what some checks have shown already, and weights that follow from it.

        In a rollout what is less likely to be come to than ``coarse`` is not looked into; ``sure``
        above 1 goes on whatever is believed.
        """
        self.tasks = tuple(Task(c.minutes, c.access, c.risk, c.name) for c in matrix.checks)
        self.changes = matrix.changes
        self.start = 0
        self._columns = [_columns(check, matrix.names) for check in matrix.checks]
        self._classes = [_alike(check, matrix) for check in matrix.checks]
        self._radix = _radixes(self._columns)
        self._names, self._sure_at = matrix.names, sure
        self._least, self._coarse = 0.0, coarse
        self._open = [at for at, one in enumerate(matrix.checks) if one.name not in known]
        self._after = [list(_still_after(check, matrix, known)) for check in matrix.checks]
        self._finds = [_finding(check, matrix.names) for check in matrix.checks]
        self._held = {0: _held((1 << len(weights)) - 1, weights, sum(weights))}
        self._from: dict[State, tuple[State, Weights]] = {}
        self._masses: dict[State, float] = {0: 1.0}
        self._bits: dict[tuple[State, int], float] = {}
        self._noise = [_noise(columns) for columns in self._columns]
        self._places: dict[int, tuple[int, ...]] = {}
        """The suspects of a set by position."""
        self._tells: dict[int, list[int]] = {}
        self._views: dict[tuple[int, int], View] = {}

    def _in(self, state: State) -> Held:
        """Return what is held in a state; worked out when it is first asked for."""
        held = self._held.get(state)
        if held is None:
            before, column = self._from[state]
            live, weights = self._in(before)
            held = self._held[state] = _held(live, tuple(map(mul, weights, column)))
        return held

    def mass(self, state: State) -> float:
        """Return how likely it is that the checks show what they have shown in a state."""
        return self._masses[state]

    def left(self, state: State) -> dict[str, float]:
        """Return the suspects that are left with their weights."""
        live, weights = self._in(state)
        return {self._names[at]: one for at, one in zip(bits(live), weights, strict=True)}

    def size(self, state: State) -> int:
        """Return how many suspects are left."""
        return self._in(state).live.bit_count()

    def parts(self, state: State) -> list[Part]:
        """Return every check not yet made that could part the suspects left."""
        held = self._in(state)
        found = [] if self._sure(state, held) else list(self._parting(state, held))
        if not any(self.tasks[part.check].minutes < inf for part in found):
            # The one that is left is found by the check that its finding rests on.
            found += [Part(check, ()) for check in self._must_find(state)]
        return found

    def _parting(self, state: State, held: Held) -> Iterator[Part]:
        live = held.live
        for check in self._telling(live):
            if self._shown(state, check) or not self._may_come(state, check):
                continue
            view = self._views.get((check, live))
            if view is None:
                view = self._views[check, live] = self._seen(check, live)
            part = self._part(state, held.weights, check, view)
            if part:
                yield part

    def _telling(self, live: int) -> list[int]:
        """Return the open checks that part some suspects; worked out once for each set of them."""
        telling = self._tells.get(live)
        if telling is None:
            telling = self._tells[live] = [
                check
                for check in self._open
                if any(live & one not in (0, live) for one in self._classes[check])
            ]
        return telling

    def _seen(self, check: int, live: int) -> View:
        places = self._places.get(live)
        if places is None:
            places = self._places[live] = tuple(bits(live))
        columns = [_at(places, one) for one in self._columns[check]]
        outcomes = []
        for number, column in enumerate(columns, 1):
            if any(column):
                found = self._finds[check].get(number - 1, NONE)
                most = log2(len(column) - column.count(0.0))
                finds = places.index(found) if found in places else NONE
                if found != NONE and finds == NONE:
                    finds = OUT
                outcomes.append((number * self._radix[check], column, finds, most))
        return View(tuple(outcomes), _at(places, self._noise[check]))

    def _shown(self, state: State, check: int) -> int:
        """Return the digit of a check: 0, or its outcome's position and one more."""
        return state // self._radix[check] % (len(self._columns[check]) + 1)

    def _may_come(self, state: State, check: int) -> bool:
        after = self._after[check]
        return not after or all(self._shown(state, first) - 1 in those for first, those in after)

    def _sure(self, state: State, held: Held) -> bool:
        return max(held.weights) >= self._sure_at * self._masses[state] * (1 - NEAR)

    def _part(self, state: State, weights: Weights, check: int, view: View) -> Part | None:
        """Return what a check makes of a state; None where it would find what is not likely yet."""
        children, cut = [], 0.0
        mass = self._masses[state]
        gained = mass * log2(mass) - sum(map(mul, weights, view.noise))
        for more, column, finds, most in view.outcomes:
            shown = sum(map(mul, weights, column))
            gained -= shown * log2(shown) if shown else 0.0
            if finds != NONE:
                likely = weights[finds] * column[finds] if finds != OUT else 0.0
                if likely < LIKELY * shown:
                    return None
            elif shown > self._least:
                child = state + more
                children.append(child)
                if child not in self._masses:
                    self._masses[child] = shown
                    self._from[child] = state, column
            else:
                cut += shown * most
        self._bits[state, check] = gained
        return Part(check, tuple(children), cut)

    def bits(self, state: State, part: Part) -> float:
        """Return the information of a check in a state, times its mass."""
        return self._bits.get((state, part.check), 0.0)

    def closing(self, state: State, *, finished: bool) -> tuple[float, ...] | None:
        """Return nothing to do where no check parts the suspects left and none has to find one."""
        return (0.0,) * len(self.changes) if finished else None

    def _must_find(self, state: State) -> list[int]:
        """Return the checks of which one is still made to find the likeliest suspect."""
        live, weights = self._in(state)
        likeliest = list(bits(live))[weights.index(max(weights))]
        return [
            at
            for at in self._open
            if likeliest in self._finds[at].values()
            and not self._shown(state, at)
            and self._may_come(state, at)
        ]

    def coarser(self) -> Odds:
        """Return the same search with what is most unlikely not looked into."""
        other = copy(self)
        other._least = self._coarse
        return other

    def order(self, states: list[State]) -> list[State]:
        """Return states with more checks made first: as numbers, they are greater."""
        return sorted(states, reverse=True)


def _at(places: tuple[int, ...], row: Weights) -> Weights:
    """Return a row at some places; picked one by one it would take three times as long."""
    return itemgetter(*places)(row) if len(places) > 1 else (row[places[0]],)


def _columns(check: Check, names: Sequence[str]) -> list[Weights]:
    """Return for each outcome how likely it is with each suspect."""
    return [
        tuple(check.shows[name].get(outcome, 0.0) for name in names)
        for outcome in outcomes_of(check)
    ]


def _noise(columns: Sequence[Weights]) -> Weights:
    """Return the entropy of a check's outcomes with each suspect, in bits."""
    rows = zip(*columns, strict=True)
    return tuple(-sum(one * log2(one) for one in row if one) for row in rows)


def _held(live: int, weights: Sequence[float], whole: float = 1.0) -> Held:
    """Return what is held where some of the suspects, with weights in order, may be out."""
    places = [at for at, one in zip(bits(live), weights, strict=True) if one]
    return Held(sum(1 << at for at in places), tuple(one / whole for one in weights if one))


def _alike(check: Check, matrix: Matrix) -> list[int]:
    """Return the sets of suspects that a check does not part, as bits."""
    rows = (check.shows[name] for name in matrix.names)
    return classes(frozenset(row if matrix.only_hints else row.items()) for row in rows)


def _finding(check: Check, names: Sequence[str]) -> dict[int, int]:
    """Return outcome → the suspect that it finds, by positions."""
    words = outcomes_of(check)
    return {
        words.index(word): names.index(suspect)
        for word, suspect in check.finds.items()
        if word in words and suspect in names
    }


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

"""The fewest minutes to the cause: exactly, or by rollout on a greedy policy.

Bellman's recursion over states and accesses. With J the minutes still to be expected times the
state's mass, and a the access now,

    J(state, a) = min over checks of  mass × (change from a + minutes) + sum of J(child, access)

and what is done in a place costs the change of access to it only if the work is elsewhere. What
follows a check does not hang on where it was made from, so that several accesses cost little more
than one. While the reachable (state, access) pairs are few enough this is worked out for all of
them. Beyond, each check is valued by going on greedily after it, and that is done again at every
state on the way (rollout: Bertsekas, Tsitsiklis and Wu 1997, from memory); it is never worse than
the greedy policy, which takes the most information for a minute. Where every way comes somewhere
to a place from which no way leads on, what is left open there costs the price of its bits.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from functools import lru_cache, partial
from math import inf, log2
from operator import add

from engine.suspects.splitting import Part, Splitting, State, Task

MOST_STATES = 20_000
"""Reachable (state, access) pairs up to which everything is worked out exactly."""
NEAR = 1e-9
"""Relative difference in minutes that counts as none."""
TRIED = 4_000
"""A rollout tries this divided by checks × suspects; of more checks, those that look best."""
FEW = 1_000
"""Checks × suspects up to which a rollout looks ahead at every state, not only at the first."""


class Method(StrEnum):
    """How the next check was chosen."""

    EXACT = "exact"
    ROLLOUT = "rollout"


@dataclass(frozen=True, slots=True)
class Choice:
    """A check that may come next, and what it leads to."""

    task: Task
    minutes: float
    """Expected minutes to finish if it is the next one, with the change of access to it."""
    first: float
    """The minutes of the check itself, with the change of access to it."""


@dataclass(frozen=True, slots=True)
class Plan:
    """Every check that may come next, the best first."""

    choices: tuple[Choice, ...]
    method: Method
    stop: float = inf
    """Expected minutes where no further check is made; infinite where the work may not stop."""

    @property
    def best(self) -> Choice | None:
        """The check to do next; None where the work is finished or stopping is no dearer."""
        best = self.choices[0] if self.choices else None
        return best if best and best.minutes < self.stop * (1 - NEAR) else None

    @property
    def minutes(self) -> float:
        """Expected minutes to finish."""
        return min([self.stop, *(choice.minutes for choice in self.choices[:1])])


def plan(
    problem: Splitting,
    access: int = 0,
    permitted: frozenset[int] | None = None,
    most_states: int = MOST_STATES,
) -> Plan:
    """Return what the next check may be, from an access, among the permitted ones.

    ``permitted`` are checks by their position in the matrix; None for all of them. A check of
    infinite minutes is never made, neither now nor later: where nothing else parts what is left,
    the work is as finished as it can be. With ``most_states`` 0 rollout is forced.
    """
    start = problem.start
    found = _reachable(problem, access, most_states)
    value: _Exact | _Rollout = _Exact(problem, found) if found else _Rollout(problem.coarser())
    method = Method.EXACT if found else Method.ROLLOUT
    choices = _choices(problem, value, access, permitted)
    if not choices and value.worth_trying(start, access, permitted):
        # Whatever comes first, somewhere no way leads on: the way on which least is left open.
        value = _Rollout(problem.coarser(), open_ends=True)
        choices = _choices(problem, value, access, permitted)
        method = Method.ROLLOUT if choices else method
    closing = problem.closing(start, finished=not problem.parts(start))
    stop = closing[access] / problem.mass(start) if closing else inf
    return Plan(tuple(_in_order(choices)), method, stop)


def _choices(
    problem: Splitting, value: _Exact | _Rollout, access: int, permitted: frozenset[int] | None
) -> list[Choice]:
    """Return what may come next with what it leads to; nothing that leads to no end."""
    start = problem.start
    mass = problem.mass(start)
    choices = [
        _choice(problem, access, part, value.after(start, access, part) / mass)
        for part in value.worth_trying(start, access, permitted)
    ]
    return [choice for choice in choices if choice.minutes < inf]


def _choice(problem: Splitting, access: int, part: Part, after: float) -> Choice:
    task = problem.tasks[part.check]
    first = task.minutes + problem.changes[access][task.access]
    return Choice(task, first + after, first)


def _in_order(choices: list[Choice]) -> Iterator[Choice]:
    """Yield choices, the fewest minutes first; of equals the cheaper, then the safer, by name."""
    left = sorted(choices, key=lambda one: one.minutes)
    while left:
        least = left[0].minutes
        equal = [one for one in left if one.minutes <= least * (1 + NEAR) + NEAR]
        del left[: len(equal)]
        yield from sorted(
            equal, key=lambda one: (round(one.first, 9), one.task.risk, one.task.name)
        )


def _of(parts: list[Part], permitted: frozenset[int] | None) -> list[Part]:
    return parts if permitted is None else [part for part in parts if part.check in permitted]


def _can_be_done(problem: Splitting, state: State) -> list[Part]:
    """Return the checks that part a state, without those that take for ever."""
    return [part for part in problem.parts(state) if problem.tasks[part.check].minutes < inf]


def _price(problem: Splitting) -> float:
    """Return the minutes for a bit at the start, of the check that is cheapest by that measure.

    It is put down for the bits that outcomes leave which are too unlikely to be looked into.
    """
    start = problem.start
    rates = [
        problem.tasks[part.check].minutes * problem.mass(start) / bits
        for part in problem.parts(start)
        if (bits := problem.bits(start, part)) > 0.0
    ]
    return min(rates, default=0.0)


def _bits_left(problem: Splitting, state: State) -> float:
    """Return the entropy of the suspects left in a state, times its mass."""
    mass = problem.mass(state)
    weights = problem.left(state).values()
    return mass * log2(mass) - sum(one * log2(one) for one in weights if one)


# --- exactly --------------------------------------------------------------------------------------


@dataclass(slots=True)
class _Found:
    """The states that can be come to, and where the work can be when it comes to them."""

    parts: dict[State, list[Part]] = field(default_factory=dict)
    entered: dict[State, int] = field(default_factory=dict)
    """The accesses in which each can be come to, as bits."""


def _reachable(problem: Splitting, access: int, most: int) -> _Found | None:
    """Return every state that can be come to; None where there are more than ``most``."""
    found = _Found(entered={problem.start: 1 << access})
    waiting = deque([problem.start])  # widest states first: too many are soon known to be so
    count = 1
    while waiting and count <= most:
        state = waiting.popleft()
        parts = found.parts[state] = _can_be_done(problem, state)
        for part in parts:
            bit = 1 << problem.tasks[part.check].access
            for child in part.children:
                seen = found.entered.get(child)
                if seen is None:
                    waiting.append(child)
                    seen = 0
                if not seen & bit:
                    count += 1
                    found.entered[child] = seen | bit
    return found if count <= most else None


class _Exact:
    """The value of every state that can be come to."""

    def __init__(self, problem: Splitting, found: _Found) -> None:
        self._problem = problem
        self._price = _price(problem)
        self._found = found
        self._values: dict[State, tuple[float, ...]] = {}
        for state in problem.order([one for one in found.parts if one != problem.start]):
            self._values[state] = self._value(state)

    def worth_trying(
        self, state: State, access: int, permitted: frozenset[int] | None = None
    ) -> list[Part]:
        """Return every check that parts a state, of those permitted."""
        return _of(self._found.parts[state], permitted)

    def after(self, state: State, access: int, part: Part) -> float:
        """Return the value of what a check leads to, made from an access."""
        there = self._problem.tasks[part.check].access
        value = sum(self._values[child][there] for child in part.children)
        return value + part.cut * self._price

    def _value(self, state: State) -> tuple[float, ...]:
        """Return the value of a state for each access; infinity where it is never come to."""
        tasks, values = self._problem.tasks, self._values
        mass = self._problem.mass(state)
        best = [inf] * len(self._problem.changes)
        for part in self._found.parts[state]:
            minutes, access, _, _ = tasks[part.check]
            value = minutes * mass
            for child in part.children:
                value += values[child][access]
            if part.cut:
                value += part.cut * self._price
            if value < best[access]:
                best[access] = value
        closing = self._problem.closing(state, finished=not self._found.parts[state])
        return _over_changes(self._problem.changes, mass, best, closing)


def _over_changes(
    changes: Sequence[Sequence[float]],
    mass: float,
    best: list[float],
    closing: tuple[float, ...] | None,
) -> tuple[float, ...]:
    """Return the least value from each access, with the change to where each check is made."""
    if len(best) == 1:
        least = best[0] + changes[0][0] * mass
        return (min(least, closing[0]) if closing else least,)
    minutes = [one / mass for one in best]
    values = [mass * min(map(add, row, minutes)) for row in changes]
    return tuple(map(min, values, closing)) if closing else tuple(values)


# --- by rollout -----------------------------------------------------------------------------------


class _Rollout:
    """Values by following the greedy policy, with one look ahead at every state on the way."""

    def __init__(self, problem: Splitting, *, open_ends: bool = False) -> None:
        """Begin; with ``open_ends`` what cannot be parted any more costs the price of its bits."""
        self._problem = problem
        self._price = _price(problem)
        self._open_ends = open_ends
        self._greedy: dict[tuple[State, int], float] = {}
        self._ahead: dict[tuple[State, int], float] = {}
        self._parts = lru_cache(maxsize=None)(partial(_can_be_done, problem))
        self._deep = problem.quick and len(problem.tasks) * problem.size(problem.start) <= FEW

    def worth_trying(
        self, state: State, access: int, permitted: frozenset[int] | None = None
    ) -> list[Part]:
        """Return the permitted checks that part a state; of very many those that look best."""
        parts = _of(self._parts(state), permitted)
        most = max(8, TRIED // max(1, len(self._problem.tasks) * self._problem.size(state)))
        if len(parts) <= most:
            return parts
        return sorted(parts, key=lambda part: -self._rate(state, access, part))[:most]

    def after(self, state: State, access: int, part: Part) -> float:
        """Return the value of what a check leads to, made from an access."""
        there = self._problem.tasks[part.check].access
        go_on = self._look_ahead if self._deep else self._go_greedily
        value = sum(go_on(child, there) for child in part.children)
        return value + part.cut * self._price

    def _rate(self, state: State, access: int, part: Part) -> float:
        """Return the information of a check for a minute."""
        task = self._problem.tasks[part.check]
        minutes = task.minutes + self._problem.changes[access][task.access]
        bits = self._problem.bits(state, part)
        return bits / minutes if minutes else inf

    def _look_ahead(self, state: State, access: int) -> float:
        """Return the value of rollout from a state."""
        key = state, access
        if key not in self._ahead:
            best = min(
                self.worth_trying(state, access),
                key=lambda part: self._first(state, access, part) + self._then(state, access, part),
                default=None,
            )
            value = inf
            if best is not None:
                value = self._first(state, access, best) + self.after(state, access, best)
            self._ahead[key] = self._or_stop(state, access, value, finished=best is None)
        return self._ahead[key]

    def _first(self, state: State, access: int, part: Part) -> float:
        task = self._problem.tasks[part.check]
        minutes = task.minutes + self._problem.changes[access][task.access]
        return minutes * self._problem.mass(state)

    def _then(self, state: State, access: int, part: Part) -> float:
        there = self._problem.tasks[part.check].access
        value = sum(self._go_greedily(child, there) for child in part.children)
        return value + part.cut * self._price

    def _go_greedily(self, state: State, access: int) -> float:
        """Return the value of the greedy policy from a state."""
        key = state, access
        if key not in self._greedy:
            parts = self._parts(state)
            value = inf
            if parts:
                best = max(parts, key=lambda part: self._rate(state, access, part))
                value = self._first(state, access, best) + self._then(state, access, best)
            self._greedy[key] = self._or_stop(state, access, value, finished=not parts)
        return self._greedy[key]

    def _or_stop(self, state: State, access: int, value: float, *, finished: bool) -> float:
        closing = self._problem.closing(state, finished=finished)
        if closing:
            return min(value, closing[access])
        if value == inf and self._open_ends:
            return self._price * _bits_left(self._problem, state)
        return value

"""The shortest walk to what stands against a step, in one slice, found from its end.

The search goes back from the step towards the start, nearest first, over places and power states
that some walk can have there, and gathers what must have been answered for the walk to come this
way: every sort and every condition that it comes by needs something, and what was said before it
meets that or forbids it. A way back that needs more than another one from the same place and state
is left.

Most answers do not matter to what is looked for, and they are many; so at first only the place to
go on at is asked for. A walk found is held against all that it says: where it needs two answers
that exclude each other there is no such walk, and the search is done again with those asked for,
too. What it finds at last is a walk that can be, and none that can be is shorter.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from heapq import heappop, heappush
from itertools import count
from typing import NamedTuple

from engine.verify.cases import ANYHOW, Case, Variable, both
from engine.verify.domain import bits
from engine.verify.flow import Flow
from engine.verify.graph import NOWHERE, Graph
from engine.verify.knowing import conflicts, is_weaker, met_at_first
from engine.verify.numbered import Numbered
from engine.verify.passages import Leg, before
from engine.verify.stretches import Against, Stretch, Stretches, Terms
from engine.verify.ways import SLOT, Way


class TooManyError(RuntimeError):
    """The search has no end that is worth waiting for."""


class Walk(NamedTuple):
    """A walk, and the place of its last step."""

    place: int
    legs: tuple[Leg, ...]


class _Back(NamedTuple):
    """A stretch, and how a walk goes on from its end."""

    stretch: Stretch
    needs: int
    """The number of what must have been answered before it."""
    steps: int
    onward: _Back | None


class Backward:
    """The shortest walks of one tree in one slice."""

    def __init__(self, graph: Graph, flow: Flow, at: int, most: int) -> None:
        """Search in one of the slices of a flow of the tree."""
        self._graph = graph
        self._most = most
        states = flow.states(at)
        masks = ((place, flow.mask(place, at)) for place in range(len(graph.places)))
        held = {place: mask for place, mask in masks if mask}
        self._arrival = graph.start, states.arrival()
        self._stretches = Stretches(graph, states, held)
        self._needs = _Needs(self._stretches.terms, frozenset({SLOT}))

    def walk(self, wanted: Against) -> Walk | None:
        """Return a shortest walk to what stands against a step; None where there is none.

        Raises TooManyError.
        """
        return self._walk(list(self._stretches.to(wanted)))

    def walk_along(self, place: int, way: Way) -> Walk | None:
        """Return a shortest walk that goes a way from a place; None where there is none.

        The place is not within a change of stage. Raises TooManyError.
        """
        return self._walk(list(self._stretches.along(place, way)))

    def _walk(self, last: list[Stretch]) -> Walk | None:
        while True:
            walk = self._searched(last)
            missed = conflicts(leg.way for leg in walk.legs if leg.way) if walk else frozenset()
            if not missed:
                return walk
            self._needs = _Needs(self._stretches.terms, self._needs.asked_for | missed)

    def _searched(self, last: Iterable[Stretch]) -> Walk | None:
        """Return a shortest walk that answers the variables asked for by now in one way only."""
        needs, queue = self._needs, _Queue(self._most)
        reached: defaultdict[tuple[int, int], int] = defaultdict(int)
        """By place and state, the numbers of what was needed there, as bits."""
        for one in last:
            queue.put(_Back(one, needs.before(needs.none, one.terms), one.steps, None))
        while queue:
            back = queue.nearest()
            at = back.stretch.place, back.stretch.state
            if needs.some_is_weaker(reached[at], back.needs):
                continue
            reached[at] |= 1 << back.needs
            if at == self._arrival and needs.met_at_first(back.needs):
                return _whole(back)
            for one in self._stretches.into(*at):
                number = needs.before(back.needs, one.terms)
                queue.put(_Back(one, number, back.steps + one.steps, back))
        return None


class _Queue:
    """Ways back that wait, nearest first; of those that come to the same only the shortest."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._tie = count()
        self._waiting: list[tuple[int, int, _Back]] = []
        self._steps: dict[tuple[int, int, int], int] = {}

    def __bool__(self) -> bool:
        return bool(self._waiting)

    def put(self, back: _Back) -> None:
        """Keep a way back, unless it can never be gone; raises TooManyError."""
        if back.needs == NOWHERE:
            return
        key = back.stretch.place, back.stretch.state, back.needs
        if back.steps >= self._steps.get(key, self._most):
            return
        self._steps[key] = back.steps
        if len(self._steps) > self._most:
            raise TooManyError
        heappush(self._waiting, (back.steps, next(self._tie), back))

    def nearest(self) -> _Back:
        """Take out the way back with the fewest steps."""
        return heappop(self._waiting)[2]


def _whole(back: _Back) -> Walk:
    legs = list(back.stretch.legs)
    at = back
    while at.onward is not None:
        at = at.onward
        legs += at.stretch.legs
    return Walk(at.stretch.met, tuple(legs))


class _Needs:
    """What walks need of the variables asked for, by number, each worked out once."""

    def __init__(self, terms: Numbered[Terms], asked_for: frozenset[Variable]) -> None:
        self.asked_for = asked_for
        self._terms = terms
        self._cases: Numbered[Case] = Numbered()
        self.none = self._cases.number(ANYHOW)
        self._before: dict[tuple[int, int], int] = {}
        self._weaker: dict[int, tuple[int, int]] = {}
        """By number, the needs that are weaker, and all that it was held against, as bits."""

    def before(self, needs: int, terms: int) -> int:
        """Return what is needed before a stretch for needs behind it; `NOWHERE` for never."""
        known = self._before.get((needs, terms))
        if known is None:
            known = self._worked_out(self._cases[needs], self._terms[terms])
            self._before[needs, terms] = known
        return known

    def _worked_out(self, needs: Case, terms: Terms) -> int:
        left = before(needs, terms.says)
        own = tuple(one for one in terms.needs if one[0] in self.asked_for)
        whole = None if left is None else both(left, own)
        return NOWHERE if whole is None else self._cases.number(whole)

    def some_is_weaker(self, among: int, other: int) -> bool:
        """Return whether one of some needs, given as bits, is met wherever another is met."""
        weaker, compared = self._weaker.get(other, (0, 0))
        new = among & ~compared
        if new:
            case = self._cases[other]
            for one in bits(new):
                weaker |= is_weaker(self._cases[one], case) << one
            self._weaker[other] = weaker, compared | new
        return bool(among & weaker)

    def met_at_first(self, needs: int) -> bool:
        """Return whether a need is met before anything was said."""
        return met_at_first(self._cases[needs])

"""The shortest walk to what stands against a step, in one slice, found from its end.

The search goes back from the step towards the start, nearest first, over places and power states
that some walk can have there, and gathers what must have been answered for the walk to come this
way: every sort and every condition that it comes by needs something, and what was said before it
meets that or forbids it. A way back that needs more than another one from the same place and state
is left.

Most answers do not matter to what is looked for, and they are many; so at first none is asked for.
A walk found is held against all that it says: where it needs two answers that exclude each other
there is no such walk, and the search is done again with those asked for, too. What it finds at
last is a walk that can be, and none that can be is shorter.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable
from heapq import heapify, heappop, heappush
from itertools import count
from typing import NamedTuple

from engine.verify.cases import Case
from engine.verify.domain import Domain
from engine.verify.flow import Flow
from engine.verify.graph import NOWHERE, Graph
from engine.verify.knowing import conflict, is_weaker, met_at_first
from engine.verify.passages import Leg
from engine.verify.slices import Slice
from engine.verify.ways import Way
from engine.verify.ways_back import Against, Back, WaysBack


class TooManyError(RuntimeError):
    """The search has no end that is worth waiting for."""


class Walk(NamedTuple):
    """A walk, and the place of its last step."""

    place: int
    legs: tuple[Leg, ...]


class Backward:
    """The shortest walks of one tree in one slice."""

    def __init__(self, graph: Graph, one: Slice, most: int) -> None:
        self._graph = graph
        self._most = most
        domain = Domain(graph, (one,))
        flow = Flow(graph, domain)
        flow.run()
        self._states = domain.of[0]
        held = {place: domain.mask(held, 0) for place, held in enumerate(flow.held) if held}
        self._ways_back = WaysBack(graph, self._states, held)

    def walk(self, wanted: Against) -> Walk | None:
        """Return a shortest walk to what stands against a step; None where there is none.

        Raises TooManyError.
        """
        return self._walk(lambda: self._ways_back.ends(wanted))

    def walk_along(self, places: Iterable[int], way: Way | None = None) -> Walk | None:
        """Return a shortest walk to one of some places (on along a way from there); None for none.

        Places within a change of stage are not looked for. Raises TooManyError.
        """
        return self._walk(lambda: self._ways_back.ends_at(places, way))

    def _walk(self, ends: Callable[[], Iterable[Back]]) -> Walk | None:
        while True:
            walk = self._searched(ends())
            missed = conflict(leg.way for leg in walk.legs if leg.way) if walk else None
            if missed is None:
                return walk
            self._ways_back.asked_for |= {missed}

    def _searched(self, ends: Iterable[Back]) -> Walk | None:
        """Return a shortest walk that answers the variables asked for by now in one way only."""
        arrival = self._graph.start, self._states.arrival()
        reached: defaultdict[tuple[int, int], list[Case]] = defaultdict(list)
        tie = count()
        waiting = [(back.steps, next(tie), back) for back in ends]
        heapify(waiting)
        while waiting:
            _, _, back = heappop(waiting)
            at = back.place, back.state
            if any(is_weaker(needs, back.needs) for needs in reached[at]):
                continue
            reached[at].append(back.needs)
            if at == arrival and met_at_first(back.needs):
                return _whole(back)
            for further in self._ways_back.further(back):
                heappush(waiting, (further.steps, next(tie), further))
            if next(tie) > self._most:
                raise TooManyError
        return None


def _whole(back: Back) -> Walk:
    legs: list[Leg] = []
    at: Back | None = back
    while at is not None:
        legs += at.legs
        last, at = at, at.onward
    return Walk(last.place if last.met == NOWHERE else last.met, tuple(legs))

"""Every power state that some walk can bring to a place, whatever was answered before.

The holdings of all places grow until nothing new comes: a place that is reached on two ways holds
what both bring, a sort may come to any answer, and *go on* may lead to any place that any answer
names. So nothing is missed, and something may be found on a walk that cannot be. A change of stage
is a subroutine: what comes out of it for a holding that goes in is worked out once and used for
every step that asks for it, and goes back to the step that asked.
"""

from __future__ import annotations

from collections import defaultdict
from heapq import heappop, heappush
from typing import NamedTuple

from engine.verify.domain import Holding, Refused, States
from engine.verify.graph import NOWHERE, Edge, Graph
from engine.verify.slices import Slice


class Break(NamedTuple):
    """Something that stands against the step of a place, by one slice."""

    place: int
    refused: Refused


class _Through(NamedTuple):
    """What comes out of a change of stage."""

    done: Holding
    elsewhere: tuple[tuple[int, Holding], ...]


class Flow:
    """The search of one tree with some slices."""

    def __init__(self, graph: Graph, *slices: Slice) -> None:
        self._graph = graph
        self._domain = graph.learned.domain(*slices)
        self._through: dict[tuple[int, Holding], _Through] = {}
        self.held: list[Holding] = [self._domain.nothing] * len(graph.places)
        """By place, what is held when a walk comes there."""
        self.breaks: dict[Break, None] = {}
        self._run()

    def states(self, at: int) -> States:
        """Return the states of one of the slices."""
        return self._domain.of[at]

    def mask(self, place: int, at: int) -> int:
        """Return the states of one of the slices that are held at a place."""
        return self._domain.mask(self.held[place], at)

    def _run(self) -> None:
        """Search from the start, and from every place on the way out."""
        self._spread(self._graph.start, self._domain.start)
        anywhere = self._domain.nothing
        for place, holding in enumerate(self.held):
            if self._graph.asks[place] != NOWHERE:
                anywhere = self._domain.joined(anywhere, holding)
        for happening in self._graph.stopping:
            self._spread(self._graph.way_out, self._domain.after(anywhere, happening))

    def _spread(self, place: int, holding: Holding) -> None:
        order = self._graph.order
        waiting: list[tuple[int, int]] = []
        arriving = [(place, holding)]
        while True:
            for to, brought in arriving:
                if self._join(self.held, to, brought):
                    heappush(waiting, (order[to], to))
            if not waiting:
                return
            _, place = heappop(waiting)
            arriving = self._onward(place)

    def _join(self, held: list[Holding] | dict[int, Holding], place: int, brought: Holding) -> bool:
        """Join what is brought to a place to what is held there; return whether it is new."""
        before = held[place]
        now = held[place] = self._domain.joined(before, brought)
        return now != before

    def _onward(self, place: int) -> list[tuple[int, Holding]]:
        holding = self._done(place, self.held[place])
        arriving: list[tuple[int, Holding]] = []
        for edge in self._graph.edges[place]:
            if edge.called == NOWHERE:
                arriving.append((edge.to, self._happened(edge, holding)))
                continue
            through = self._changed(edge.called, holding)
            arriving += [(edge.to, through.done), *through.elsewhere]
        return arriving

    def _done(self, place: int, holding: Holding) -> Holding:
        """Return what is left where the step of a place is permitted; keep what is not."""
        deed = self._graph.asks[place]
        if deed == NOWHERE:
            return holding
        holding, refused = self._domain.permitted(holding, deed)
        for one in refused:
            self.breaks[Break(place, one)] = None
        return holding

    def _happened(self, edge: Edge, holding: Holding) -> Holding:
        if edge.happening == NOWHERE:
            return holding
        return self._domain.after(holding, edge.happening)

    # --- changes of stage -------------------------------------------------------------------------

    def _changed(self, begins: int, holding: Holding) -> _Through:
        key = begins, holding
        if key not in self._through:
            self._through[key] = self._gone_through(begins, holding)
        return self._through[key]

    def _gone_through(self, begins: int, holding: Holding) -> _Through:
        """Return what comes out of a change of stage; what is held within it joins the rest."""
        order, nothing = self._graph.order, self._domain.nothing
        held: defaultdict[int, Holding] = defaultdict(lambda: nothing, {begins: holding})
        out: defaultdict[int, Holding] = defaultdict(lambda: nothing)
        waiting = [(order[begins], begins)]
        while waiting:
            _, place = heappop(waiting)
            left = self._done(place, held[place])
            for edge in self._graph.edges[place]:
                happened = self._happened(edge, left)
                if not edge.during:
                    self._join(out, edge.to, happened)
                elif self._join(held, edge.to, happened):
                    heappush(waiting, (order[edge.to], edge.to))
        for place, inside in held.items():
            self._join(self.held, place, inside)
        done = out.pop(NOWHERE, nothing)
        return _Through(done, tuple(out.items()))

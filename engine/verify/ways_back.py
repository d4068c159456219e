"""From a place and a power state to every place and state that a walk can have come from."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from engine.verify.cases import ANYHOW, Case, Variable, both
from engine.verify.domain import States, bits
from engine.verify.graph import NOWHERE, Edge, Graph
from engine.verify.passages import Leg, Passage, Passages, before
from engine.verify.slices import Stands
from engine.verify.ways import Way


class Against(NamedTuple):
    """What stands against a step."""

    step: str
    stands: Stands


class Back(NamedTuple):
    """How a walk goes on from a place to what stands against its last step."""

    place: int
    state: int
    needs: Case
    """What must have been answered before."""
    steps: int
    """Steps that somebody answers on the way."""
    legs: tuple[Leg, ...] = ()
    """The legs to where `onward` begins."""
    onward: Back | None = None
    met: int = NOWHERE
    """The place of the last step, where that is at the end of these legs."""


class _Call(NamedTuple):
    """A place from which a change of stage is gone through."""

    place: int
    edge: Edge


class WaysBack:
    """The ways back in one tree, in one slice, through states that some walk can have."""

    def __init__(self, graph: Graph, states: States, held: Mapping[int, int]) -> None:
        self._graph = graph
        self._states = states
        self._held = held
        self.asked_for: frozenset[Variable] = frozenset()
        """The variables of which it is gathered what a walk needs."""
        self._passages = Passages(graph, states)
        self._into: defaultdict[int, list[tuple[int, Edge]]] = defaultdict(list)
        self._calls: list[_Call] = []
        self._out_to: defaultdict[int, list[_Call]] = defaultdict(list)
        """By place, the changes of stage that may lead there."""
        self._sources: dict[tuple[int, int], dict[int, list[int]]] = {}
        self._ends: dict[tuple[int, int], dict[tuple[int, int], list[tuple[int, Passage]]]] = {}
        self._learn_edges()

    def _learn_edges(self) -> None:
        exits: dict[int, frozenset[int]] = {}
        for place, edges in enumerate(self._graph.edges):
            if place not in self._held or self._graph.places[place].where.during:
                continue
            for edge in edges:
                if edge.called == NOWHERE:
                    self._into[edge.to].append((place, edge))
                    continue
                call = _Call(place, edge)
                self._calls.append(call)
                if edge.called not in exits:
                    exits[edge.called] = frozenset(self._exits(edge.called))
                for to in exits[edge.called] | {edge.to}:
                    self._out_to[to].append(call)

    def _exits(self, begins: int) -> Iterator[int]:
        """Yield the places to which a change of stage can lead besides the step it is for."""
        for place in self._graph.inside(begins):
            for edge in self._graph.edges[place]:
                if not edge.during and edge.to != NOWHERE:
                    yield edge.to

    def _states_at(self, place: int) -> list[int]:
        return bits(self._held.get(place, 0))

    def _against(self, place: int, state: int) -> tuple[Stands, ...]:
        deed = self._graph.asks[place]
        return () if deed == NOWHERE else self._states.against(state, deed)

    # --- where a walk ends ------------------------------------------------------------------------

    def ends(self, wanted: Against) -> Iterator[Back]:
        """Yield every way to meet what stands against a step."""
        for place in self._held:
            at = self._graph.places[place]
            if at.step == wanted.step and not at.where.during:
                for state in self._states_at(place):
                    if wanted.stands in self._against(place, state):
                        yield Back(place, state, ANYHOW, 0)
        for call in self._calls:
            for state in self._states_at(call.place):
                for met in self._passages.through(call.edge.called, state).met:
                    step = self._graph.places[met.passage.to].step
                    if step == wanted.step and wanted.stands in met.stands:
                        yield from self._called(call, state, met.passage, met=met.passage.to)

    def ends_at(self, places: Iterable[int], way: Way | None) -> Iterator[Back]:
        """Yield the places where a walk is to end, and the way that it is to go from there."""
        for place in places:
            for state in self._states_at(place):
                if way is None:
                    yield Back(place, state, ANYHOW, 0)
                else:
                    yield from self._over(place, state, ANYHOW, (Leg(place, way),), None, place)

    def _called(
        self,
        call: _Call,
        state: int,
        passage: Passage,
        onward: Back | None = None,
        met: int = NOWHERE,
    ) -> Iterator[Back]:
        """Yield the way back over a passage to the step that the change of stage was for."""
        needs = before(onward.needs, passage.says) if onward else ANYHOW
        yield from self._over(
            call.place,
            state,
            self._both(needs, passage.needs),
            (Leg(call.place, call.edge.way), *passage.legs),
            onward,
            met,
        )

    def _over(
        self,
        place: int,
        state: int,
        needs: Case | None,
        legs: tuple[Leg, ...],
        onward: Back | None,
        met: int = NOWHERE,
    ) -> Iterator[Back]:
        """Yield the way back over some legs; the first may need and say something itself."""
        way = legs[0].way
        if way is not None:
            needs = self._both(None if needs is None else before(needs, way.keeps), way.when)
        if needs is not None:
            steps = sum(self._graph.asks[leg.place] != NOWHERE for leg in legs)
            yield Back(
                place, state, needs, steps + (onward.steps if onward else 0), legs, onward, met
            )

    # --- where it comes from ----------------------------------------------------------------------

    def further(self, back: Back) -> Iterator[Back]:
        """Yield every stretch that leads to where a way back has come to."""
        for place, edge in self._into[back.place]:
            for state in self._sources_of(place, edge).get(back.state, ()):
                legs = (Leg(place, edge.way),)
                yield from self._over(place, state, back.needs, legs, back)
        for call in self._out_to[back.place]:
            for state, passage in self._ends_of(call).get((back.place, back.state), ()):
                yield from self._called(call, state, passage, back)
        if back.place == self._graph.way_out:
            yield from self._stopped(back)

    def _sources_of(self, place: int, edge: Edge) -> dict[int, list[int]]:
        """Return, by the state after a way, the states at its beginning that lead there."""
        key = place, edge.number
        if key not in self._sources:
            sources: defaultdict[int, list[int]] = defaultdict(list)
            for state in self._states_at(place):
                if not self._against(place, state):
                    after = state
                    if edge.happening != NOWHERE:
                        after = self._states.after(state, edge.happening)
                    sources[after].append(state)
            self._sources[key] = sources
        return self._sources[key]

    def _ends_of(self, call: _Call) -> dict[tuple[int, int], list[tuple[int, Passage]]]:
        """Return, by place and state behind a change of stage, how a walk gets there."""
        key = call.place, call.edge.number
        if key not in self._ends:
            ends: defaultdict[tuple[int, int], list[tuple[int, Passage]]] = defaultdict(list)
            for state in self._states_at(call.place):
                for passage in self._passages.through(call.edge.called, state).ends:
                    to = call.edge.to if passage.to == NOWHERE else passage.to
                    ends[to, passage.state].append((state, passage))
            self._ends[key] = ends
        return self._ends[key]

    def _stopped(self, back: Back) -> Iterator[Back]:
        """Yield every place from which STOP leads here."""
        stops = list(self._stops_to(back.state))
        for place in self._held:
            if self._graph.asks[place] != NOWHERE and not self._graph.places[place].where.during:
                for reason, states in stops:
                    for state in states.intersection(self._states_at(place)):
                        legs = (Leg(place, None, reason),)
                        yield from self._over(place, state, back.needs, legs, back)
        for call in self._calls:
            for state in self._states_at(call.place):
                for passage in self._passages.through(call.edge.called, state).asked:
                    for reason, states in stops:
                        if passage.state in states:
                            leg = Leg(passage.to, None, reason)
                            stopped = passage._replace(legs=(*passage.legs, leg))
                            yield from self._called(call, state, stopped, back)

    def _stops_to(self, state: int) -> Iterator[tuple[str, set[int]]]:
        every = set[int]().union(*(self._states_at(place) for place in self._held))
        for happening in self._graph.stopping:
            states = {one for one in every if self._states.after(one, happening) == state}
            if states:
                yield self._graph.happenings[happening].counts_as, states

    def _both(self, needs: Case | None, more: Case) -> Case | None:
        """Return what is needed for both, of the variables asked for."""
        if needs is None or not more:
            return needs
        return both(needs, tuple(one for one in more if one[0] in self.asked_for))

"""From a place and a power state to every place and state that a walk can have come from."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from engine.verify.cases import ANYHOW, Case, both
from engine.verify.domain import States, bits
from engine.verify.graph import NOWHERE, Edge, Graph
from engine.verify.numbered import Numbered
from engine.verify.passages import Leg, Passage, Passages, Says, before, said_after
from engine.verify.slices import Stands
from engine.verify.ways import Way


class Against(NamedTuple):
    """What stands against a step."""

    step: str
    stands: Stands


class Terms(NamedTuple):
    """What some legs of a walk need to be open, and what is said on them."""

    needs: Case
    says: Says


class Stretch(NamedTuple):
    """Some legs of a walk, and where they begin."""

    place: int
    state: int
    terms: int
    """The number of what it needs to be open, and of what is said on it."""
    steps: int
    """Steps that somebody answers on the way."""
    legs: tuple[Leg, ...]
    met: int
    """The place of the last step."""


class _Call(NamedTuple):
    """A place from which a change of stage is gone through."""

    place: int
    edge: Edge


class Stretches:
    """What leads where in one tree, in one slice, through states that some walk can have."""

    def __init__(self, graph: Graph, states: States, held: Mapping[int, int]) -> None:
        self._graph = graph
        self._states = states
        self._held = held
        self._passages = Passages(graph, states)
        self._edges_into: defaultdict[int, list[tuple[int, Edge]]] = defaultdict(list)
        self._calls: list[_Call] = []
        self._out_to: defaultdict[int, list[_Call]] = defaultdict(list)
        """By place, the changes of stage that may lead there."""
        self._into: dict[tuple[int, int], list[Stretch]] = {}
        self._ends: dict[tuple[int, int], dict[tuple[int, int], list[tuple[int, Passage]]]] = {}
        self.terms: Numbered[Terms] = Numbered()
        self._learn_edges()

    def _learn_edges(self) -> None:
        exits: dict[int, frozenset[int]] = {}
        for place, edges in enumerate(self._graph.edges):
            if place not in self._held or self._graph.places[place].where.during:
                continue
            for edge in edges:
                if edge.called == NOWHERE:
                    self._edges_into[edge.to].append((place, edge))
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

    def _stretch(
        self, place: int, state: int, needs: Case, says: Says, legs: tuple[Leg, ...], met: int
    ) -> Stretch:
        steps = sum(self._graph.asks[leg.place] != NOWHERE for leg in legs)
        terms = self.terms.number(Terms(needs, says))
        return Stretch(place, state, terms, steps, legs, met)

    def _called(self, call: _Call, state: int, passage: Passage, met: int) -> Iterator[Stretch]:
        """Yield the stretch over a change of stage, as far as a passage through it goes."""
        way = call.edge.way
        inside = before(passage.needs, said_after((), way.keeps))
        needs = None if inside is None else both(way.when, inside)
        if needs is not None:
            says = said_after(said_after((), way.keeps), passage.says)
            legs = (Leg(call.place, way), *passage.legs)
            yield self._stretch(call.place, state, needs, says, legs, met)

    # --- where a walk ends ------------------------------------------------------------------------

    def to(self, wanted: Against) -> Iterator[Stretch]:
        """Yield every last stretch to what stands against a step; it may have no legs."""
        for place in self._held:
            at = self._graph.places[place]
            if at.step == wanted.step and not at.where.during:
                for state in self._states_at(place):
                    if wanted.stands in self._against(place, state):
                        yield self._stretch(place, state, ANYHOW, (), (), place)
        for call in self._calls:
            for state in self._states_at(call.place):
                for met in self._passages.through(call.edge.called, state).met:
                    step = self._graph.places[met.passage.to].step
                    if step == wanted.step and wanted.stands in met.stands:
                        yield from self._called(call, state, met.passage, met.passage.to)

    def along(self, place: int, way: Way) -> Iterator[Stretch]:
        """Yield the last stretch of a walk that goes a way from a place."""
        for state in self._states_at(place):
            says = said_after((), way.keeps)
            yield self._stretch(place, state, way.when, says, (Leg(place, way),), place)

    # --- where it comes from ----------------------------------------------------------------------

    def into(self, place: int, state: int) -> list[Stretch]:
        """Return every stretch that leads to a place in a state."""
        key = place, state
        if key not in self._into:
            self._into[key] = [
                *self._by_way(place, state),
                *self._by_change(place, state),
                *(self._by_stop(state) if place == self._graph.way_out else ()),
            ]
        return self._into[key]

    def _by_way(self, to: int, after: int) -> Iterator[Stretch]:
        for place, edge in self._edges_into[to]:
            says = said_after((), edge.way.keeps)
            legs = (Leg(place, edge.way),)
            for state in self._states_at(place):
                if self._against(place, state):
                    continue
                now = state
                if edge.happening != NOWHERE:
                    now = self._states.after(state, edge.happening)
                if now == after:
                    yield self._stretch(place, state, edge.way.when, says, legs, NOWHERE)

    def _by_change(self, to: int, after: int) -> Iterator[Stretch]:
        for call in self._out_to[to]:
            for state, passage in self._ends_of(call).get((to, after), ()):
                yield from self._called(call, state, passage, NOWHERE)

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

    def _by_stop(self, after: int) -> Iterator[Stretch]:
        """Yield every place from which STOP leads to the way out."""
        stops = list(self._stops_to(after))
        for place in self._held:
            if self._graph.asks[place] != NOWHERE and not self._graph.places[place].where.during:
                for reason, states in stops:
                    for state in states.intersection(self._states_at(place)):
                        legs = (Leg(place, None, reason),)
                        yield self._stretch(place, state, ANYHOW, (), legs, NOWHERE)
        for call in self._calls:
            for state in self._states_at(call.place):
                for passage in self._passages.through(call.edge.called, state).asked:
                    for reason, states in stops:
                        if passage.state in states:
                            whole = (*passage.legs, Leg(passage.to, None, reason))
                            stopped = passage._replace(legs=whole)
                            yield from self._called(call, state, stopped, NOWHERE)

    def _stops_to(self, after: int) -> Iterator[tuple[str, set[int]]]:
        every = set[int]().union(*(self._states_at(place) for place in self._held))
        for happening in self._graph.stopping:
            states = {one for one in every if self._states.after(one, happening) == after}
            if states:
                yield self._graph.learned.happenings[happening].counts_as, states

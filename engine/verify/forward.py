"""Walks gone forward with everything remembered that still matters, as long as they bring news.

A walk is gone on with from a place only if it knows something there that none before it knew: one
answer more that is still asked for ahead (a search of width one, after Lipovetzky and Geffner,
*Width and serialization of classical planning problems*, ECAI 2012, from memory). So few are gone,
and they come to nearly all that can be reached; what they do not come to may be reached all the
same. No step is passed here because its readings are known.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from engine.verify.cases import ANYHOW, Case, Variable, Words, both
from engine.verify.domain import States
from engine.verify.graph import NOWHERE, Edge, Graph
from engine.verify.knowing import remembered, with_said
from engine.verify.passages import Passages, Says
from engine.verify.slices import way_alone
from engine.verify.taken import READ

Literal = tuple[Variable, Words]
"""One variable, and the words that it can be."""


class _Stretch(NamedTuple):
    """Where a way leads, what it needs to be open, and what is remembered of it."""

    to: int
    needs: Case
    says: Says


def forward(graph: Graph) -> set[int]:
    """Return places that some walk comes to."""
    asked_for = asked_ahead(graph)
    ahead = _Ahead(graph, asked_for)
    reached: set[int] = set()
    news: defaultdict[int, set[Literal]] = defaultdict(set)
    waiting: deque[tuple[int, Case]] = deque([(graph.start, ANYHOW), (graph.way_out, ANYHOW)])
    while waiting:
        place, memory = waiting.popleft()
        if place == NOWHERE or (place in reached and news[place].issuperset(memory)):
            continue
        reached.add(place)
        news[place].update(memory)
        for begins in ahead.calls(place):
            reached |= graph.inside(begins)
        for to, needs, says in ahead.stretches(place):
            known = remembered(memory, needs)
            if known is None:
                continue
            after = with_said(known, says)
            kept = tuple([one for one in after if one[0] in asked_for[to]])
            if to not in reached or not news[to].issuperset(kept):
                waiting.append((to, kept))
    return reached


class _Ahead:
    """The ways on from every place, each once, with what of it is still asked for behind it."""

    def __init__(self, graph: Graph, asked_for: Sequence[frozenset[Variable]]) -> None:
        self._graph = graph
        self._asked_for = asked_for
        states = States(graph.learned, way_alone(graph.layout))
        self._passages, self._only = Passages(graph, states), states.arrival()
        self._stretches: dict[int, tuple[_Stretch, ...]] = {}

    def calls(self, place: int) -> list[int]:
        """Return where the changes of stage begin that are gone through from a place."""
        edges = self._graph.edges[place]
        return [edge.called for edge in edges if edge.called != NOWHERE]

    def stretches(self, place: int) -> tuple[_Stretch, ...]:
        """Return every stretch from a place, also through a change of stage."""
        if place not in self._stretches:
            found = (one for edge in self._graph.edges[place] for one in self._along(edge))
            self._stretches[place] = tuple(dict.fromkeys(found))
        return self._stretches[place]

    def _along(self, edge: Edge) -> Iterator[_Stretch]:
        way = edge.way
        if any(variable[0] == READ for variable, _ in way.when):
            return
        if edge.called == NOWHERE:
            yield self._stretch(edge.to, way.when, way.keeps)
            return
        for end in self._passages.through(edge.called, self._only).ends:
            needs = both(way.when, end.needs)
            if needs is not None:
                to = edge.to if end.to == NOWHERE else end.to
                yield self._stretch(to, needs, (*way.keeps, *end.says))

    def _stretch(self, to: int, needs: Case, says: Says) -> _Stretch:
        kept = tuple([one for one in says if one[0] in self._asked_for[to]])
        return _Stretch(to, needs, kept)


def asked_ahead(graph: Graph) -> list[frozenset[Variable]]:
    """Return for each place the variables that some walk from there still asks for."""
    asked = [_asked_here(edges) for edges in graph.edges]
    backward = sorted(range(len(asked)), key=graph.order.__getitem__, reverse=True)
    more = True
    while more:
        # Once round is enough where no way leads back.
        more = False
        for number in backward:
            wanted = asked[number].union(
                *(_asked_behind(edge, asked) for edge in graph.edges[number])
            )
            if len(wanted) > len(asked[number]):
                asked[number] = wanted
                more = True
    return asked


def _asked_here(edges: Sequence[Edge]) -> frozenset[Variable]:
    return frozenset(
        variable for edge in edges for variable, _ in edge.way.when if variable[0] != READ
    )


def _asked_behind(edge: Edge, asked: Sequence[frozenset[Variable]]) -> frozenset[Variable]:
    """Return what is asked for behind a way and is not said on it."""
    found = _NOTHING.union(*(asked[to] for to in (edge.to, edge.called) if to != NOWHERE))
    return found.difference(variable for variable, _ in edge.way.keeps) if found else found


_NOTHING: frozenset[Variable] = frozenset()

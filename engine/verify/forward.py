"""Walks gone forward with everything remembered that still matters, as long as they bring news.

A walk is gone on with from a place only if it knows something there that none before it knew: one
answer more that is still asked for ahead (a search of width one, after Lipovetzky and Geffner,
*Width and serialization of classical planning problems*, ECAI 2012, from memory). So few are gone,
and they come to nearly all that can be reached; what they do not come to may be reached all the
same. No step is passed here because its readings are known.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from engine.verify.cases import ANYHOW, Case, Variable, Words, both
from engine.verify.domain import States, bits
from engine.verify.graph import NOWHERE, Edge, Graph
from engine.verify.knowing import remembered, with_said
from engine.verify.numbered import Numbered
from engine.verify.passages import Passages, Says
from engine.verify.slices import way_alone
from engine.verify.taken import READ

Literal = tuple[Variable, Words]
"""One variable, and the words that it can be."""
Variables = frozenset[Variable]


class _Terms(NamedTuple):
    """What a way needs to be open, what is said on it, and what is asked for behind it."""

    needs: Case
    says: Says
    asked: Variables


class _Stretch(NamedTuple):
    """Where a way leads, and the number of its terms."""

    to: int
    terms: int


def forward(graph: Graph) -> set[int]:
    """Return places that some walk comes to."""
    ahead, memories = _Ahead(graph), _Memories()
    reached: set[int] = set()
    calls: set[int] = set()
    """Where the changes of stage begin that are gone through."""
    news: defaultdict[int, int] = defaultdict(int)
    waiting = deque([(graph.start, memories.nothing), (graph.way_out, memories.nothing)])
    while waiting:
        place, memory = waiting.popleft()
        known = memories.literals[memory]
        if place == NOWHERE or (place in reached and not known & ~news[place]):
            continue
        if place not in reached:
            reached.add(place)
            calls.update(edge.called for edge in graph.edges[place])
        news[place] |= known
        after = memories.after[memory]
        for to, number in ahead.stretches(place):
            kept = after.get(number)
            if kept is None:
                kept = memories.worked_out(memory, number, ahead.terms[number])
            if kept == NOWHERE:
                continue
            if to not in reached or memories.literals[kept] & ~news[to]:
                waiting.append((to, kept))
    return reached.union(*(graph.inside(begins) for begins in calls - {NOWHERE}))


class _Memories:
    """What walks remember, each once by number, and what the terms of a way make of it."""

    def __init__(self) -> None:
        self._cases: Numbered[Case] = Numbered()
        self._single: Numbered[Literal] = Numbered()
        self.after: list[dict[int, int]] = []
        """By number, what is remembered behind a way, by the number of its terms."""
        self.literals: list[int] = []
        """By number, the variables with their words, as bits."""
        self.nothing = self._number(ANYHOW)

    def worked_out(self, memory: int, number: int, terms: _Terms) -> int:
        """Return what is remembered behind a way, and keep it; `NOWHERE` where it is not open."""
        met = remembered(self._cases[memory], terms.needs)
        after = NOWHERE
        if met is not None:
            said = with_said(met, terms.says)
            after = self._number(tuple([one for one in said if one[0] in terms.asked]))
        self.after[memory][number] = after
        return after

    def _number(self, case: Case) -> int:
        number = self._cases.number(case)
        if number == len(self.literals):
            self.literals.append(sum(1 << self._single.number(one) for one in case))
            self.after.append({})
        return number


class _Ahead:
    """The ways on from every place, each once, with what of it is still asked for behind it."""

    def __init__(self, graph: Graph) -> None:
        self._graph = graph
        self._asked_for = asked_ahead(graph)
        states = States(graph.learned, way_alone(graph.layout))
        self._passages, self._only = Passages(graph, states), states.arrival()
        self._stretches: dict[int, tuple[_Stretch, ...]] = {}
        self._terms: Numbered[_Terms] = Numbered()
        self.terms = self._terms.things

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
        asked = self._asked_for[to]
        kept = tuple([one for one in says if one[0] in asked]) if says else says
        return _Stretch(to, self._terms.number(_Terms(needs, kept, asked)))


def asked_ahead(graph: Graph) -> list[Variables]:
    """Return for each place the variables that some walk from there still asks for."""
    variables: Numbered[Variable] = Numbered()
    asked = [_bits_of(_asked_here(edges), variables) for edges in graph.edges]
    behind = [
        [
            (edge.called, edge.to, ~_bits_of((one for one, _ in edge.way.keeps), variables))
            for edge in edges
        ]
        for edges in graph.edges
    ]
    nothing = len(asked)
    asked.append(0)
    backward = sorted(range(nothing), key=graph.order.__getitem__, reverse=True)
    more = True
    while more:
        # Once round is enough where no way leads back.
        more = False
        for number in backward:
            wanted = asked[number]
            for called, to, not_said in behind[number]:
                # `NOWHERE` is the last of the list, where nothing is asked.
                wanted |= (asked[called] | asked[to]) & not_said
            if wanted != asked[number]:
                asked[number] = wanted
                more = True
    sets = {one: frozenset(variables[at] for at in bits(one)) for one in set(asked)}
    return [sets[one] for one in asked]


def _asked_here(edges: Sequence[Edge]) -> Iterator[Variable]:
    for edge in edges:
        for variable, _ in edge.way.when:
            if variable[0] != READ:
                yield variable


def _bits_of(some: Iterable[Variable], variables: Numbered[Variable]) -> int:
    found = 0
    for one in some:
        found |= 1 << variables.number(one)
    return found

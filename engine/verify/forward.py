"""Walks gone forward with everything remembered that still matters, as long as they bring news.

A walk is gone on with from a place only if it knows something there that none before it knew: one
answer more that is still asked for ahead (a search of width one, after Lipovetzky and Geffner,
*Width and serialization of classical planning problems*, ECAI 2012, from memory). So few are gone,
and they come to nearly all that can be reached; what they do not come to may be reached all the
same. No step is passed here because its readings are known.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterator

from engine.verify.cases import ANYHOW, Case, Variable, both
from engine.verify.domain import States
from engine.verify.graph import NOWHERE, Edge, Graph
from engine.verify.knowing import remembered, with_said
from engine.verify.passages import Passages, Says
from engine.verify.slices import way_alone
from engine.verify.taken import READ


def forward(graph: Graph) -> set[int]:
    """Return places that some walk comes to."""
    states = States(graph, way_alone(graph.layout))
    passages, only = Passages(graph, states), states.arrival()
    asked_for = asked_ahead(graph)
    reached: set[int] = set()
    news: defaultdict[int, set[object]] = defaultdict(set)
    waiting: deque[tuple[int, Case]] = deque([(graph.start, ANYHOW), (graph.way_out, ANYHOW)])
    while waiting:
        place, memory = waiting.popleft()
        if place == NOWHERE or (place in reached and news[place].issuperset(memory)):
            continue
        reached.add(place)
        news[place].update(memory)
        for edge in graph.edges[place]:
            if any(variable[0] == READ for variable, _ in edge.way.when):
                continue
            if edge.called != NOWHERE:
                reached |= graph.inside(edge.called)
            for to, needs, says in _stretches(passages, only, edge):
                known = remembered(memory, needs)
                if known is not None:
                    after = with_said(known, says)
                    waiting.append((to, tuple(one for one in after if one[0] in asked_for[to])))
    return reached


def _stretches(passages: Passages, state: int, edge: Edge) -> Iterator[tuple[int, Case, Says]]:
    """Yield where a way leads, also through a change of stage, with what it needs and says."""
    way = edge.way
    if edge.called == NOWHERE:
        yield edge.to, way.when, way.keeps
        return
    for end in passages.through(edge.called, state).ends:
        needs = both(way.when, end.needs)
        if needs is not None:
            yield edge.to if end.to == NOWHERE else end.to, needs, (*way.keeps, *end.says)


def asked_ahead(graph: Graph) -> list[frozenset[Variable]]:
    """Return for each place the variables that some walk from there still asks for."""
    asked: list[frozenset[Variable]] = [frozenset()] * len(graph.places)
    before: list[list[int]] = [[] for _ in graph.places]
    waiting: list[int] = []
    for number, edges in enumerate(graph.edges):
        here = frozenset(
            variable for edge in edges for variable, _ in edge.way.when if variable[0] != READ
        )
        if here:
            asked[number] = here
            waiting.append(number)
        for to in graph.leads_to(number):
            before[to].append(number)
    waiting = [one for number in waiting for one in before[number]]
    while waiting:
        number = waiting.pop()
        wanted = set(asked[number])
        for edge in graph.edges[number]:
            said = {variable for variable, _ in edge.way.keeps}
            for to in (edge.to, edge.called):
                if to != NOWHERE:
                    wanted |= asked[to] - said
        if len(wanted) > len(asked[number]):
            asked[number] = frozenset(wanted)
            waiting += before[number]
    return asked

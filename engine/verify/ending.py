"""Properties: every walk ends, from every step there is an end, and a repair leads back in service.

A walk may come to the same step again only after a repair was done on the way: a cause that was
mended is not found again, so it does so no more often than there are causes. A wait, a reading
taken again and *go on* bound nothing by themselves; a step written ``like`` another is a step of
its own. A circle that needs two answers which exclude each other is none.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise
from typing import NamedTuple

from engine.codes import problem
from engine.power import Act
from engine.power.acts import IN_SERVICE
from engine.problems import Problem, Span
from engine.tree import REPAIR, ActHead, HandOverHead, Step
from engine.verify.cases import ANYHOW, Case, Variable
from engine.verify.graph import NOWHERE, Edge, Graph
from engine.verify.knowing import Stretch, circle_conflicts, known_after
from engine.verify.proof import Result
from engine.verify.telling import title, where
from engine.verify.ways import Kind

MANY = 300_000
"""Places, with what is known there, after which a search for circles is given up."""
MENDING = (Act.REPAIR, Act.HANDS_ON, Act.HANDS_IN)
"""What a repair does to the world where it is to bring the unit back."""


class _Known(NamedTuple):
    """A place, and what a walk knows there of the variables that are asked for."""

    place: int
    known: Case


_Ways = dict[_Known, dict[_Known, Stretch]]


def every_walk_ends(graph: Graph) -> Result:
    """Return whether no walk goes round for ever."""
    name = "every walk ends"
    if graph.goes_on:
        return Result(name)
    asked_for: frozenset[Variable] = frozenset()
    while True:
        ways = _unmended(graph, asked_for)
        if len(ways) > MANY:
            return Result(name, open="The walks are too many to be searched for circles.")
        circle = _circle(ways)
        if circle is None:
            return Result(name)
        missed = circle_conflicts([stretch for _, stretch in circle])
        if not missed:
            return Result(name, (_round(graph, [known.place for known, _ in circle]),))
        asked_for |= missed


def _unmended(graph: Graph, asked_for: frozenset[Variable]) -> _Ways:
    """Return the ways on which nothing is mended, from every place with nothing known."""
    ways: _Ways = {}
    said = _said_inside(graph) if asked_for else {}
    waiting = [_Known(place, ANYHOW) for place in range(len(graph.places))]
    while waiting and len(ways) <= MANY:
        now = waiting.pop()
        if now in ways:
            continue
        ways[now] = {}
        for edge in graph.edges[now.place]:
            if edge.way.kind is Kind.DONE:
                continue
            for to, stretch in _stretches(graph, edge, said):
                known = known_after(now.known, stretch, asked_for)
                if known is not None:
                    ways[now].setdefault(_Known(to, known), stretch)
        waiting += ways[now]
    return ways


def _stretches(
    graph: Graph, edge: Edge, said: Mapping[int, frozenset[Variable]]
) -> Iterator[tuple[int, Stretch]]:
    """Yield where a way leads: into the change of stage on it, and to what that is for."""
    if edge.called != NOWHERE:
        yield edge.called, Stretch(edge.way)
    if edge.to != NOWHERE:
        yield edge.to, Stretch(edge.way, said.get(edge.called, frozenset()))


def _said_inside(graph: Graph) -> dict[int, frozenset[Variable]]:
    """Return for each change of stage, by where it begins, the variables that it speaks of."""
    begins = {edge.called for edges in graph.edges for edge in edges} - {NOWHERE}
    return {
        begin: frozenset(
            variable
            for place in graph.inside(begin)
            for edge in graph.edges[place]
            for variable, _ in edge.way.keeps
        )
        for begin in begins
    }


def _circle(ways: _Ways) -> list[tuple[_Known, Stretch]] | None:
    """Return ways that lead back to where they begin, each with its beginning; None for none."""
    try:
        TopologicalSorter(ways).prepare()
    except CycleError as error:
        # Each one told leads to the one told before it.
        round_ = list(reversed(error.args[1]))
        return [(one, ways[one][next_]) for one, next_ in pairwise(round_)]
    return None


def _round(graph: Graph, places: Iterable[int]) -> Problem:
    steps = [graph.walk.steps.get(graph.places[place].step) for place in places]
    asked = [step for step in steps if step and isinstance(step.head, ActHead)] or [
        step for step in steps if step
    ]
    first = min(asked, key=lambda step: step.span)
    at = asked.index(first)
    names = " > ".join(f"{title(one)} ({where(graph, one)})" for one in asked[at:] + asked[:at])
    sentence = f"A walk can go round and round from here: {names} > {title(first)}."
    fix = "Lead one of them on, or write the step that comes again like the first, as its own."
    return problem("runs-in-circle", first.span, sentence, fix)


# --- an end ahead ---------------------------------------------------------------------------------


def every_step_has_an_end(graph: Graph) -> Result:
    """Return whether from every place some way leads to an end."""
    ends = {place for place, step in _steps(graph) if _is_end(step)}
    leading = graph.leading_to(ends)
    steps = {step.span: step for place, step in _steps(graph) if place not in leading}
    problems = [
        problem(
            "no-end",
            step.span,
            f"From {title(step)} on no walk comes to an end.",
            "Lead it to the steps that put back in service, make safe or withdraw.",
        )
        for step in _first_of(graph, steps)
    ]
    return Result("every step has an end", tuple(problems))


def _first_of(graph: Graph, steps: dict[Span, Step]) -> list[Step]:
    """Return the steps of the tree's own file; of several only the first is told."""
    own = [one for one in steps.values() if one.span.path == graph.walk.tree.span.path]
    return sorted(own or steps.values(), key=lambda step: step.span)[:1]


def _steps(graph: Graph) -> Iterator[tuple[int, Step]]:
    for number, place in enumerate(graph.places):
        if place.step in graph.walk.steps:
            yield number, graph.walk.steps[place.step]


def _is_end(step: Step) -> bool:
    return isinstance(step.head, HandOverHead) or (
        isinstance(step.head, ActHead) and bool(step.head.end)
    )


# --- back in service ------------------------------------------------------------------------------


def repairs_lead_back(graph: Graph) -> Result:
    """Return whether after every repair that mends something a walk can end in service."""
    back = {place for place, step in _steps(graph) if _is_in_service(step)}
    leading = graph.leading_to(back)
    lead_back = {
        step.name.removeprefix(REPAIR)
        for place, step in _steps(graph)
        if any(edge.way.kind is Kind.DONE and edge.to in leading for edge in graph.edges[place])
    }
    reached = {step.name for _, step in _steps(graph)}
    problems = [
        problem(
            "not-back",
            finding.span,
            f"After the repair of {name} no walk ends in service.",
            "Lead it to where the unit is put back, or give the finding the act that it is.",
        )
        for name, finding in graph.walk.tree.findings.items()
        if finding.act in MENDING and not finding.kind
        if REPAIR + name in reached and name not in lead_back
    ]
    return Result("repairs lead back in service", tuple(problems))


def _is_in_service(step: Step) -> bool:
    return isinstance(step.head, ActHead) and step.head.end == IN_SERVICE

"""Properties: every step and finding can be come to, and what a sort meets has its answer.

Walks gone forward come to nearly all there is. Of a way to what is left it is asked whether some
walk can go it, by the search back from there, which misses nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.codes import problem
from engine.problems import Problem, Span
from engine.tree import REPAIR, SortHead
from engine.verify.backward import Backward, TooManyError, Walk
from engine.verify.flow import Flow
from engine.verify.forward import forward
from engine.verify.graph import NOWHERE, Edge, Graph
from engine.verify.proof import Result
from engine.verify.slices import way_alone
from engine.verify.telling import title, told
from engine.verify.ways import Kind, Way, outcomes

MANY = 200_000
"""Stretches of walks after which a search is given up."""
NOBODY_KNOWS = "The walks are too many to be searched."


class Reach:
    """What some walk comes to, whatever the power model says of it."""

    def __init__(self, graph: Graph) -> None:
        self._graph = graph
        self._search: Backward | None = None
        self.lost = False
        """Some search was given up; what it was for is taken as reached."""
        self.places: set[int] = set()
        """Every place that some walk comes to."""
        self._find_places()

    def walk(self, place: int, way: Way) -> Walk | None:
        """Return a walk that goes a way from a place; raises TooManyError."""
        if self._search is None:
            flow = Flow(self._graph, way_alone(self._graph.layout))
            self._search = Backward(self._graph, flow, 0, MANY)
        return self._search.walk_along(place, way)

    def _find_places(self) -> None:
        self.places |= forward(self._graph)
        doubtful = [
            (place, edge)
            for place in self.places
            for edge in self._graph.edges[place]
            if edge.to not in self.places
        ]
        while doubtful:
            place, edge = doubtful.pop()
            if edge.to not in self.places and self._is_open(place, edge):
                self._spread(edge.to, doubtful)

    def _spread(self, first: int, doubtful: list[tuple[int, Edge]]) -> None:
        """Keep every place that is reached from a place on ways that need nothing."""
        waiting = [first]
        while waiting:
            place = waiting.pop()
            if place == NOWHERE or place in self.places:
                continue
            self.places.add(place)
            for edge in self._graph.edges[place]:
                if edge.way.when and not edge.during:
                    doubtful.append((place, edge))
                else:
                    waiting += [edge.called, edge.to]

    def _is_open(self, place: int, edge: Edge) -> bool:
        if edge.to == NOWHERE or self._graph.places[place].where.during:
            return True
        try:
            return self.walk(place, edge.way) is not None
        except TooManyError:
            self.lost = True
            return True


def all_is_reached(graph: Graph, reach: Reach, unreachable: tuple[Problem, ...]) -> Result:
    """Return whether some walk comes to every step and every finding.

    ``unreachable`` is what the loader found that nothing leads to.
    """
    reached = {graph.places[place].step for place in reach.places}
    said = {one.span for one in unreachable}
    problems = [*unreachable]
    for span, name in _lost_steps(graph, reached):
        if span not in said:
            sentence = f"{name} is led to, but no walk can come there."
            fix = "Follow the sorts before it: what they need excludes each other."
            problems.append(problem("never-comes", span, sentence, fix))
    return Result("every step is reached", tuple(problems), NOBODY_KNOWS if reach.lost else "")


def _lost_steps(graph: Graph, reached: set[str]) -> Iterator[tuple[Span, str]]:
    """Yield the steps and findings as written of which no use is reached."""
    steps = graph.walk.steps
    met = {steps[name].span for name in reached if name in steps}
    for step in graph.walk.tree.steps.values():
        if step.span not in met:
            yield step.span, title(step)
    noted = {
        outcome.also for name in reached if name in steps for _, outcome in outcomes(steps[name])
    }
    for name, finding in graph.walk.tree.findings.items():
        if name not in noted and REPAIR + name not in reached:
            yield finding.span, f"The finding {name}"


def every_sort_has_its_answer(graph: Graph, reach: Reach) -> Result:
    """Return whether a walk that comes to a sort always finds an answer there.

    A reading that could not be taken leads where *can't* says; a sort that asks for it later has
    to say what then.
    """
    problems: list[Problem] = []
    lost = ""
    for place, way in _unanswered(graph, reach):
        step = graph.step(place)
        try:
            walk = reach.walk(place, way)
        except TooManyError:
            lost = NOBODY_KNOWS
            continue
        if walk:
            sentence = f"{title(step)} can meet {way.said}, and nothing is said of that."
            fix = f"It comes to this: {told(graph, walk.legs)}. Add {way.said} or otherwise."
            problems.append(problem("nothing-said", step.span, sentence, fix))
    return Result("no reading is lost", tuple(dict.fromkeys(problems)), lost)


def _unanswered(graph: Graph, reach: Reach) -> Iterator[tuple[int, Way]]:
    for place in sorted(reach.places):
        step = graph.walk.steps.get(graph.places[place].step)
        if step is None or not isinstance(step.head, SortHead) or not step.head.by_step:
            continue
        for way in graph.ways(place):
            if way.kind is Kind.SILENT and way.outcome is None and way.when:
                yield place, way

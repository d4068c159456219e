"""What finding the cause takes, in minutes and checks: at least, at most, and to be expected.

The least and the most are over every walk from the start to a finding. What is to be expected is
weighted by the suspects: for each the walk that a unit with that cause would show, as far as the
tree says it. Of a step's answers those that clear the suspect cannot come; where one points to it
or finds it, that one comes; and what is done for safety goes as it should. Where several are left
each is as likely as the others, and so is each word of a nameplate. A sort by an earlier step goes
each way as often as that step's verdicts came, on whatever walk.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from graphlib import CycleError, TopologicalSorter
from heapq import heappop, heappush
from typing import NamedTuple

from engine.power import OUTCOMES, REPORTS, Act
from engine.tree import ActHead
from engine.verify.cases import NOT_TAKEN, SAID, Variable
from engine.verify.domain import States
from engine.verify.graph import NOWHERE, Graph
from engine.verify.passages import Passage, Passages
from engine.verify.proof import Cost, Costs
from engine.verify.slices import way_alone
from engine.verify.ways import Kind, Way

CHECKS = (
    Act.ASK, Act.LOOK, Act.READ_LIVE, Act.READ_DEAD, Act.CHECK, Act.INSULATION_TEST,
)  # fmt: skip
"""Acts by which something is learned of the cause."""
NOT_COUNTED = (Kind.CANNOT, Kind.UNREADABLE)
"""Ways that are not gone where the cause is asked for."""
NEVER = 1e-9
"""A share of walks too small to be followed."""


def costs(graph: Graph) -> Costs | None:
    """Return what finding the cause takes; None where walks go round, or end on no finding."""
    bounds = _bounds(graph)
    if bounds is None:
        return None
    best, worst = bounds
    return Costs(best, worst, _expected(graph))


class _Bound(NamedTuple):
    """The least and the most of minutes and checks from a place to a finding."""

    least_minutes: float
    least_checks: float
    most_minutes: float
    most_checks: float


_HERE = _Bound(0, 0, 0, 0)


def _own(graph: Graph, place: int) -> Cost:
    """Return what the step of a place takes by itself."""
    if graph.asks[place] == NOWHERE:
        return _NOTHING
    step = graph.step(place)
    check = isinstance(step.head, ActHead) and step.head.act in CHECKS
    return Cost(step.minutes, check and not graph.places[place].where.during)


_NOTHING = Cost(0, 0)


def _bounds(graph: Graph) -> tuple[Cost, Cost] | None:
    """Return the least and the most from the start to a finding."""
    order = _back_to_front(graph)
    found = _Walks(graph, order).to_finding.get(graph.start) if order else None
    if found is None:
        return None
    least, most = found[:2], found[2:]
    return Cost(*least), Cost(*most)


def _back_to_front(graph: Graph) -> list[int]:
    """Return the places so that each comes after all that it leads to; none where walks go round.

    What is mended on the way leads back; those ways are left out.
    """
    if graph.goes_on:
        return sorted(range(len(graph.places)), key=graph.order.__getitem__, reverse=True)
    ahead = {
        place: [
            to
            for edge in edges
            if edge.way.kind is not Kind.DONE
            for to in (edge.called, edge.to)
            if to != NOWHERE
        ]
        for place, edges in enumerate(graph.edges)
    }
    try:
        return list(TopologicalSorter(ahead).static_order())
    except CycleError:
        return []


class _Walks:
    """Bounds from every place to a finding, and through every change of stage."""

    def __init__(self, graph: Graph, order: list[int]) -> None:
        self._graph = graph
        self.to_finding: dict[int, _Bound] = {}
        self._to_done: dict[int, _Bound] = {}
        for place in order:
            self._place(place)

    def _place(self, place: int) -> None:
        own = _own(self._graph, place)
        done: list[_Bound] = []
        finding: list[_Bound] = []
        for edge in self._graph.edges[place]:
            if edge.way.kind is Kind.DONE:
                continue
            if edge.way.finds:
                finding.append(_HERE)
            elif edge.to == NOWHERE:
                done.append(_HERE)
            elif edge.called != NOWHERE:
                finding += self._over(edge.called, edge.to)
            else:
                if bound := self._to_done.get(edge.to):
                    done.append(bound)
                if bound := self.to_finding.get(edge.to):
                    finding.append(bound)
        if done:
            self._to_done[place] = _with(own, _widest(done))
        if finding:
            self.to_finding[place] = _with(own, _widest(finding))

    def _over(self, begins: int, to: int) -> Iterator[_Bound]:
        """Yield the bounds over a change of stage, to what it is for or to where it fails."""
        if bound := self.to_finding.get(begins):
            yield bound
        inside, ahead = self._to_done.get(begins), self.to_finding.get(to)
        if inside and ahead:
            yield _Bound(*(one + other for one, other in zip(inside, ahead, strict=True)))


def _with(own: Cost, bound: _Bound) -> _Bound:
    if own is _NOTHING:
        return bound
    minutes, checks = own.minutes, own.checks
    least_minutes, least_checks, most_minutes, most_checks = bound
    return _Bound(
        minutes + least_minutes, checks + least_checks, minutes + most_minutes, checks + most_checks
    )


def _widest(bounds: list[_Bound]) -> _Bound:
    """Return the least of the least and the most of the most, minutes and checks each."""
    first, *others = bounds
    if all(one is first for one in others):
        return first
    least_minutes, least_checks, most_minutes, most_checks = zip(*bounds, strict=True)
    return _Bound(min(least_minutes), min(least_checks), max(most_minutes), max(most_checks))


# --- what is to be expected -----------------------------------------------------------------------


def _expected(graph: Graph) -> Cost:
    suspects = graph.walk.tree.suspects.values()
    whole = sum(suspect.weight for suspect in suspects)
    walks = _Signatures(graph)
    found = [(suspect.weight / whole, walks.cost(suspect.name)) for suspect in suspects]
    return Cost(
        sum(share * cost.minutes for share, cost in found),
        sum(share * cost.checks for share, cost in found),
    )


class _Signatures:
    """The walks that a unit with one cause would show, each as likely as the tree makes it."""

    def __init__(self, graph: Graph) -> None:
        self._graph = graph
        states = States(graph.learned, way_alone(graph.layout))
        passages, only = Passages(graph, states), states.arrival()
        self._own = [_own(graph, place) for place in range(len(graph.places))]
        self._through = {
            begins: self._minutes(passages.through(begins, only).ends)
            for begins in {edge.called for edges in graph.edges for edge in edges} - {NOWHERE}
        }
        self._causes = {name: finding.suspect for name, finding in graph.walk.tree.findings.items()}
        self._gone: dict[int, list[Way]] = {}
        """By place, the ways that a walk goes with whatever cause, where none speaks of any."""

    def _minutes(self, ends: Iterable[Passage]) -> float:
        """Return the minutes of a change of stage that goes as it should."""
        done = next((end for end in ends if end.to == NOWHERE), None)
        return sum(self._own[leg.place].minutes for leg in done.legs) if done else 0.0

    def cost(self, suspect: str) -> Cost:
        """Return what is to be expected until a finding, or an end, with one cause there."""
        share: defaultdict[int, float] = defaultdict(float, {self._graph.start: 1.0})
        said: defaultdict[Variable, dict[str, float]] = defaultdict(dict)
        waiting = [(self._graph.order[self._graph.start], self._graph.start)]
        minutes = checks = 0.0
        while waiting:
            _, place = heappop(waiting)
            here = share.pop(place, 0.0)
            if here < NEVER:
                continue
            minutes += here * self._own[place].minutes
            checks += here * self._own[place].checks
            for way, likely in self._likely(place, suspect, said):
                part = here * likely
                for variable, word in way.keeps:
                    said[variable][word] = said[variable].get(word, 0.0) + part
                if way.finds or way.to is None:
                    continue
                if way.call:
                    minutes += part * self._through[self._graph.called(way)]
                to = self._graph.number(way.to)
                if to not in share:
                    heappush(waiting, (self._graph.order[to], to))
                share[to] += part
        return Cost(minutes, checks)

    def _likely(
        self, place: int, suspect: str, said: Mapping[Variable, Mapping[str, float]]
    ) -> list[tuple[Way, float]]:
        """Return the ways that a unit with one cause makes a walk go, and how likely each is."""
        left = self._gone.get(place)
        if left is None:
            ways = [way for way in self._graph.ways(place) if way.kind not in NOT_COUNTED]
            telling = [way for way in ways if self._points_to(way, suspect)]
            spared = [way for way in ways if not self._speaks_against(way, suspect)]
            left = _least_harm(telling or spared or ways)
            if not any(_speaks(way) for way in ways):
                self._gone[place] = left
        weights = [_as_said(way, said) for way in left]
        whole = sum(weights)
        if not whole:
            weights, whole = [1.0] * len(left), sum([1.0] * len(left))
        return [(way, one / whole) for way, one in zip(left, weights, strict=True)]

    def _points_to(self, way: Way, suspect: str) -> bool:
        if way.finds:
            return self._causes.get(way.finds) == suspect
        return way.outcome is not None and suspect in way.outcome.points_to

    def _speaks_against(self, way: Way, suspect: str) -> bool:
        return bool(way.finds) or (way.outcome is not None and suspect in way.outcome.clears)


def _speaks(way: Way) -> bool:
    """Return whether a way says anything of any cause."""
    outcome = way.outcome
    return bool(way.finds or (outcome and (outcome.points_to or outcome.clears)))


def _least_harm(ways: list[Way]) -> list[Way]:
    harms = [_harm(way) for way in ways]
    least = min(harms, default=0)
    return [way for way, harm in zip(ways, harms, strict=True) if harm == least]


def _as_said(way: Way, said: Mapping[Variable, Mapping[str, float]]) -> float:
    """Return how often a way is open by what was said of earlier steps."""
    weight = 1.0
    for variable, words in way.when:
        if variable[0] == SAID:
            told = said.get(variable, {})
            not_taken = max(0.0, 1.0 - sum(told.values()))
            weight *= sum(not_taken if word == NOT_TAKEN else told.get(word, 0.0) for word in words)
    return weight


def _harm(way: Way) -> int:
    """Return how far what an answer counts as is from the best that its act can have."""
    if way.deed is None:
        return 0
    words = OUTCOMES[way.deed.act]
    if way.counts_as in REPORTS:
        return len(words) + 1
    return words.index(way.counts_as) if way.counts_as in words else 0

"""Property: no answer is written that an earlier reading, still fresh, has ruled out.

A reading is the same where function, points, when and leads off are the same; it is then used and
not asked again, as long as nothing was energised, repaired or moved there since. So a step whose
reading every walk has taken before can only come to the answers that the earlier one leaves. What
two walks know of a reading is known where they meet only if both know it; what cannot be compared
is taken as possible.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from heapq import heappop, heappush
from typing import NamedTuple

from engine.bands import Bands
from engine.codes import problem
from engine.formula import Formula, FormulaError, UnprovableError, bounds
from engine.loader.kinds import nameplate_box
from engine.problems import Problem
from engine.quantity import Quantity
from engine.reading import Function
from engine.trade.catalogue import FIGURES
from engine.tree import OTHERWISE, ActHead, Spread, Step
from engine.verify.graph import Graph
from engine.verify.proof import Result
from engine.verify.taken import EVERYWHERE, doubts
from engine.verify.telling import title, where
from engine.verify.ways import outcomes


class Read(NamedTuple):
    """What makes a reading the same reading."""

    function: Function
    points: tuple[str, ...]
    when: str
    leads_off: tuple[str, ...]


class Answer(NamedTuple):
    """A band that a reading came to, at a step."""

    step: str
    band: str


Facts = dict[Read, frozenset[Answer]]
"""What is known of a reading on every walk to a place: one of these answers."""


def nothing_is_known_before(graph: Graph) -> Result:
    """Return whether every band of every reading can still come when it is asked."""
    return Result("no answer is known before", tuple(dict.fromkeys(_Fresh(graph).problems())))


def _read_at(step: Step | None) -> Read | None:
    """Return the reading of a step that takes one, judged as it is; None for any other step."""
    head = step.head if step else None
    if not isinstance(head, ActHead) or len(head.readings) != 1 or len(head.judgements) != 1:
        return None
    spec = head.readings[0]
    if spec.spread is not Spread.BETWEEN or head.judgements[0].judge or spec.or_not_there:
        return None
    return Read(spec.function, spec.points, spec.when, head.leads_off)


def _read_again(graph: Graph) -> list[Read | None]:
    """Return by place the reading that is taken there, if another step takes it as well."""
    reads = [_read_at(graph.walk.steps.get(place.step)) for place in graph.places]
    takers: defaultdict[Read, set[str]] = defaultdict(set)
    for place, read in zip(graph.places, reads, strict=True):
        if read:
            takers[read].add(place.step)
    return [read if read and len(takers[read]) > 1 else None for read in reads]


class _Fresh:
    """The readings that are fresh at every place of a tree, and what they leave to come."""

    def __init__(self, graph: Graph) -> None:
        self._graph = graph
        self._reads = _read_again(graph)
        self._spans = Spans(graph)
        self._known: dict[int, Facts] = {graph.start: {}}
        self._inside: dict[int, frozenset[str]] = {}
        if any(self._reads):
            self._spread()

    def _spread(self) -> None:
        order = self._graph.order
        waiting = [(order[self._graph.start], self._graph.start)]
        while waiting:
            _, place = heappop(waiting)
            for to, facts in self._after(place):
                before = self._known.get(to)
                now = facts if before is None else _both(before, facts)
                if now != before:
                    self._known[to] = now
                    heappush(waiting, (order[to], to))

    def _after(self, place: int) -> Iterator[tuple[int, Facts]]:
        read, known = self._reads[place], self._known[place]
        for way in self._graph.ways(place):
            facts = self._without(known, doubts(way.deed, way.counts_as))
            if way.call:
                begins = self._graph.called(way)
                yield begins, facts
                facts = self._without(facts, self._doubts_inside(begins))
            elif read and way.outcome:
                # Read now, or known from before: either way it lies in the band of this answer.
                step = self._graph.step(place)
                band = next(key for key, one in outcomes(step) if one is way.outcome)
                facts = {**facts, read: frozenset({Answer(step.name, band)})}
            if way.to is not None:
                yield self._graph.number(way.to), facts

    def _doubts_inside(self, begins: int) -> frozenset[str]:
        """Return the zones of which a change of stage puts readings in doubt."""
        if begins not in self._inside:
            places = self._graph.inside(begins)
            found = (
                doubts(way.deed, way.counts_as)
                for place in places
                for way in self._graph.ways(place)
            )
            self._inside[begins] = frozenset[str]().union(*found)
        return self._inside[begins]

    def _without(self, facts: Facts, zones: frozenset[str]) -> Facts:
        """Return what is still fresh when readings in some zones are in doubt."""
        if not zones or not facts:
            return facts
        if EVERYWHERE in zones:
            return {}
        points = self._graph.walk.vocabulary.points
        return {
            read: answers
            for read, answers in facts.items()
            if not any(points[one].zone in zones for one in read.points if one in points)
        }

    def problems(self) -> Iterator[Problem]:
        """Yield every band that cannot come, and the reading that rules it out."""
        for place, read in enumerate(self._reads):
            facts = self._known.get(place, {})
            step = self._graph.walk.steps.get(self._graph.places[place].step)
            if read is None or step is None or step.again or step.wait or read not in facts:
                continue
            earlier = facts[read]
            if any(one.step == step.name for one in earlier):
                continue
            for band in self._spans.bands(step.name):
                if not any(self._spans.meet(Answer(step.name, band), one) for one in earlier):
                    yield self._problem(step, band, earlier)

    def _problem(self, step: Step, band: str, earlier: frozenset[Answer]) -> Problem:
        names = sorted({one.step for one in earlier})
        told = " and ".join(
            f"{title(one)} ({where(self._graph, one)})"
            for one in (self._graph.walk.steps[name] for name in names)
        )
        sentence = f"{band} cannot come at {title(step)}: {told} has read the same before."
        fix = "Take the answer out, or write the step like the other if it is to be read anew."
        return problem("known-before", step.span, sentence, fix)


def _both(one: Facts, other: Facts) -> Facts:
    return {read: one[read] | other[read] for read in one.keys() & other.keys()}


class _Span(NamedTuple):
    """Where a band lies: from one cut to the next, each a formula or open."""

    low: Formula | None
    high: Formula | None


class Spans:
    """The bands of the readings of a tree, as spans that can be compared for every nameplate."""

    def __init__(self, graph: Graph) -> None:
        self._walk = graph.walk
        self._box = nameplate_box(graph.walk.fields)
        self._spans: dict[str, dict[str, _Span]] = {}
        self._bounds: dict[str, tuple[Quantity, Quantity] | None] = {}

    def bands(self, step: str) -> Mapping[str, _Span]:
        """Return the bands of numbers of a step, by key."""
        if step not in self._spans:
            head = self._walk.steps[step].head
            bands = head.judgements[0].bands if isinstance(head, ActHead) else None
            found = _spans(head, bands) if bands and isinstance(head, ActHead) else ()
            self._spans[step] = dict(found)
        return self._spans[step]

    def meet(self, one: Answer, other: Answer) -> bool:
        """Return whether one reading can lie in both, as far as that can be said."""
        a, b = self.bands(one.step).get(one.band), self.bands(other.step).get(other.band)
        if a is None or b is None:
            return True
        return not (self._is_below(a.high, b.low) or self._is_below(b.high, a.low))

    def _is_below(self, high: Formula | None, low: Formula | None) -> bool:
        """Return whether the end of one span is never above the beginning of another."""
        if high is None or low is None:
            return False
        if high.text == low.text:
            return True
        upper, lower = self._bounds_of(high), self._bounds_of(low)
        return bool(upper and lower and upper[1].value <= lower[0].value)

    def _bounds_of(self, formula: Formula) -> tuple[Quantity, Quantity] | None:
        if formula.text not in self._bounds:
            try:
                self._bounds[formula.text] = bounds(formula, self._box, FIGURES)
            except (FormulaError, UnprovableError):
                self._bounds[formula.text] = None
        return self._bounds[formula.text]


def _spans(head: ActHead, bands: Bands) -> Iterator[tuple[str, _Span]]:
    filling: dict[str, Formula] = {}
    for name, formula in head.work_out:
        filling[name] = formula.filled(filling)
    low: Formula | None = None
    for cut in bands.cuts:
        high = cut.at.filled(filling)
        yield cut.key, _Span(low, high)
        low = high
    yield OTHERWISE, _Span(low, None)

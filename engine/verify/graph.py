"""The places of a tree and the ways between them, explored from the start and numbered."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from engine.layouts import Layout
from engine.power import STOPS, Act, Deed
from engine.session.steps import deed_of, layout_of
from engine.tree import ActHead, Step, WalkTree
from engine.verify.domain import Happening, Learned
from engine.verify.numbered import Numbered
from engine.verify.ways import Place, Way, Ways, way_out

NOWHERE = -1


class Edge(NamedTuple):
    """A way, with everything about it by number."""

    number: int
    way: Way
    to: int
    """The place that it leads to; `NOWHERE` where a change of stage is done."""
    called: int
    """Where the change of stage on the way begins; `NOWHERE` for none."""
    during: bool
    """It leads to a place within a change of stage."""
    happening: int
    """What it does to the power model; `NOWHERE` for nothing."""


class Graph:
    """Every place that a walk of a tree can come to, and every way from there."""

    def __init__(self, walk: WalkTree, learned: Learned | None = None) -> None:
        self.walk = walk
        self.learned = learned or Learned()
        self.layout: Layout = layout_of(walk)
        self._ways = Ways(walk)
        self._numbers: Numbered[Place] = Numbered()
        self._found: dict[Place, list[Way]] = {}
        self.start = self._explored(self._ways.start())
        out = way_out(walk)
        self.way_out = self._explored(self._ways.stopped(out)) if out else NOWHERE
        """Where a reason to stop leads, from anywhere; `NOWHERE` where the engine's own does."""
        self.places = self._numbers.things
        self._ways_from = [self._found[place] for place in self.places]
        self._edges = 0
        self._inside: dict[int, frozenset[int]] = {}
        self.edges = [[self._edge(way) for way in _merged(ways)] for ways in self._ways_from]
        self.asks = [self._asked(number) for number in range(len(self.places))]
        """The deed of each place, by number; `NOWHERE` where nobody is asked there."""
        self.order = self._in_order()
        """By place, its turn in a search that comes to a place after what leads there.

        Where ways lead back there is no such order; those are the last to be looked at."""
        self.stopping = [
            self.learned.happenings.number(Happening(Deed(Act.ASK), stop, finds=False))
            for stop in STOPS
            if out
        ]
        """What STOP does to the power model, for each reason."""

    def _explored(self, start: Place) -> int:
        waiting = [start]
        while waiting:
            place = waiting.pop()
            if place in self._found:
                continue
            self._numbers.number(place)
            ways = self._found[place] = self._ways.from_(place)
            for way in reversed(ways):
                if way.to is not None:
                    waiting.append(way.to)
                if way.call:
                    waiting.append(self._ways.first_of(way.call))
        return self._numbers.number(start)

    def _edge(self, way: Way) -> Edge:
        happening = NOWHERE
        if way.deed is not None or way.finds:
            what = Happening(way.deed, way.counts_as, bool(way.finds))
            happening = self.learned.happenings.number(what)
        self._edges += 1
        return Edge(
            self._edges,
            way,
            NOWHERE if way.to is None else self._numbers.number(way.to),
            self._numbers.number(self._ways.first_of(way.call)) if way.call else NOWHERE,
            way.to is not None and bool(way.to.where.during),
            happening,
        )

    def _asked(self, number: int) -> int:
        step = self.walk.steps.get(self.places[number].step)
        if step is None or not isinstance(step.head, ActHead):
            return NOWHERE
        if any(edge.called != NOWHERE for edge in self.edges[number]):
            return NOWHERE
        return self.learned.deeds.number(deed_of(step))

    def number(self, place: Place) -> int:
        """Return the number of a place."""
        return self._numbers.number(place)

    def called(self, way: Way) -> int:
        """Return the place where the change of stage on a way begins."""
        return self.number(self._ways.first_of(way.call))

    def ways(self, number: int) -> list[Way]:
        """Return every way on from a place, also those that differ only in what they need."""
        return self._ways_from[number]

    def step(self, number: int) -> Step:
        """Return the step of a place; raises KeyError for the way to *go on*."""
        return self.walk.steps[self.places[number].step]

    def inside(self, begins: int) -> frozenset[int]:
        """Return every place within the change of stage that begins at a place."""
        if begins not in self._inside:
            seen, waiting = {begins}, [begins]
            while waiting:
                for edge in self.edges[waiting.pop()]:
                    if edge.during and edge.to not in seen:
                        seen.add(edge.to)
                        waiting.append(edge.to)
            self._inside[begins] = frozenset(seen)
        return self._inside[begins]

    def leads_to(self, number: int) -> list[int]:
        """Return every place that a way from a place leads to, also through a change of stage."""
        found = []
        for edge in self.edges[number]:
            found += [to for to in (edge.called, edge.to) if to != NOWHERE]
        return found

    def _in_order(self) -> list[int]:
        turn = [0] * len(self.places)
        seen = [False] * len(self.places)
        left = len(self.places)
        for first in (self.way_out, self.start):
            if first == NOWHERE or seen[first]:
                continue
            seen[first] = True
            path = [(first, iter(self.leads_to(first)))]
            while path:
                number, further = path[-1]
                to = next((one for one in further if not seen[one]), NOWHERE)
                if to == NOWHERE:
                    left -= 1
                    turn[number] = left
                    path.pop()
                else:
                    seen[to] = True
                    path.append((to, iter(self.leads_to(to))))
        return turn


def _merged(ways: list[Way]) -> Iterable[Way]:
    """Return ways so that those which differ in nothing but one word of what they need are one."""
    return ways if len(ways) < 2 else _alike_once(ways)


def _alike_once(ways: list[Way]) -> Iterator[Way]:
    alike: dict[tuple[object, ...], list[Way]] = {}
    for way in ways:
        variable = way.when[0][0] if len(way.when) == 1 else way.when
        does = way.to, way.deed, way.counts_as, bool(way.finds), way.keeps, way.call
        alike.setdefault((variable, *does), []).append(way)
    for first, *others in alike.values():
        if others and first.when:
            words = frozenset[str]().union(*(way.when[0][1] for way in (first, *others)))
            first = first._replace(when=((first.when[0][0], words),))
        yield first

"""The places of a tree and the ways between them, explored from the start and numbered."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from typing import NamedTuple

from engine.layouts import Layout
from engine.power import STOPS, Act, Deed
from engine.session.steps import layout_of
from engine.tree import ActHead, Step, WalkTree
from engine.verify.domain import Happening, Learned
from engine.verify.numbered import Numbered
from engine.verify.ways import Kind, Place, Way, Ways, way_out

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
        self._happened: dict[tuple[int, str, bool], int] = {}
        self._inside: dict[int, frozenset[int]] = {}
        self.edges = [self._edges_of(ways) for ways in self._ways_from]
        self.leads_to = [_targets(edges) for edges in self.edges]
        """By place, every place that a way leads to, also through a change of stage."""
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

    def _edges_of(self, ways: list[Way]) -> list[Edge]:
        """Return ways as edges; those that differ in but one word of what they need are one."""
        edges = [self._edge(way) for way in ways]
        if len(edges) < 2:
            return edges
        alike: dict[tuple[object, ...], Edge] = {}
        for edge in edges:
            way = edge.way
            variable = way.when[0][0] if len(way.when) == 1 else way.when
            key = edge.to, edge.called, edge.happening, way.keeps, variable
            first = alike.get(key)
            alike[key] = first._replace(way=_either(first.way, way)) if first else edge
        return list(alike.values())

    def _edge(self, way: Way) -> Edge:
        self._edges += 1
        to = NOWHERE if way.to is None else self._numbers.number(way.to)
        called = self.called(way) if way.call else NOWHERE
        during = way.to is not None and bool(way.to.where.during)
        return Edge(self._edges, way, to, called, during, self._happening(way))

    def _happening(self, way: Way) -> int:
        """Return the number of what a way does; deeds that are the same are one object here."""
        if way.deed is None and not way.finds:
            return NOWHERE
        key = id(way.deed), way.counts_as, bool(way.finds)
        known = self._happened.get(key)
        if known is None:
            what = Happening(way.deed, way.counts_as, bool(way.finds))
            known = self._happened[key] = self.learned.happenings.number(what)
        return known

    def _asked(self, number: int) -> int:
        step = self.walk.steps.get(self.places[number].step)
        if step is None or not isinstance(step.head, ActHead):
            return NOWHERE
        if any(edge.called != NOWHERE for edge in self.edges[number]):
            return NOWHERE
        return self.learned.deeds.number(self._ways.deed(step))

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

    def leading_to(self, ends: Iterable[int]) -> set[int]:
        """Return every place from which some way leads to one of some places, and those."""
        found: set[int] = set()
        waiting = list(ends)
        while waiting:
            place = waiting.pop()
            if place not in found:
                found.add(place)
                waiting += self._come_from[place]
        return found

    @cached_property
    def _come_from(self) -> list[list[int]]:
        """By place, every place from which a way leads there."""
        before: list[list[int]] = [[] for _ in self.places]
        for place, further in enumerate(self.leads_to):
            for to in further:
                before[to].append(place)
        return before

    @cached_property
    def goes_on(self) -> bool:
        """Whether every way leads to a place with a later turn, unless something was mended on it.

        No walk goes round then, and places in the reverse of `order` come after all they lead to.
        """
        order = self.order
        return all(
            order[to] > order[place]
            for place, edges in enumerate(self.edges)
            for edge in edges
            if edge.way.kind is not Kind.DONE
            for to in (edge.called, edge.to)
            if to != NOWHERE
        )

    def _in_order(self) -> list[int]:
        turn = [0] * len(self.places)
        seen = [False] * len(self.places)
        left = len(self.places)
        for first in (self.way_out, self.start):
            if first == NOWHERE or seen[first]:
                continue
            seen[first] = True
            path = [(first, iter(self.leads_to[first]))]
            while path:
                number, further = path[-1]
                to = next((one for one in further if not seen[one]), NOWHERE)
                if to == NOWHERE:
                    left -= 1
                    turn[number] = left
                    path.pop()
                else:
                    seen[to] = True
                    path.append((to, iter(self.leads_to[to])))
        return turn


def _targets(edges: Iterable[Edge]) -> list[int]:
    return [to for edge in edges for to in (edge.called, edge.to) if to != NOWHERE]


def _either(one: Way, other: Way) -> Way:
    """Return two ways that need the same, or a word each of one variable, as one way."""
    if len(one.when) != 1:
        return one
    ((variable, words),), ((_, more),) = one.when, other.when
    return one._replace(when=((variable, words | more),))

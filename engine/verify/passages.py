"""What a change of stage comes to, worked out once for each power state that it can begin in."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from engine.verify.cases import ANYHOW, Case, Variable, both
from engine.verify.domain import States
from engine.verify.graph import NOWHERE, Graph
from engine.verify.slices import Stands
from engine.verify.ways import Way

Says = tuple[tuple[Variable, str], ...]
"""What was said on the way, the latest of each variable, sorted."""


class Leg(NamedTuple):
    """One way gone from a place."""

    place: int
    way: Way | None
    """None for STOP."""
    stop: str = ""


class Passage(NamedTuple):
    """A stretch of a walk: what it needs, what it says, and where it leads."""

    to: int
    """`NOWHERE` at the end of a change of stage."""
    state: int
    needs: Case = ANYHOW
    says: Says = ()
    legs: tuple[Leg, ...] = ()


class Met(NamedTuple):
    """Something that stands against a step within a change of stage."""

    passage: Passage
    stands: tuple[Stands, ...]


class Through(NamedTuple):
    """Everything that a change of stage comes to from one state."""

    ends: tuple[Passage, ...]
    asked: tuple[Passage, ...]
    """Where somebody is asked on the way, once for each power state."""
    met: tuple[Met, ...]


class Passages:
    """The changes of stage of one tree, in one slice."""

    def __init__(self, graph: Graph, states: States) -> None:
        self._graph = graph
        self._states = states
        self._known: dict[tuple[int, int], Through] = {}

    def through(self, begins: int, state: int) -> Through:
        """Return what a change of stage comes to that begins at a place, in a state."""
        key = begins, state
        if key not in self._known:
            self._known[key] = self._gone_through(Passage(begins, state))
        return self._known[key]

    def _gone_through(self, first: Passage) -> Through:
        ends: list[Passage] = []
        met: list[Met] = []
        asked: dict[int, Passage] = {}
        seen = {first[:4]}
        waiting = deque([first])
        while waiting:
            now = waiting.popleft()
            if now.to == NOWHERE or not self._graph.places[now.to].where.during:
                ends.append(now)
                continue
            deed = self._graph.asks[now.to]
            if deed != NOWHERE:
                asked.setdefault(now.state, now)
                if stands := self._states.against(now.state, deed):
                    met.append(Met(now, stands))
                    continue
            for further in self._onward(now):
                if further[:4] not in seen:
                    seen.add(further[:4])
                    waiting.append(further)
        return Through(tuple(ends), tuple(asked.values()), tuple(met))

    def _onward(self, now: Passage) -> Iterator[Passage]:
        for edge in self._graph.edges[now.to]:
            needs = before(edge.way.when, now.says)
            needs = None if needs is None else both(now.needs, needs)
            if needs is not None:
                state = now.state
                if edge.happening != NOWHERE:
                    state = self._states.after(state, edge.happening)
                leg = Leg(now.to, edge.way)
                said = said_after(now.says, edge.way.keeps)
                yield Passage(edge.to, state, needs, said, (*now.legs, leg))


def before(needs: Case, says: Says) -> Case | None:
    """Return what is needed before something was said, for that to be so after; None for never."""
    if not needs or not says:
        return needs
    said = dict(says)
    if any(variable in said and said[variable] not in words for variable, words in needs):
        return None
    return tuple(literal for literal in needs if literal[0] not in said)


def said_after(says: Says, more: Iterable[tuple[Variable, str]]) -> Says:
    """Return what was said, with more said after it."""
    return tuple(sorted((dict(says) | dict(more)).items())) if more else says

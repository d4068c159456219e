"""The rules R1 to R13, for every walk of a tree, slice by slice.

All slices are searched at once, many states together, with nothing remembered but the place to go
on at. Where nothing stands against any step, every rule is proved. A slice in which something is
found is looked at again, one walk at a time, exactly: with the devices that belong to it, and
remembering what the walk was told.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from engine.verify.backward import Backward, TooManyError, Walk
from engine.verify.flow import Flow
from engine.verify.graph import Graph
from engine.verify.slices import Slice, slices
from engine.verify.stretches import Against

RULES = tuple(f"R{number}" for number in range(1, 14))
MANY = 600_000
"""Places of walks, with all that belongs to them, after which a search is given up."""


@dataclass(frozen=True, slots=True)
class Unsafe:
    """A step that a rule stands against on some walk."""

    rule: str
    sentence: str
    walk: Walk


class Safety:
    """What is found of the rules in one tree; each is looked at when somebody asks for it."""

    def __init__(self, graph: Graph) -> None:
        self._graph = graph
        self._slices = slices(graph.layout)
        self._flow = Flow(graph, *self._slices)
        self._wanted = _by_slice(graph, self._flow)
        self._searches: dict[Slice, Backward] = {}
        self._known: dict[str, tuple[Unsafe, ...]] = {}
        self._lost: dict[str, None] = {}

    @property
    def unsafe(self) -> tuple[Unsafe, ...]:
        """Everything that a rule stands against, each with a shortest walk to it."""
        return tuple(one for rule in RULES for one in self.against(rule))

    @property
    def not_proved(self) -> tuple[str, ...]:
        """Rules of which nobody knows, since the search had no end."""
        return tuple(rule for rule in RULES if self.is_lost(rule))

    def is_lost(self, rule: str) -> bool:
        """Return whether nobody knows of a rule, since the search had no end."""
        self.against(rule)
        return rule in self._lost

    def against(self, rule: str) -> tuple[Unsafe, ...]:
        """Return every step that a rule stands against, each with a shortest walk to it."""
        if rule not in self._known:
            found: dict[Against, Walk] = {}
            for against, walk in self._met(rule):
                found[against] = min(found.get(against, walk), walk, key=_length)
            told = (Unsafe(*against.stands, walk) for against, walk in found.items())
            self._known[rule] = tuple(told)
        return self._known[rule]

    def rules_with_news_first(self) -> list[str]:
        """Return all rules, those first by which something stands that was not cleared before."""
        return sorted(RULES, key=lambda rule: all(map(self._is_familiar, self._wanted_of(rule))))

    def first_against(self, rule: str) -> tuple[Unsafe, ...]:
        """Return no more than one step that a rule stands against: the first to be found."""
        met = next(self._met(rule), None)
        if met is None:
            self._known[rule] = ()
            return ()
        against, walk = met
        return (Unsafe(*against.stands, walk),)

    def _met(self, rule: str) -> Iterator[tuple[Against, Walk]]:
        """Yield what stands against a step of some walk by a rule, slice by slice."""
        for one, against in sorted(self._wanted_of(rule), key=self._is_familiar):
            walk = self._walk(one, against)
            if walk:
                yield against, walk
            else:
                self._graph.learned.cleared.add((one.name, against))

    def _wanted_of(self, rule: str) -> Iterator[tuple[Slice, Against]]:
        for one, wanted in self._wanted.items():
            yield from ((one, against) for against in wanted if against.stands[0] == rule)

    def _is_familiar(self, found: tuple[Slice, Against]) -> bool:
        """Return whether another tree like this one was cleared of something before."""
        one, against = found
        return (one.name, against) in self._graph.learned.cleared

    def _walk(self, one: Slice, against: Against) -> Walk | None:
        """Return a walk that a slice finds and the exact one confirms; None where none does."""
        try:
            walk = self._search(one).walk(against)
        except TooManyError:
            self._lost[against.stands[0]] = None
            return None
        return self._walk(one.exact, against) if walk and one.exact else walk

    def _search(self, one: Slice) -> Backward:
        if one not in self._searches:
            known = one in self._slices
            flow = self._flow if known else Flow(self._graph, one)
            at = self._slices.index(one) if known else 0
            self._searches[one] = Backward(self._graph, flow, at, MANY)
        return self._searches[one]


def _length(walk: Walk) -> int:
    return len(walk.legs)


def _by_slice(graph: Graph, flow: Flow) -> dict[Slice, dict[Against, None]]:
    """Return what was found by the slices in which to look at it again.

    What several slices found is looked at in each of them: what cannot be in one may be in another.
    """
    masks: dict[tuple[Against, int, int], int] = {}
    for place, (at, stands) in flow.breaks:
        key = Against(graph.places[place].step, stands), at, graph.asks[place]
        masks[key] = masks.get(key, 0) | flow.mask(place, at)
    by_slice: dict[Slice, dict[Against, None]] = {}
    for (against, at, deed), mask in masks.items():
        for one in flow.states(at).looked_at_in(mask, deed, against.stands):
            by_slice.setdefault(one, {})[against] = None
    return by_slice

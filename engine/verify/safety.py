"""The rules R1 to R13, for every walk of a tree, slice by slice.

All slices are searched at once, many states together, with nothing remembered but the place to go
on at. Where nothing stands against any step, every rule is proved. A slice in which something is
found is looked at again, one walk at a time, exactly: with the devices that belong to it, and
remembering what the walk was told.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from engine.verify.backward import Backward, TooManyError, Walk
from engine.verify.domain import Domain
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


@dataclass(frozen=True, slots=True)
class Safety:
    """What was found of the rules."""

    unsafe: tuple[Unsafe, ...] = ()
    not_proved: tuple[str, ...] = ()
    """Rules of which nobody knows, since the search had no end."""


def safety(graph: Graph) -> Safety:
    """Return everything that a rule stands against, each with a shortest walk to it."""
    domain = Domain(graph, slices(graph.layout))
    flow = Flow(graph, domain)
    flow.run()
    found: dict[Against, Walk] = {}
    lost: dict[str, None] = {}
    for one, wanted in _by_slice(graph, domain, flow).items():
        try:
            for against, walk in _looked_at(graph, one, wanted).items():
                found[against] = min(found.get(against, walk), walk, key=_length)
        except TooManyError:
            lost |= dict.fromkeys(against.stands[0] for against in wanted)
    unsafe = (Unsafe(*against.stands, walk) for against, walk in found.items())
    return Safety(tuple(unsafe), tuple(lost))


def _length(walk: Walk) -> int:
    return len(walk.legs)


def _looked_at(graph: Graph, one: Slice, wanted: Iterable[Against]) -> dict[Against, Walk]:
    """Return what can be met of all that was found in a slice; raises TooManyError."""
    search = Backward(graph, one, MANY)
    walks = {against: search.walk(against) for against in wanted}
    found = {against: walk for against, walk in walks.items() if walk}
    return _looked_at(graph, one.exact, found) if found and one.exact else found


def _by_slice(graph: Graph, domain: Domain, flow: Flow) -> dict[Slice, dict[Against, None]]:
    """Return what was found by the slices in which to look at it again.

    What several slices found is looked at in each of them: what cannot be in one may be in another.
    """
    by_slice: dict[Slice, dict[Against, None]] = {}
    for against, at, deed in dict.fromkeys(
        (Against(graph.places[place].step, stands), at, graph.asks[place])
        for place, (at, stands) in flow.breaks
    ):
        for one in domain.looked_at_in(at, deed, against.stands):
            by_slice.setdefault(one, {})[against] = None
    return by_slice

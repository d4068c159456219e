"""Property: whoever measures what may be live is warned before."""

from __future__ import annotations

from collections.abc import Iterator

from engine import power, safe_words
from engine.codes import problem
from engine.layouts import ZoneKind
from engine.power import Act
from engine.problems import Problem
from engine.safe_words import Signal
from engine.session.steps import deed_of
from engine.tree import ActHead, Step
from engine.verify.graph import NOWHERE, Graph
from engine.verify.proof import Result
from engine.verify.telling import title

MEASURING = (Act.READ_LIVE, Act.DISCHARGE, Act.OPEN_UP)
"""Acts that bring a meter, or a hand with one, near what may be live.

Proving dead says by itself, at every step, to treat it as live until all readings are in."""
_SHOWN = frozenset({Signal.DANGER, Signal.WARNING})


def live_readings_warn(graph: Graph) -> Result:
    """Return whether every reading on what may be live shows a warning, the worst supposed.

    A circuit that is under 50 V by its layout needs none of its own.
    """
    return Result("live readings warn", tuple(dict.fromkeys(_unwarned(graph))))


def _unwarned(graph: Graph) -> Iterator[Problem]:
    seen: set[object] = set()
    for number, place in enumerate(graph.places):
        if graph.asks[number] == NOWHERE:
            continue
        step = graph.walk.steps[place.step]
        head = step.head
        assert isinstance(head, ActHead)
        if step.span in seen or not _measures_live(graph, step, head):
            continue
        seen.add(step.span)
        if not _warns(graph, step):
            sentence = f"{title(step)} is read on what may be live, and shows no warning."
            fix = "Say in which box and zone it is read, or add caution: with WARNING."
            yield problem("no-caution", step.span, sentence, fix)


def _measures_live(graph: Graph, step: Step, head: ActHead) -> bool:
    """Return whether a step can put a meter on what is 50 V and more."""
    if head.act not in MEASURING:
        return False
    layout = graph.layout
    if head.zone or head.box:
        shown = layout.box(head.box).exposes if head.box else (head.zone,)
        return any(layout.zone(zone).kind is not ZoneKind.CONTROL for zone in shown)
    return any(spec.function.is_live for spec in head.readings)


def _warns(graph: Graph, step: Step) -> bool:
    arrival = power.begin(graph.layout)
    own = safe_words.cautions(graph.layout, arrival, deed_of(step))
    written = (signal for signal, _ in step.cautions)
    return not _SHOWN.isdisjoint([*(one.signal for one in own), *written])

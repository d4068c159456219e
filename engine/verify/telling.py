"""A walk told to an author: the title of each step, where it is written, what was answered."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import PurePath
from typing import NamedTuple

from engine.tree import Step
from engine.verify.graph import NOWHERE, Graph
from engine.verify.passages import Leg
from engine.verify.ways import Kind

SHOWN_FIRST, SHOWN_LAST = 2, 6
"""Steps told of a long walk: from its beginning and before its end."""


class Answered(NamedTuple):
    """A step on a walk, and what was answered there."""

    step: Step
    said: str


def answered(graph: Graph, legs: Iterable[Leg]) -> Iterator[Answered]:
    """Yield the steps of a walk at which somebody answered."""
    for leg in legs:
        if leg.way is None:
            yield Answered(graph.step(leg.place), f"STOP, {leg.stop}")
        elif graph.asks[leg.place] != NOWHERE or leg.way.kind is Kind.UNREADABLE:
            yield Answered(graph.step(leg.place), leg.way.said)


def told(graph: Graph, legs: Iterable[Leg]) -> str:
    """Return a walk in a line; what lies in the middle of a long one is only counted."""
    steps = [
        f"{title(one.step)} ({where(graph, one.step)}): {one.said}" for one in answered(graph, legs)
    ]
    if len(steps) > SHOWN_FIRST + SHOWN_LAST + 1:
        between = len(steps) - SHOWN_FIRST - SHOWN_LAST
        steps[SHOWN_FIRST:-SHOWN_LAST] = [f"{between} more"]
    return " > ".join(steps)


def title(step: Step) -> str:
    """Return the title of a step; its name where it has none."""
    return step.title or step.name


def where(graph: Graph, step: Step) -> str:
    """Return the line of a step, with its file where that is not the tree's own."""
    if step.span.path == graph.walk.tree.span.path:
        return f"line {step.span.line}"
    return f"{PurePath(step.span.path).name} line {step.span.line}"

"""Texts with their numbers put in, and the names of places in words."""

from __future__ import annotations

from engine.formula import Value, in_words
from engine.session.judging import Spot
from engine.session.known import lookup
from engine.session.nameplate import BRACES
from engine.session.state import State
from engine.tree import Step, WalkTree

UNKNOWN = "?"
"""What stands in a text for a value that is not known yet."""


def fill(walk: WalkTree, state: State, step: Step | None, text: str) -> str:
    """Return a text with every ``{name}`` replaced by its value and unit in this state."""
    if "{" not in text:
        return text
    known = lookup(walk, state, even_stale=True)

    def value(name: str) -> str:
        found = known(name)
        if found is None and step is not None:
            found = known(f"{step.name}.{name}")
        if found is None:
            several = state.words.get(name, UNKNOWN)
            return several if isinstance(several, str) else ", ".join(several)
        return value_of(walk, name, found)

    return BRACES.sub(lambda match: value(match[1]), text)


def value_of(walk: WalkTree, name: str, found: Value) -> str:
    """Return a value as a text shows it; volts off a nameplate as they are printed: 208-230 V."""
    said = in_words(found, walk.degrees)
    field = walk.fields.get(name)
    if field is None or not field.volts_marking:
        return said
    low, _, high = said.partition(" V ")
    return said if low == high.removesuffix(" V") or not high else f"{low}-{high}"


def place(walk: WalkTree, point: str) -> str:
    """Return a point's name in words: its title, or the name itself."""
    known = walk.vocabulary.points.get(point)
    return known.title if known else point


def leads(walk: WalkTree, spot: Spot) -> str:
    """Return where the leads go for a spot: ``R to C``; both ends of one thing by its name."""
    here, there = place(walk, spot.a), place(walk, spot.b)
    thing, _, _ = here.partition(", ")
    if there.startswith(f"{thing}, "):
        return thing
    return f"{here} to {there}" if spot.b else here


def label(walk: WalkTree, spot: Spot) -> str:
    """Return the short name of a spot on the entry line: ``L1-L2``, or the reading's name."""
    return spot.label or spot.reading.replace("_", " ")

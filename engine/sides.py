"""What a check does not reach: the other side of a contactor.

A contactor that is out parts a zone in two without being a device of the layout: nobody can lock
it, and it closes by itself. A ground or phase-to-phase check made ahead of it says nothing of what
lies behind, and that is energised all the same; volts read behind it say nothing of what is ahead.
The vocabulary names both sides by their reading sets, ``contactor line`` and ``contactor load``,
of points in one zone.
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.power import Act
from engine.tree import ActHead
from engine.vocabulary import Vocabulary

LINE, LOAD = " line", " load"
"""What the names of the two sides' reading sets end in."""
CHECKS = (Act.CHECK, Act.INSULATION_TEST)
"""Acts whose *clear* lets something be energised."""


def stays_on_one_side(head: ActHead, vocabulary: Vocabulary) -> bool:
    """Return whether what a check reads lies on one side of something that parts its zone."""
    read = {point for place in _judged_places(head) for point in _points(place, vocabulary)}
    return any(
        read.isdisjoint(line) is not read.isdisjoint(load) for line, load in _two_sided(vocabulary)
    )


def is_behind(place: str, vocabulary: Vocabulary) -> bool:
    """Return whether a reading set lies behind something that parts its zone in two."""
    read = _points(place, vocabulary)
    return any(read & load and not read & line for line, load in _two_sided(vocabulary))


def _judged_places(head: ActHead) -> Iterator[str]:
    """Yield the points and sets of every reading that is always taken, and judged."""
    formulas = [formula for _, formula in head.work_out]
    formulas += [judgement.judge for judgement in head.judgements if judgement.judge]
    named = {name for formula in formulas for name in formula.names()}
    for spec in head.readings:
        if not spec.condition and (spec.name in named or len(head.readings) == 1):
            yield from spec.points


def _points(place: str, vocabulary: Vocabulary) -> frozenset[str]:
    """Return the points of a reading set, whatever the phases; or the one point that is named."""
    by_phases = vocabulary.sets.get(place)
    if by_phases is None:
        return frozenset({place})
    return frozenset(point for points in by_phases.values() for point in points)


def _two_sided(vocabulary: Vocabulary) -> Iterator[tuple[frozenset[str], frozenset[str]]]:
    """Yield the points of both sides of everything that parts a zone in two."""
    for name in vocabulary.sets:
        other = name.removesuffix(LINE) + LOAD
        if name.endswith(LINE) and other in vocabulary.sets:
            line, load = (_points(one, vocabulary) for one in (name, other))
            zones = {vocabulary.points[one].zone for one in line | load if one in vocabulary.points}
            if len(zones) == 1:
                yield line, load

"""The lines to write readings on: one for each place that a step reads."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from engine.drawing.sheet import Blank
from engine.drawing.words import condition_in_words
from engine.session.judging import Spot, spots
from engine.tree import THE, ActHead, ReadingSpec, Spread, Step, WalkTree
from engine.vocabulary import Vocabulary

_PHASES = (("1", "single phase"), ("3", "three phase"))


def blanks_of(walk: WalkTree, step: Step) -> Iterator[Blank]:
    """Yield a blank for every place that a step reads, on units of one phase or three."""
    head = step.head
    if not isinstance(head, ActHead):
        return
    for spec in head.readings:
        if any(point.startswith(THE) for point in spec.points):
            yield _of_a_parameter(spec)
            continue
        alone = replace(step, head=replace(head, readings=(replace(spec, condition=()),)))
        by_phases = {said: spots(alone, walk.vocabulary, phases, {}) for phases, said in _PHASES}
        condition = condition_in_words(spec.condition)
        missing = "or not there" if spec.or_not_there else ""
        when = spec.when
        several = list(dict.fromkeys(spot for found in by_phases.values() for spot in found))
        for spot in several:
            only = [said for said, found in by_phases.items() if spot in found]
            phases = only[0] if len(only) < len(by_phases) else ""
            about = ", ".join(
                part for part in (phases, condition and f"if {condition}", when, missing) if part
            )
            yield Blank(_where(walk.vocabulary, spot), spot.function.setting.unit, about)


def _of_a_parameter(spec: ReadingSpec) -> Blank:
    """Return one blank for all that is read at points which only the using step names."""
    at = " to ".join(f"[{point.removeprefix(THE)}]" for point in spec.points)
    place = at if spec.spread is Spread.BETWEEN else f"{spec.spread} {at}"
    condition = condition_in_words(spec.condition)
    about = ", ".join(part for part in (condition and f"if {condition}", spec.when) if part)
    return Blank(f"{spec.name.replace('_', ' ')}: {place}", spec.function.setting.unit, about)


def _where(vocabulary: Vocabulary, spot: Spot) -> str:
    """Return what is read, by the reading's name and the places of the leads."""
    name = spot.reading.replace("_", " ")
    short = f"{name} {spot.label}" if spot.label else name
    places = " to ".join(_place(vocabulary, point) for point in (spot.a, spot.b) if point)
    return f"{short}: {places}"


def _place(vocabulary: Vocabulary, point: str) -> str:
    known = vocabulary.points.get(point)
    return known.title if known else point

"""From what a step says to what a simulated unit can be asked: conditions, places, moments.

Owns `wanted`, `when_of` and the problems that keep a tree from being tried on a unit. Nothing here
walks.
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.reading import Function
from engine.session.judging import Spot
from engine.tree import ActHead, Spread, Step, WalkTree
from engine.trial.site import CALL
from engine.unit.condition import Condition
from engine.unit.observed import lacks
from engine.unit.reading_off import FUNCTIONS
from engine.unit.settled import When
from engine.unit.unit import Unit

_LIVE = (When.RUNNING, When.AT_START, When.AFTER_THE_TRIP)
_REST = When.AT_REST


def when_of(spot: Spot) -> When:
    """Return the moment that a reading is taken in; at rest where nothing is said."""
    return When(spot.when) if spot.when in tuple(When) else _REST


def wanted(walk: WalkTree, unit: Unit, step: Step, when: When) -> Condition:
    """Return what a step's reading asks of the circuit, beside what has been done to it.

    An ohmmeter across a contactor's poles is put there with the carriage pressed home: open, they
    would tell nothing.
    """
    head = step.head
    assert isinstance(head, ActHead)
    calls = CALL if when in _LIVE else frozenset()
    pressed = frozenset({"contactor"}) if _across_poles(head) else frozenset()
    return Condition(calls=calls, leads_off=leads_of(walk, unit, head), pressed=pressed)


def _across_poles(head: ActHead) -> bool:
    poles = ("contactor line", "contactor load")
    return any(
        spec.function is Function.OHMS and spec.spread is Spread.ACROSS and spec.points == poles
        for spec in head.readings
    )


def leads_of(walk: WalkTree, unit: Unit, head: ActHead) -> frozenset[str]:
    """Return the points of a step's lifted leads that the unit has."""
    found: set[str] = set()
    for name in head.leads_off:
        by_phases = walk.vocabulary.sets.get(name)
        points = (name,) if by_phases is None else by_phases.get(str(unit.phases), ())
        found.update(point for point in points if has_point(unit, point))
    return frozenset(found)


def has_point(unit: Unit, point: str) -> bool:
    """Return whether a meter's lead finds such a point on the unit."""
    return unit.points.get(point, point) in {*unit.netlist.nodes, "ground"}


def points_of(spot: Spot) -> tuple[str, ...]:
    """Return where the leads of a reading go."""
    return tuple(filter(None, (spot.a, spot.b)))


def unmapped(walk: WalkTree, unit: Unit) -> tuple[str, ...]:
    """Return why a tree cannot be tried on a unit, a sentence each; empty where it can."""
    return tuple(dict.fromkeys(_unmapped(walk, unit)))


def _unmapped(walk: WalkTree, unit: Unit) -> Iterator[str]:
    if walk.tree.layout != unit.layout:
        yield f"{walk.tree.name} is for {walk.tree.layout}, {unit.name} is {unit.layout}."
    for step in walk.steps.values():
        if isinstance(step.head, ActHead):
            yield from _of_step(walk, unit, step, step.head)


def _of_step(walk: WalkTree, unit: Unit, step: Step, head: ActHead) -> Iterator[str]:
    stated = {one.function for one in unit.stated}
    reckoned = {*FUNCTIONS, Function.PEAK_CLAMP_AMPS}
    for spec in head.readings:
        if spec.function not in reckoned and str(spec.function) not in stated:
            yield f"{step.title}: {unit.name} states no {spec.function}, and they don't follow."
    for judgement in head.judgements:
        if head.readings or not judgement.answers:
            continue
        for answer, outcome in judgement.answers.items():
            for one in outcome.shown_by:
                if part := lacks(unit, one):
                    yield f"{step.title}, {answer}: {unit.name} has no {part}."
        if all(one.shown_by for one in judgement.answers.values()):
            yield f"{step.title}: no answer is left for a unit that shows nothing."

"""Which faults of a unit show a complaint: the unit is settled with each, and looked at.

Owns `belongs`. Nothing is listed by hand: a fault belongs to a tree when the unit that has it, as a
technician finds it and calls for cooling, shows what the tree says of its complaint.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations

import numpy as np

from engine.formula import Formula, FormulaError, Measured, Value, evaluate
from engine.guide.asking import asked_of_field
from engine.quantity import FAHRENHEIT, Quantity
from engine.reading import Special, parse, parse_marking
from engine.session.nameplate import value_of_field
from engine.trade.catalogue import FIGURES
from engine.tree import WalkTree
from engine.unit.bench import Bench
from engine.unit.condition import Condition
from engine.unit.faults import Fault, Row
from engine.unit.network import Flags
from engine.unit.observed import lacks, shows
from engine.unit.settled import Settled, When
from engine.unit.symptom import READ, AllOf, AnyOf, Beyond, Over, Symptom, leaves
from engine.unit.unit import Unit
from engine.vocabulary import Field, Vocabulary


def belongs(walk: WalkTree, unit: Unit) -> tuple[str, ...]:
    """Return the faults of a unit that show the tree's complaint, in the unit file's order.

    None where the tree does not say what a unit with its complaint shows.
    """
    symptom = walk.tree.complaint.shows
    if symptom is None:
        return ()
    found: set[str] = set()
    for condition, faults in _as_found(unit).items():
        bench = Bench(unit, [Row((fault,)) for fault in faults])
        settled = bench.settle(condition)
        looking = _Looking(walk, unit, settled, faults)
        flags = looking.at(symptom)
        found.update(fault.name for fault, one in zip(faults, flags, strict=True) if one)
    return tuple(name for name in unit.faults if name in found)


def cannot_show(walk: WalkTree, unit: Unit) -> str:
    """Return in a sentence why no fault of a unit can show the complaint; empty where one can."""
    symptom = walk.tree.complaint.shows
    if symptom is None:
        said = f"{walk.tree.name} does not say what a unit with its complaint shows."
        return f"{said} Write it under complaint, as shows."
    for one in leaves(symptom):
        part = "" if isinstance(one, Beyond) else lacks(unit, one)
        if part:
            return f"{unit.name} has no {part}, which the complaint of {walk.tree.name} speaks of."
    return ""


def _as_found(unit: Unit) -> Mapping[Condition, list[Fault]]:
    """Return the faults by the condition in which somebody finds the unit that has them."""
    usual = next(iter(unit.operating.values()), Condition())
    by: dict[Condition, list[Fault]] = {}
    for fault in unit.faults.values():
        condition = replace(usual, open=usual.open.union(fault.found))
        by.setdefault(condition, []).append(fault)
    return by


class _Looking:
    """Settled rows, one a fault, while they are looked at."""

    def __init__(
        self, walk: WalkTree, unit: Unit, settled: Settled, faults: Sequence[Fault]
    ) -> None:
        self._walk = walk
        self._unit = unit
        self._settled = settled
        self._faults = faults

    def at(self, symptom: Symptom) -> Flags:
        """Return which rows show a symptom, [rows]."""
        if isinstance(symptom, AllOf):
            return np.asarray(np.all([self.at(one) for one in symptom.parts], axis=0))
        if isinstance(symptom, AnyOf):
            return np.asarray(np.any([self.at(one) for one in symptom.parts], axis=0))
        if isinstance(symptom, Beyond):
            return self._beyond(symptom)
        return shows(self._settled, symptom, When.AFTER_THE_TRIP)

    def _beyond(self, beyond: Beyond) -> Flags:
        places = list(places_of(beyond, self._walk.vocabulary, self._unit.phases))
        try:
            displays = [self._settled.read(beyond.function, one, When.RUNNING) for one in places]
        except (KeyError, ValueError):
            # The unit has no such point, or says nothing of it: then nothing of it is shown.
            return np.zeros(len(self._faults), dtype=bool)
        found = np.zeros(len(self._faults), dtype=bool)
        for at, fault in enumerate(self._faults):
            read = [one.reading(at) for one in displays]
            values = tuple(
                Measured.sure(one.quantity) if one.quantity else one.special or Special.OL
                for one in read
                if one is not None
            )
            if len(values) == len(read):
                found[at] = self._is_beyond(beyond, values, fault)
        return found

    def _is_beyond(
        self, beyond: Beyond, values: tuple[Measured | Special, ...], fault: Fault
    ) -> bool:
        plate = nameplate_values(self._walk.fields, {**self._unit.nameplate, **fault.nameplate})
        judged: tuple[Value, ...] = values
        if beyond.judge is not None:
            read: Value = values[0] if beyond.over is Over.POINTS else values
            worked = _worked(beyond.judge, {**plate, READ: read})
            judged = () if worked is None else (worked,)
        limit = _worked(beyond.limit, plate)
        if not isinstance(limit, Measured):
            return False
        numbers = [one.quantity.value for one in judged if isinstance(one, Measured)]
        ends = limit.quantity.value
        return any(one < ends if beyond.below else one > ends for one in numbers)


def _worked(formula: Formula, values: Mapping[str, Value]) -> Value | None:
    """Return what a formula gives; None where it gives nothing on this unit."""
    try:
        return evaluate(formula, values, FIGURES)
    except (FormulaError, KeyError):
        return None


def places_of(beyond: Beyond, vocabulary: Vocabulary, phases: int) -> Iterator[tuple[str, ...]]:
    """Yield the points of every reading: one where the places are points, else those of a set."""
    if beyond.over is Over.POINTS:
        yield beyond.places
        return
    points = vocabulary.sets[beyond.places[0]][str(phases)]
    if beyond.over is Over.PAIRS:
        yield from combinations(points, 2)
    else:
        yield from (
            (point, "ground") if beyond.over is Over.GROUND else (point,) for point in points
        )


def nameplate_values(
    fields: Mapping[str, Field], typed: Mapping[str, Sequence[str]]
) -> Mapping[str, Value]:
    """Return what the answers of a nameplate are in a formula; what is no number is left out."""
    found: dict[str, Value] = {}
    for name, answers in typed.items():
        field = fields.get(name)
        if field is None or field.words:
            continue
        found[name] = value_of_field(field, _quantities(field, " ".join(answers)))
    return found


def _quantities(field: Field, text: str) -> list[Quantity]:
    asked = asked_of_field(field, FAHRENHEIT)
    read = parse_marking(text, asked) if field.volts_marking else (parse(text, asked),)
    return [one.quantity for one in read if one.quantity is not None]

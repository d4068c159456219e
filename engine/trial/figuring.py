"""Figures worked out for many rows in floats: each as read, and with its readings at their ends.

Owns `Figuring`, which does for rows of floats what `engine.formula.working` does for one row of
fractions: the same corners, in the same order. A row with anything but numbers in it is not for
this; nor is a figure's answer that lies on a cut, which the fractions decide.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

import numpy as np

from engine.figure import FigureError, Input
from engine.formula import Formula, FormulaError, Measured, Name, Value
from engine.formula.node import Call, Extreme, Node, Said, every
from engine.quantity import UNITS, base_unit, exact
from engine.trade.catalogue import FIGURES
from engine.trade.table import Editions, editions
from engine.trial.displays import Display

_MOST_CORNERS_OF = 4
"""As `engine.formula.working` has it: up to four doubtful readings every corner is tried."""

Answered = float | str
Numbers = dict[str, list[float]]


@dataclass(frozen=True, slots=True)
class Worked:
    """What one row's figure gives: as read, and at every corner of its doubt."""

    centre: Answered
    corners: tuple[Answered, ...]


class Figuring:
    """One call of a figure, ready for rows."""

    def __init__(
        self,
        call: Call,
        constant: Callable[[Formula], Value | None],
        places: Mapping[str, Sequence[Display]],
    ) -> None:
        """``places`` gives the displays of each name that differs from row to row.

        Raises FormulaError for a call that this can't do.
        """
        figure = FIGURES[call.figure]
        self._figure = figure
        self._output = figure.output(call.output)
        self._places = dict(sorted(places.items()))
        inputs = {item.name: item for item in figure.inputs}
        self._arguments = [
            (name, inputs[name], [_part(one, constant, self._places) for one in given])
            for name, given in call.arguments
        ]

    def row(self, row: int) -> Worked | None:
        """Return what one row gives; None where it has to be worked out in fractions."""
        values: Numbers = {}
        ends: list[tuple[str, int, float, float]] = []
        for name, displays in self._places.items():
            values[name] = []
            for at, one in enumerate(displays):
                if one.over[row] or one.unsteady[row]:
                    return None
                value, half = float(one.value[row]), float(one.half[row])
                values[name].append(value)
                if half > 0:
                    ends.append((name, at, max(value - half, 0.0), value + half))
        if any(number < 0 for one in values.values() for number in one):
            return None
        try:
            centre = self._at(values)
            corners = [self._at(_moved(values, ends, chosen)) for chosen in self._chosen(ends)]
        except (FigureError, ArithmeticError):
            return None
        known = tuple(one for one in corners if one is not None)
        return None if centre is None or len(known) < len(corners) else Worked(centre, known)

    def _chosen(self, ends: Sequence[tuple[str, int, float, float]]) -> list[tuple[int, ...]]:
        count = len(ends)
        if not count:
            return []
        if count <= _MOST_CORNERS_OF:
            return list(product((0, 1), repeat=count))
        if self._output.kind is not None:
            raise FigureError("Beyond four readings numbers are for the fractions.")
        return [(0,) * count, (1,) * count]

    def _at(self, values: Numbers) -> Answered | None:
        given: list[tuple[str, object]] = []
        for name, item, parts in self._arguments:
            ready: list[object] = []
            for part in parts:
                found = part(values)
                ready += found if isinstance(found, list) else [found]
            given.append((name, tuple(ready) if item.many else ready[0]))
        raw = _answered(self._figure.name, tuple(given), editions())[self._output.name]
        if isinstance(raw, bool):
            return "yes" if raw else "no"
        if isinstance(raw, str):
            return raw
        if isinstance(raw, int | float) and self._output.kind is not None and np.isfinite(raw):
            unit = self._output.unit or base_unit(self._output.kind).symbol
            return float(exact(raw) * UNITS[unit].factor)
        return None


@lru_cache(maxsize=65536)
def _answered(
    figure: str, given: tuple[tuple[str, object], ...], local: Editions
) -> Mapping[str, object]:
    """Return what a figure answers; steps ask several outputs of it for the same readings."""
    return FIGURES[figure].answer(**dict(given))


def _moved(
    values: Numbers, ends: Sequence[tuple[str, int, float, float]], chosen: Sequence[int]
) -> Numbers:
    moved = {name: list(numbers) for name, numbers in values.items()}
    for (name, at, low, high), high_end in zip(ends, chosen, strict=True):
        moved[name][at] = high if high_end else low
    return moved


Part = Callable[[Numbers], object]


def _part(
    node: Node, constant: Callable[[Formula], Value | None], places: Mapping[str, object]
) -> Part:
    """Return what gives a part of an argument for a row's numbers."""
    if isinstance(node, Said):
        word = node.word
        return lambda _: word
    if isinstance(node, Name) and node.name in places:
        name = node.name
        return lambda values: list(values[name])
    if isinstance(node, Extreme) and all(
        isinstance(one, Name) and one.name in places for one in node.parts
    ):
        names = [one.name for one in node.parts if isinstance(one, Name)]
        pick = min if node.word == "min" else max
        return lambda values: pick(number for name in names for number in values[name])
    if any(isinstance(one, Name) and one.name in places for one in every(node)):
        raise FormulaError("Only names and their least and greatest are worked out in floats.")
    found = constant(Formula(node, ""))
    if isinstance(found, Measured) and found.low == found.high:
        return _constant(float(found.quantity.value))
    if isinstance(found, str):
        return _constant(found)
    raise FormulaError("It is no number and no word.")


def _constant(value: object) -> Part:
    return lambda _: value


def in_base_units(call: Call) -> bool:
    """Return whether a figure takes every number in the base unit of its kind, as displays have."""
    return all(_is_base(item) for item in FIGURES[call.figure].inputs)


def _is_base(item: Input) -> bool:
    if item.kind is None:
        return True
    return not item.unit or (UNITS[item.unit].factor == 1 and not item.unit.endswith("F"))

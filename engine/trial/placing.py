"""Rows among the bands of a judgement, all at once: where each lies, and how far its doubt reaches.

Owns `Placing`. What it takes is a reading, the least or the greatest of some, or a figure of some,
against cuts that are the same for all rows. What it can't be sure of it says, and the session's
fractions decide.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from engine.bands import OTHERWISE, UP_TO
from engine.formula import Formula, FormulaError, Measured, Name, Value
from engine.formula.node import Call, Extreme
from engine.quantity import Kind
from engine.reading import FUNCTION_KIND, Function, Special
from engine.session.worked import evaluate
from engine.tree import Judgement
from engine.trial.displays import Display
from engine.trial.figuring import Figuring, in_base_units
from engine.trial.knowing import Asked, Knowing
from engine.unit.meter import Rows
from engine.unit.network import Flags
from engine.unit.rows import Reals

_ON_THE_CUT = 1e-9
"""Share of a cut within which floats are not asked."""
_MAGNITUDES = frozenset({Kind.VOLTAGE, Kind.CURRENT, Kind.RESISTANCE, Kind.CAPACITANCE})
"""Kinds whose doubt goes no further than zero where a formula is worked out with it."""
_OL_IS_MUCH = (Function.OHMS, Function.INSULATION)
"""Functions of which OL falls in the top band, unless it has an answer of its own."""


class Spans(NamedTuple):
    """What is judged, row by row: as read, the least and most it may be, whether it is known."""

    value: Reals
    low: Reals
    high: Reals
    known: Flags


class Placed(NamedTuple):
    """The band of each row, by its number; the lowest and highest within its doubt."""

    at: Rows
    lowest: Rows
    highest: Rows
    sure: Flags
    margins: Reals
    """[cuts, rows]: how far from each cut, in half widths."""

    def within(self, keys: tuple[str, ...], place: int) -> tuple[str, ...]:
        """Return the keys that a row may have, its own first, the others from low to high."""
        at, low, high = (int(one[place]) for one in (self.at, self.lowest, self.highest))
        reached = range(min(low, at), max(high, at) + 1)
        return (keys[at], *(keys[one] for one in reached if one != at))


class Placing:
    """Places rows of one trial."""

    def __init__(self, knowing: Knowing) -> None:
        self._knowing = knowing

    def placed(self, asked: Asked, judgement: Judgement, rows: Rows) -> Placed | None:
        """Return where rows lie among the bands of a judgement; None where this can't tell."""
        bands = judgement.bands
        if bands is None or not bands.cuts:
            return None
        spans = self._spans(asked, judgement.judge, rows)
        ends = self._ends(asked, judgement, rows)
        if spans is None or ends is None:
            return None
        value, low, high, sure = spans
        if Special.OL in bands.specials:
            sure = np.asarray(sure & np.isfinite(value))
        number = sure & np.isfinite(value)
        half = np.maximum(np.where(number, high, 1.0) - np.where(number, low, 0.0), 2e-300) / 2
        at, lowest, highest = (np.full(rows.size, len(ends), dtype=np.intp) for _ in range(3))
        margins = np.full((len(ends), rows.size), np.inf)
        for place in reversed(range(len(ends))):
            end, up_to = ends[place], bands.cuts[place].words == UP_TO
            for into, what in ((at, value), (lowest, low), (highest, high)):
                into[what <= end if up_to else what < end] = place
                sure = sure & (np.abs(what - end) > _ON_THE_CUT * max(abs(end), 1e-9))
            margins[place] = np.abs(value - end) / half
        return Placed(at, lowest, highest, sure, margins)

    def figuring(self, asked: Asked, formula: Formula | None, rows: Rows) -> Figuring | None:
        """Return a formula that is one figure, ready for rows; None where it is none such."""
        node = formula.node if formula else None
        if formula is None or not isinstance(node, Call) or not in_base_units(node):
            return None
        places: dict[str, list[Display]] = {}
        for name in formula.names():
            if self._knowing.differs(asked.state, asked.step.name, name):
                keys = self._knowing.keys(asked, name)
                if not keys:
                    return None
                places[name] = [self._knowing.displays[key] for key in keys]
        names = self._knowing.shared_names(asked, int(rows[0]))

        def constant(part: Formula) -> Value:
            return evaluate(part, names.of(part))

        try:
            return Figuring(node, constant, places)
        except (FormulaError, KeyError):
            return None

    def _ends(self, asked: Asked, judgement: Judgement, rows: Rows) -> list[float] | None:
        """Return the ends of bands where they are the same for all rows; else None."""
        assert judgement.bands is not None
        names = self._knowing.shared_names(asked, int(rows[0]))
        ends: list[float] = []
        for cut in judgement.bands.cuts:
            if self._knowing.rests_on_readings(asked.state, asked.step.name, cut.at):
                return None
            try:
                end = evaluate(cut.at, names.of(cut.at))
            except (FormulaError, KeyError):
                return None
            if not isinstance(end, Measured):
                return None
            ends.append(float(end.quantity.value))
        return ends if ends == sorted(ends) else None

    def _spans(self, asked: Asked, formula: Formula | None, rows: Rows) -> Spans | None:
        node = None if formula is None else formula.node
        if isinstance(node, Call):
            return self._figured(asked, formula, rows)
        if node is None and len(asked.wanted) == 1:
            return self._read(asked, [asked.wanted[0][0].reading], "", rows)
        if isinstance(node, Name):
            return self._read(asked, [node.name], "", rows)
        if isinstance(node, Extreme) and all(isinstance(one, Name) for one in node.parts):
            names = [one.name for one in node.parts if isinstance(one, Name)]
            return self._read(asked, names, node.word, rows)
        return None

    def _read(self, asked: Asked, names: list[str], word: str, rows: Rows) -> Spans | None:
        """Return a reading, or with a word the least or greatest of some."""
        for name in names:
            # A reading of the step that this unit is not asked for is an empty set.
            if name not in asked.may_read and not self._knowing.keys(asked, name):
                return None
        shown = [
            self._knowing.displays[k] for name in names for k in self._knowing.keys(asked, name)
        ]
        if not shown or (not word and len(shown) > 1):
            return None
        value = np.array([one.value[rows] for one in shown])
        half = np.array([one.half[rows] for one in shown])
        over = np.array([one.over[rows] for one in shown])
        known = np.asarray(~np.array([one.unsteady[rows] for one in shown]).any(axis=0))
        low, high = value - half, value + half
        function = shown[0].function
        if word and FUNCTION_KIND[function] in _MAGNITUDES:
            low = np.maximum(low, np.where(value >= 0, 0.0, -np.inf))
            high = np.minimum(high, np.where(value < 0, 0.0, np.inf))
        least = word == "min"
        parts = (np.where(over, np.inf, one) for one in (value, low, high))
        value, low, high = (one.min(axis=0) if least else one.max(axis=0) for one in parts)
        none = over.all(axis=0) if least else over.any(axis=0)
        if function not in _OL_IS_MUCH:
            known = np.asarray(known & ~none)
        return Spans(value, low, high, known)

    def _figured(self, asked: Asked, formula: Formula | None, rows: Rows) -> Spans | None:
        """Return what a figure gives that gives a number."""
        figuring = self.figuring(asked, formula, rows)
        if figuring is None:
            return None
        found = np.zeros((3, rows.size))
        known = np.zeros(rows.size, dtype=bool)
        for at, row in enumerate(map(int, rows)):
            worked = figuring.row(row)
            if worked is None or isinstance(worked.centre, str):
                continue
            every = [worked.centre, *(one for one in worked.corners if isinstance(one, float))]
            found[:, at] = worked.centre, min(every), max(every)
            known[at] = True
        return Spans(found[0], found[1], found[2], known)


def keys_of(judgement: Judgement) -> tuple[str, ...]:
    """Return the keys of a judgement's bands from low to high."""
    assert judgement.bands is not None
    return (*(cut.key for cut in judgement.bands.cuts), OTHERWISE)

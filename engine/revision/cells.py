"""Which readings end elsewhere: the cuts of two revisions laid over each other.

At every corner of the nameplate that the cuts rest on, the cuts of both part all readings into
cells; within a cell neither tree changes its answer. Cells side by side that change alike are one
range, told with its ends as the author wrote them and, where those rest on the nameplate, with the
numbers of one. Exact arithmetic: a range may be a single value, as where ``below 5 V`` becomes
``up to 5 V``.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from typing import Generic, TypeVar

from engine.bands import OTHERWISE, UP_TO, Bands
from engine.formula import Box, FormulaError, Measured, Value, evaluate, in_words
from engine.formula.box import Corner
from engine.formula.writing import Naming, in_text
from engine.quantity import Kind, Quantity
from engine.quantity import words as quantity_in_words
from engine.trade.catalogue import FIGURES

Keys = tuple[str, str]
"""The band that a reading falls in, in the old tree and in the new one."""
C = TypeVar("C", bound=Hashable)
"""What has changed for a reading."""


@dataclass(frozen=True, slots=True)
class Range(Generic[C]):
    """Readings for which the same has changed."""

    where: str
    """``20.4 V to 21 V``, ``above 110 % of high of rated volts``, ``OL``."""
    change: C
    example: str = ""
    """Its ends in numbers and for which nameplate; empty where they rest on none."""


def ranges(
    old: Bands, new: Bands, boxes: Iterable[Box], tell: Callable[[Keys], C | None], naming: Naming
) -> Iterator[Range[C]]:
    """Yield every range for which something has changed on some nameplate, each once.

    ``tell`` says what has changed for a reading that falls in two bands; None where nothing has.
    The cuts have no work-outs in them. Raises UnprovableError where one rests on what is no
    nameplate value, or on more of them than can be tried; FormulaError where no nameplate lets
    the cuts be worked out.
    """
    names = sorted(old.names() | new.names())
    seen: set[tuple[str, C]] = set()
    refused: FormulaError | None = None
    tried = 0
    for corner in (corner for box in boxes for corner in box.corners(names)):
        try:
            laid_over = _Corner(corner, old, new, naming)
        except FormulaError as error:
            refused = error
            continue
        tried += 1
        for one in laid_over.ranges(tell):
            if (one.where, one.change) not in seen:
                seen.add((one.where, one.change))
                yield one
    if refused and not tried:
        raise refused


@dataclass(frozen=True, slots=True)
class _Cell:
    """Readings between two cuts that follow each other, or exactly at one."""

    low: int
    high: int
    """Places of its ends among the cuts' values; equal for a single value, one before the first
    and one behind the last where it has no end."""
    keys: Keys


class _Corner:
    """The cuts of both trees at one nameplate."""

    def __init__(self, corner: Corner, old: Bands, new: Bands, naming: Naming) -> None:
        self._corner = corner
        self._naming = naming
        self._ends = [_worked_out(bands, corner) for bands in (old, new)]
        self._bands = (old, new)
        self._values = sorted({value for ends in self._ends for value, _ in ends})

    def ranges(self, tell: Callable[[Keys], C | None]) -> Iterator[Range[C]]:
        """Yield the ranges that have changed at this corner, rising."""
        for change, alike in groupby(self._cells(), lambda cell: tell(cell.keys)):
            cells = list(alike)
            if change is not None:
                where, example = self._said(cells[0].low, cells[-1].high)
                yield Range(where, change, example)

    def _cells(self) -> Iterator[_Cell]:
        last = len(self._values)
        for at in range(-1, last):
            if at >= 0:
                yield _Cell(at, at, self._keys(self._values[at]))
            yield _Cell(at, at + 1, self._keys(self._between(at)))

    def _between(self, at: int) -> Fraction:
        """Return a value between two that follow each other, or beyond the first or the last."""
        if not self._values:
            return Fraction(0)
        if at < 0:
            return self._values[0] - 1
        if at + 1 == len(self._values):
            return self._values[at] + 1
        return (self._values[at] + self._values[at + 1]) / 2

    def _keys(self, value: Fraction) -> Keys:
        old, new = (
            _key(bands, ends, value) for bands, ends in zip(self._bands, self._ends, strict=True)
        )
        return old, new

    # --- in words ---------------------------------------------------------------------------------

    def _said(self, low: int, high: int) -> tuple[str, str]:
        """Return a range by its ends, and its example."""
        written = [self._written(at) for at in (low, high)]
        numbers = [self._number(at) for at in (low, high)]
        rests = sorted(
            name for bands in self._bands for name in bands.names() if written != numbers
        )
        nameplate = ", ".join(
            f"{self._naming(name)} {_marked(self._corner[name])}" for name in dict.fromkeys(rests)
        )
        example = f"{_range(*numbers)} with {nameplate}" if nameplate else ""
        return _range(*written), example

    def _written(self, at: int) -> str:
        """Return an end as the author wrote it; as a number where it rests on no nameplate."""
        if not 0 <= at < len(self._values):
            return ""
        value = self._values[at]
        cuts = [
            cut.at
            for bands, ends in zip(self._bands[::-1], self._ends[::-1], strict=True)
            for (end, _), cut in zip(ends, bands.cuts, strict=True)
            if end == value
        ]
        return in_text(cuts[0], FIGURES, self._naming) if cuts[0].names() else self._number(at)

    def _number(self, at: int) -> str:
        if not 0 <= at < len(self._values):
            return ""
        kind = next(kind for ends in self._ends for _, kind in ends)
        return quantity_in_words(Quantity(self._values[at], kind))


def _marked(value: Value) -> str:
    """Return a nameplate value; a marking with two ends as it is printed, ``208 V to 230 V``."""
    several = value if isinstance(value, tuple) else (value,)
    return " to ".join(dict.fromkeys(map(in_words, several)))


def _range(low: str, high: str) -> str:
    if low and high:
        return f"exactly {low}" if low == high else f"{low} to {high}"
    if high:
        return f"below {high}"
    return f"above {low}" if low else "any value"


def _worked_out(bands: Bands, corner: Corner) -> list[tuple[Fraction, Kind]]:
    """Return the value of every cut, a list; where a figure refuses, no cut is honest there."""
    ends: list[tuple[Fraction, Kind]] = []
    for cut in bands.cuts:
        end = evaluate(cut.at, corner, FIGURES)
        if not isinstance(end, Measured):
            raise FormulaError(f"{cut.key} is not one number.")
        ends.append((end.quantity.value, end.quantity.kind))
    return ends


def _key(bands: Bands, ends: Sequence[tuple[Fraction, Kind]], value: Fraction) -> str:
    for cut, (end, _) in zip(bands.cuts, ends, strict=True):
        if value < end or (value == end and cut.words == UP_TO):
            return cut.key
    return OTHERWISE

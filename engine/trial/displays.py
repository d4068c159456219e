"""What the displays of all rows showed last, reading by reading, and the readings they make.

Owns `Displays`: one array for each place that was read, so that rows which share a session's state
keep their own numbers. The arithmetic of `engine.meters` in vectors; a reading made of it is the
very same that a technician would have typed.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from engine.meters import shipped_meters, with_meter
from engine.reading import Function, Reading
from engine.session.state import ReadingKey
from engine.unit.meter import Rows, Shown
from engine.unit.network import Flags
from engine.unit.rows import Reals


@dataclass(slots=True)
class Display:
    """What was read at one place, [all rows]; only rows that have read there count."""

    function: Function
    value: Reals
    half: Reals
    over: Flags
    unsteady: Flags
    resolution: Reals


class Displays:
    """The readings of all rows."""

    def __init__(self, rows: int, meter: str = "") -> None:
        self._rows = rows
        self._meter = meter
        self._read: dict[ReadingKey, Display] = {}

    def __getitem__(self, key: ReadingKey) -> Display:
        return self._read[key]

    def __contains__(self, key: object) -> bool:
        return key in self._read

    def keep(self, key: ReadingKey, rows: Rows, shown: Shown) -> None:
        """Keep what some rows read at a place."""
        display = self._read.get(key)
        if display is None:
            size = self._rows
            numbers = [np.zeros(size) for _ in range(3)]
            flags = [np.zeros(size, dtype=bool) for _ in range(2)]
            display = Display(
                shown.function, numbers[0], numbers[1], flags[0], flags[1], numbers[2]
            )
            self._read[key] = display
        display.value[rows] = shown.value
        display.over[rows] = shown.over
        display.unsteady[rows] = shown.unsteady
        display.resolution[rows] = shown.resolution
        display.half[rows] = half_widths(self._meter, shown)

    def reading(self, key: ReadingKey, row: int) -> Reading:
        """Return one row's reading with its half width."""
        one = self._read[key]
        at = np.array([row])
        shown = Shown(
            one.function,
            one.value[at],
            one.over[at],
            np.zeros(1, dtype=bool),
            np.zeros(1, dtype=bool),
            one.resolution[at],
            one.unsteady[at],
        )
        reading = shown.reading(0)
        assert reading is not None
        return with_meter(reading, one.function, self._meter)


def half_widths(meter: str, shown: Shown) -> Reals:
    """Return how far the truth may lie from every number shown, in the base unit, [rows]."""
    ranges = shipped_meters().instrument(meter, shown.function).ranges[shown.function]
    size = np.abs(shown.value)
    which = np.searchsorted([float(one.up_to) for one in ranges], size - 1e-12 * size, side="left")
    which = np.minimum(which, len(ranges) - 1)
    steps = np.array([float(one.resolution) for one in ranges])[which]
    share = np.array([float(one.percent) / 100 for one in ranges])[which]
    counts = np.array([one.counts for one in ranges])[which]
    rounded = np.where(shown.resolution > steps * (1 + 1e-9), shown.resolution / 2, 0.0)
    return np.asarray(size * share + counts * steps + rounded)

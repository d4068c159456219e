"""Where the technicians of all rows stand: what has been switched, pressed, mended, and blown.

Owns `Work`, what was done to the unit, and `Site`, which turns it into settled rows: every circuit
condition is settled once for a row, all rows that come by it together, and a reading is taken once
for all of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from engine.reading import Function
from engine.unit.bench import Bench
from engine.unit.condition import Condition
from engine.unit.faults import Row
from engine.unit.meter import Rows, Shown
from engine.unit.network import Flags, State
from engine.unit.settled import Settled, When
from engine.unit.unit import Unit

CALL = frozenset({"Y", "G"})
PATIENCE = 300.0
"""Seconds that somebody watches a unit after switching on: what opens later is not seen then, and
what is read in the meantime is read before it opens."""
SHOCK = 50.0
"""Volts from which nobody's hands belong on a conductor (29 CFR 1910.333(a)(1))."""
_OVERLOAD = ".overload"
_REPLACED = ("control_fuse",)
"""What is put in new with every repair if it has blown."""


class Work(NamedTuple):
    """What somebody has done to the unit; equal ones leave it alike."""

    opened: frozenset[str] = frozenset()
    """Devices that were switched off."""
    closed: frozenset[str] = frozenset()
    """Devices that were switched on, however they were found."""
    called: bool = False
    repaired: frozenset[str] = frozenset()
    """Suspects that were mended."""

    def switched(self, device: str, *, on: bool) -> Work:
        """Return the work with a device switched; nothing is called any more."""
        if on:
            return Work(self.opened - {device}, self.closed | {device}, False, self.repaired)
        return Work(self.opened | {device}, self.closed - {device}, False, self.repaired)


@dataclass(slots=True)
class _Kept:
    """Rows that were settled together in one condition."""

    settled: Settled
    at: Rows
    """[all rows]: where a row stands in it; -1 for none."""
    whole: NDArray[np.int64]
    """[all rows]: which protections were whole then."""
    shown: dict[tuple[Function, tuple[str, ...], When], Shown] = field(default_factory=dict)


Part = tuple[Settled, Rows, Rows, _Kept]
"""Settled rows; which of those asked for (their places in the question); their places in it."""


class Site:
    """Rows of one unit at work."""

    def __init__(self, unit: Unit, rows: Sequence[Row], seed: int) -> None:
        self.unit = unit
        self.rows = tuple(rows)
        self.bench = Bench(unit, rows, seed)
        self.settles = 0
        """Rows settled so far."""
        self._protections = [one.name for one in unit.netlist.protections]
        found = [frozenset(device for one in row.faults for device in one.found) for row in rows]
        self._found_sets = list(dict.fromkeys(found))
        self._found = np.array([self._found_sets.index(one) for one in found], dtype=np.intp)
        self._bits = np.full(len(rows), (1 << len(self._protections)) - 1, dtype=np.int64)
        self._kept: dict[Condition, list[_Kept]] = {}
        self._runs: list[_Kept] = []
        self._ran = np.full(len(rows), -1, dtype=np.intp)
        self.as_told = self._complaint()

    # --- what has happened ------------------------------------------------------------------------

    def _complaint(self) -> list[_Kept]:
        """Settle every row as it was called, before anybody came; what blew stays blown."""
        every = np.arange(len(self.rows))
        told: list[_Kept] = []
        for condition, rows in self._conditions(Work(called=True), every, Condition(calls=CALL)):
            settled = self.bench.settle(condition, rows)
            self.settles += rows.size
            at = np.full(every.size, -1, dtype=np.intp)
            at[rows] = np.arange(rows.size)
            told.append(_Kept(settled, at, self._bits.copy()))
            self._keep_whole(rows, settled, np.arange(rows.size), np.inf)
        return told

    def _conditions(
        self, work: Work, rows: Rows, wanted: Condition
    ) -> list[tuple[Condition, Rows]]:
        """Return the condition of every row: devices stand as found until they are switched."""
        parts: list[tuple[Condition, Rows]] = []
        for number, found in enumerate(self._found_sets):
            here = rows[self._found[rows] == number]
            if here.size:
                stand = work.opened | (found - work.closed)
                parts.append((replace(wanted, open=stand, repaired=work.repaired), here))
        return parts

    def _keep_whole(self, rows: Rows, settled: Settled, places: Rows, patience: float) -> None:
        """Keep what opened within a time; overloads have closed again."""
        bits = self._bits[rows]
        for at, name in enumerate(self._protections):
            if name.endswith(_OVERLOAD):
                bits |= 1 << at
                continue
            after = settled.tripped_after(name)[places]
            bits = np.where(np.isfinite(after) & (after <= patience), bits & ~(1 << at), bits)
        self._bits[rows] = bits

    def happened(self, work: Work, rows: Rows) -> None:
        """Let happen what follows from the work within the time that somebody watches."""
        wanted = Condition(calls=CALL if work.called else frozenset())
        for settled, asked, places, kept in self.parts(work, rows, wanted):
            if work.called:
                self._ran[rows[asked]] = len(self._runs)
                self._runs.append(kept)
            self._keep_whole(rows[asked], settled, places, PATIENCE)

    def reset(self, rows: Rows, device: str) -> None:
        """Close a protection that tripped; blown fuses stay blown."""
        if device in self._protections:
            self._bits[rows] |= 1 << self._protections.index(device)

    def replaced(self, rows: Rows, device: str = "") -> None:
        """Put in new what blows, as every repair does: the control fuse, and that of a device."""
        for at, name in enumerate(self._protections):
            part = name.split(".", 1)[0]
            if part in _REPLACED or (device and part == device):
                self._bits[rows] |= 1 << at

    # --- what is found then -----------------------------------------------------------------------

    def parts(self, work: Work, rows: Rows, wanted: Condition) -> list[Part]:
        """Return the rows settled in a condition, in as many parts as they were settled in."""
        found: list[Part] = []
        for condition, here in self._conditions(work, rows, wanted):
            found += self._settled(condition, here, rows)
        return found

    def _settled(self, condition: Condition, here: Rows, rows: Rows) -> list[Part]:
        kept = self._kept.setdefault(condition, [])
        order = np.full(len(self.rows), -1, dtype=np.intp)
        order[rows] = np.arange(rows.size)
        parts: list[Part] = []
        left = here
        for one in kept:
            if not left.size:
                break
            has = (one.at[left] >= 0) & (one.whole[left] == self._bits[left])
            there = left[has]
            if there.size:
                parts.append((one.settled, order[there], one.at[there], one))
            left = left[~has]
        if left.size:
            made = self._settle(condition, left)
            kept.append(made)
            parts.append((made.settled, order[left], made.at[left], made))
        return parts

    def _settle(self, condition: Condition, rows: Rows) -> _Kept:
        begin = State.at_rest(self.as_told[0].settled.circuit, rows.size)
        whole = begin.whole.copy()
        for at in range(len(self._protections)):
            whole[at] = (self._bits[rows] >> at & 1).astype(bool)
        settled = self.bench.settle(condition, rows, replace(begin, whole=whole))
        self.settles += rows.size
        at_row = np.full(len(self.rows), -1, dtype=np.intp)
        at_row[rows] = np.arange(rows.size)
        return _Kept(settled, at_row, self._bits.copy())

    def read(
        self,
        work: Work,
        rows: Rows,
        wanted: Condition,
        function: Function,
        points: tuple[str, ...],
        when: When,
    ) -> Shown:
        """Return what the meters of some rows show; raises as `Settled.read` does."""
        size = rows.size
        whole = Shown(
            function,
            np.zeros(size),
            np.zeros(size, dtype=bool),
            np.zeros(size, dtype=bool),
            np.zeros(size, dtype=bool),
            np.zeros(size),
            np.zeros(size, dtype=bool),
        )
        parts = self.parts(work, rows, wanted)
        if function is Function.PEAK_CLAMP_AMPS:
            # What the clamp kept is of the last run, whatever has opened since.
            parts = self._last_run(rows) or parts
        for settled, asked, places, kept in parts:
            key = (function, points, when)
            if key not in kept.shown:
                kept.shown[key] = settled.read(function, points, when)
            one = kept.shown[key]
            for into, part in (
                (whole.value, one.value),
                (whole.over, one.over),
                (whole.live, one.live),
                (whole.floating, one.floating),
                (whole.resolution, one.resolution),
                (whole.unsteady, one.unsteady),
            ):
                into[asked] = part[places]
        return whole

    def live(self, work: Work, rows: Rows, points: Sequence[str]) -> Flags:
        """Return where one of some points has 50 V or more to ground, whatever is reported."""
        found = np.zeros(rows.size, dtype=bool)
        for settled, asked, places, _ in self.parts(work, rows, Condition()):
            network = settled.network(When.DEAD)
            for point in points:
                volts = np.abs(network.node(self.unit.points.get(point, point)))
                found[asked] |= volts[places] >= SHOCK
        return found

    def _last_run(self, rows: Rows) -> list[Part]:
        """Return rows as they ran last; empty where one of them never has."""
        ran = self._ran[rows]
        if (ran < 0).any():
            return []
        parts: list[Part] = []
        for number in np.unique(ran):
            kept = self._runs[int(number)]
            asked = np.flatnonzero(ran == number)
            parts.append((kept.settled, asked, kept.at[rows[asked]], kept))
        return parts

    def told(self, rows: Rows) -> list[Part]:
        """Return rows as the customer saw them."""
        parts: list[Part] = []
        for one in self.as_told:
            has = one.at[rows] >= 0
            if has.any():
                parts.append((one.settled, np.flatnonzero(has), one.at[rows[has]], one))
        return parts


def scattered(parts: Sequence[tuple[Flags, Rows]], size: int) -> Flags:
    """Return flags of parts put back in the order of the question, [rows]."""
    found = np.zeros(size, dtype=bool)
    for flags, asked in parts:
        found[asked] = flags
    return found

"""Where machines come to rest on their torque curves: standing, running, or stalled.

Owns the search for slips. The circuit is seen once from all coils, as volts behind an impedance;
after that only this small block is solved. A machine that stands looks through its whole curve:
from standstill it goes to the first crossing of torque and load. A compressor starts unloaded,
its full load is there once it is up to speed; one that cannot start, or is pulled down, stands
until it has been without volts. Machines that run disturb each other and are brought to rest
together, row by row, so that a row never depends on the others.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from engine.unit.machine import Complexes, Windings
from engine.unit.network import Flags, Network, State
from engine.unit.rows import Reals

GRID = np.concatenate(
    [
        [1.0, 0.85, 0.7, 0.55, 0.42, 0.32, 0.24, 0.18, 0.13],
        [0.095, 0.07, 0.05, 0.035, 0.024, 0.015, 0.008, 0.003, 0.0005],
    ]
)
"""Slips at which a torque curve is looked at."""
DEAD = 0.01
"""Share of its current at standstill on rated volts below which it counts as without volts."""
_SEARCHES = 4
_STEPS = 16
_CLOSE = 1e-8
"""Of the load: a torque as near to it as that is its crossing."""
_NUDGE = 2e-3
"""Share of its slip that a machine is moved by to see what follows."""

Whole = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Feed:
    """What one machine's coils see: volts behind an impedance, for some rows."""

    volts: Complexes
    """[coils, rows]"""
    impedance: Complexes
    """[coils, coils, rows]"""

    def only(self, which: Whole) -> Feed:
        """Return the feed of some of the rows."""
        return Feed(self.volts[:, which], self.impedance[:, :, which])

    def amps(self, coils: Complexes) -> Complexes:
        """Return the currents in coils of that impedance, [coils, rows].

        Eliminated without pivots, coil by coil for all rows: the matrix of a passive circuit.
        """
        whole, right = self.impedance + coils, self.volts.copy()
        count = right.shape[0]
        for pivot in range(count):
            for row in range(pivot + 1, count):
                factor = whole[row, pivot] / whole[pivot, pivot]
                whole[row, pivot + 1 :] -= factor * whole[pivot, pivot + 1 :]
                right[row] -= factor * right[pivot]
        for row in range(count - 1, -1, -1):
            for later in range(row + 1, count):
                right[row] -= whole[row, later] * right[later]
            right[row] /= whole[row, row]
        return right


class Coils:
    """Every coil of every machine, and the circuit as they see it, for some rows."""

    def __init__(self, network: Network) -> None:
        self.windings = network.windings
        self.rows = network.rows
        ends = np.cumsum([0, *(len(one.machine.coils) for one in self.windings)])
        self.of = [slice(int(a), int(b)) for a, b in pairwise(ends)]
        self.impedance, self.volts = network.seen

    def only(self, which: Whole) -> Coils:
        """Return the coils of some of the rows."""
        if which.size == self.rows:
            return self
        part = object.__new__(Coils)
        part.windings = tuple(one.only(which) for one in self.windings)
        part.rows = which.size
        part.of = self.of
        part.impedance, part.volts = self.impedance[which], self.volts[which]
        return part

    def _with_machines(self, slip: Reals, but: int = -1) -> Complexes:
        whole = self.impedance.copy()
        for at, (windings, place) in enumerate(zip(self.windings, self.of, strict=True)):
            if at != but:
                whole[:, place, place] += windings.impedance(slip[at])
        return whole

    def amps(self, slip: Reals) -> Complexes:
        """Return the currents of all coils, every machine at its slip, [coils, rows]."""
        whole = self._with_machines(slip)
        return np.asarray(np.linalg.solve(whole, self.volts[:, :, None])[:, :, 0].T)

    def feed(self, at: int, slip: Reals) -> Feed:
        """Return what one machine's coils see, the others at their slips."""
        own = self.of[at]
        others = np.r_[0 : own.start, own.stop : self.volts.shape[1]]
        whole = self._with_machines(slip, at)
        right = np.concatenate([whole[:, others, own], self.volts[:, others, None]], axis=2)
        beyond = whole[:, own, others] @ np.linalg.solve(whole[:, others[:, None], others], right)
        impedance = whole[:, own, own] - beyond[:, :, :-1]
        volts = self.volts[:, own] - beyond[:, :, -1]
        return Feed(
            np.ascontiguousarray(volts.T), np.ascontiguousarray(impedance.transpose(1, 2, 0))
        )

    def times(self, at: int, slip: Reals) -> Reals:
        """Return what a machine's load is multiplied by: more where its fan does not turn."""
        machine = self.windings[at].machine
        for other, windings in enumerate(self.windings):
            if machine.cooled_by and windings.machine.name == machine.cooled_by:
                return np.where(slip[other] > 0.5, machine.uncooled, 1.0)
        return np.ones(self.rows)

    def surplus(self, slip: Reals) -> Reals:
        """Return torque less load of every machine, in shares of its load, [machines, rows]."""
        amps = self.amps(slip)
        found = np.empty_like(slip)
        for at, (windings, place) in enumerate(zip(self.windings, self.of, strict=True)):
            drives = windings.torque(windings.fields(slip[at]), amps[place])
            held = load(windings, slip[at], self.times(at, slip))
            found[at] = (drives - held) / np.maximum(windings.load, 1e-6)
        return found


def torque(windings: Windings, feed: Feed, slip: Reals) -> Reals:
    """Return a machine's torque at a slip, [rows]."""
    fields = windings.fields(slip)
    return windings.torque(fields, feed.amps(windings.coupled(fields)))


def load(windings: Windings, slip: Reals, times: Reals) -> Reals:
    """Return the load at a slip in W at synchronous speed, [rows]."""
    machine = windings.machine
    if not machine.fan:
        return np.asarray(windings.load * times)
    speed = (1 - slip) / (1 - machine.rated_slip)
    return np.asarray(windings.load * times * np.maximum(speed, 0.02) ** 2)


def moved(network: Network) -> tuple[State, Flags]:
    """Return the state with every machine where it comes to rest, and which rows have changed."""
    state = network.state
    slip, stalled = state.slip.copy(), state.stalled.copy()
    if not network.windings:  # nothing turns
        return state, np.zeros(network.rows, dtype=bool)
    coils = Coils(network)
    amps = coils.amps(slip)
    wants = np.zeros(slip.shape, dtype=bool)
    for at, (windings, place) in enumerate(zip(coils.windings, coils.of, strict=True)):
        machine = windings.machine
        # By the current, not the volts: what a stray lends vanishes behind its megohms.
        least = DEAD * machine.volts / machine.standing_ohms
        fed = np.abs(amps[place]).max(axis=0) > least
        held = fed & (windings.locked | stalled[at])
        stalled[at] = held
        slip[at] = np.where(fed & ~held, slip[at], 1.0)
        wants[at] = fed & ~held
    _come_to_rest(coils, slip, stalled, wants)
    changed = (np.abs(slip - state.slip) > 1e-6).any(axis=0) | (stalled != state.stalled).any(
        axis=0
    )
    return replace(state, slip=slip, stalled=stalled), changed


def _come_to_rest(coils: Coils, slip: Reals, stalled: Flags, wants: Flags) -> None:
    """Bring the machines that are fed and free to where they rest, in place."""
    search = wants & (slip >= 1.0)
    for _ in range(_SEARCHES):
        for at in range(len(coils.windings)):
            which = np.flatnonzero(search[at])
            if which.size:
                part = coils.only(which)
                feed = part.feed(at, slip[:, which])
                found = _searched(
                    part.windings[at], feed, slip[at, which], part.times(at, slip[:, which])
                )
                slip[at, which] = found
                stalled[at, which] = found >= 1.0
        runs = wants & ~stalled
        search = _settled_together(coils, slip, runs)
        if not search.any():
            return


def _settled_together(coils: Coils, slip: Reals, runs: Flags) -> Flags:
    """Bring running machines to the crossing near them, in place; return which have none there.

    Broyden's method on all slips of a row; its first slopes are taken machine by machine.
    """
    lost = np.zeros(slip.shape, dtype=bool)
    waiting = np.flatnonzero(runs.any(axis=0))
    if not waiting.size:
        return lost
    part, here, on = coils.only(waiting), slip[:, waiting], runs[:, waiting]
    value = np.where(on, part.surplus(here), 0.0)
    far = np.flatnonzero((np.abs(value) > _CLOSE).any(axis=0))
    waiting, part, here, value, on = (
        waiting[far], part.only(far), here[:, far], value[:, far], on[:, far],
    )  # fmt: skip
    if not waiting.size:
        return lost
    slopes = _slopes(part, here, value, on)
    # On the stable side of its curve a machine's torque grows with its slip.
    gone = on & (np.einsum("kii->ik", slopes) <= 0)
    inverse = np.asarray(np.linalg.inv(slopes), dtype=np.float64)
    for _ in range(_STEPS):
        step = -np.einsum("kij,jk->ik", inverse, value) * on
        step = np.clip(step, -0.5 * here, 0.5 * here)
        new = np.where(on, np.clip(here + step, 1e-5, 0.999), here)
        gone |= on & (new > 0.9)
        after = np.where(on, part.surplus(new), 0.0)
        inverse = _updated(inverse, new - here, after - value)
        here, value = new, after
        slip[:, waiting] = here
        lost[:, waiting] = gone
        far = np.flatnonzero((np.abs(value) > _CLOSE).any(axis=0) & ~gone.any(axis=0))
        waiting, part, here, value = waiting[far], part.only(far), here[:, far], value[:, far]
        on, gone, inverse = on[:, far], gone[:, far], inverse[far]
        if not waiting.size:
            break
    return lost


def _slopes(coils: Coils, slip: Reals, value: Reals, on: Flags) -> Reals:
    """Return how every machine's surplus changes with every slip, [rows, machines, machines]."""
    count, rows = slip.shape
    nudged = np.tile(slip, count)
    nudge = np.where(slip > 0.9, -_NUDGE, _NUDGE) * slip
    for at in range(count):
        nudged[at, at * rows : (at + 1) * rows] += nudge[at]
    each = coils.only(np.tile(np.arange(rows), count)).surplus(nudged).reshape(count, count, rows)
    slopes = ((each - value[:, None]) / nudge).transpose(2, 0, 1)
    both = on.T[:, :, None] & on.T[:, None]
    return np.where(both, slopes, np.eye(count))


def _updated(inverse: Reals, moved_by: Reals, changed_by: Reals) -> Reals:
    """Return the inverse slopes after a step, by Broyden's update."""
    step, change = moved_by.T[:, :, None], changed_by.T[:, :, None]
    foreseen = inverse @ change
    row = np.swapaxes(step, 1, 2) @ inverse
    size = row @ change
    good = np.abs(size) > 1e-300
    return inverse + np.where(good, (step - foreseen) @ row / np.where(good, size, 1.0), 0.0)


def _searched(windings: Windings, feed: Feed, slip: Reals, times: Reals) -> Reals:
    """Return slips from the whole curve, from the present slip on."""
    each = np.tile(np.arange(slip.size), GRID.size)
    everywhere = np.repeat(GRID, slip.size)
    curve = torque(windings.only(each), feed.only(each), everywhere).reshape(GRID.size, -1)
    against = load(windings.only(each), everywhere, times[each]).reshape(GRID.size, -1)
    at_start = windings.start if not windings.machine.fan else np.ones(slip.size)
    rows = np.arange(slip.size)
    standing = slip >= 1.0
    # On the way up: the first slip at which even the start's load is too much.
    short = curve < against * at_start
    short[0] &= curve[0] < windings.start * windings.load
    stuck = np.argmax(short, axis=0)
    stuck[~short.any(axis=0)] = GRID.size
    from_here = np.searchsorted(-GRID, -slip, side="right")
    begin = np.where(standing, np.maximum(stuck, 1), np.minimum(from_here, GRID.size - 1)) - 1
    fails = standing & (stuck == 0)
    surplus = curve - against
    carries = surplus >= 0
    index = np.arange(GRID.size)[:, None]
    # Down from there to the first slip that carries the load, and on to the last that still does.
    back = np.where(carries & (index <= begin), index, -1).max(axis=0)
    later = np.where(~carries & (index > begin), index, GRID.size - 1).min(axis=0)
    upper = np.where(carries[begin, rows], later - 1, back)
    fails |= upper < 0
    # Nearly the crossing between those two; the rest is done for all machines of a row together.
    upper = np.maximum(upper, 0)
    lower = np.minimum(upper + 1, GRID.size - 1)
    above, below = surplus[upper, rows], surplus[lower, rows]
    rise = np.where(above > below, above - below, 1.0)
    found = np.where(
        above > below, GRID[upper] - above * (GRID[upper] - GRID[lower]) / rise, GRID[lower]
    )
    return np.where(fails, 1.0, np.minimum(found, 0.999))

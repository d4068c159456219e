"""Where a machine comes to rest on its torque curve: standing, running, or stalled.

Owns the search for slips. Every machine sees the rest of the circuit as volts behind an impedance;
from its present slip it goes to the first crossing of torque and load. A compressor starts almost
unloaded, its full load is there once it is up to speed; one that cannot start, or is pulled down,
stands until it has been without volts.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

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
_ROUNDS = 12
_CLOSE = 1e-9
"""Of the load: a torque as near to it as that is its crossing."""


@dataclass(frozen=True, slots=True)
class Feed:
    """What a machine's coils see: volts behind an impedance, for some rows."""

    volts: Complexes
    """[coils, rows]"""
    impedance: Complexes
    """[coils, coils, rows]"""

    @classmethod
    def of(cls, network: Network, at: int, slips: Reals, which: NDArray[np.intp]) -> Feed:
        """Return what machine ``at`` sees, the others at their slips."""
        block = network.bare[which]
        for other in range(len(network.windings)):
            if other != at:
                windings = network.windings[other].only(which)
                incidence = network.circuit.incidences[other]
                conducts = np.linalg.inv(windings.impedance(slips[other]))
                block = block + incidence.T @ conducts @ incidence
        incidence = network.circuit.incidences[at]
        rows = which.size
        right = np.concatenate(
            [
                np.broadcast_to(incidence.T, (rows, *incidence.T.shape)),
                network.driven[which][:, :, None],
            ],
            axis=2,
        )
        seen = incidence @ np.linalg.solve(block, right)
        seen = np.ascontiguousarray(np.moveaxis(seen, 0, -1))
        return cls(seen[:, -1], seen[:, :-1])

    def only(self, which: NDArray[np.intp]) -> Feed:
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
    waiting = np.arange(network.rows)
    for turn in range(_ROUNDS):
        before = slip[:, waiting].copy()
        for at in range(len(network.windings)):
            _one(network, at, slip, stalled, waiting)
        far = np.abs(slip[:, waiting] - before).max(axis=0, initial=0.0) > 1e-8
        # Only machines that turn or start disturb each other.
        waiting = waiting[far]
        if not waiting.size or (len(network.windings) == 1 and turn):
            break
    changed = (np.abs(slip - state.slip) > 1e-7).any(axis=0) | (stalled != state.stalled).any(
        axis=0
    )
    return replace(state, slip=slip, stalled=stalled), changed


def _one(network: Network, at: int, slip: Reals, stalled: Flags, which: NDArray[np.intp]) -> None:
    """Move one machine of some rows, in place."""
    windings = network.windings[at].only(which)
    feed = Feed.of(network, at, slip[:, which], which)
    machine = windings.machine
    # By the current, not the volts: what a stray lends vanishes behind its megohms.
    amps = feed.amps(windings.coupled(windings.fields(np.ones(which.size))))
    fed = np.abs(amps).max(axis=0) > DEAD * machine.volts / machine.standing_ohms
    times = _uncooled(network, machine.cooled_by, machine.uncooled, slip, which)
    new = np.ones(which.size)
    new_stalled = np.zeros(which.size, dtype=bool)
    held = fed & (windings.locked | stalled[at, which])
    new_stalled[held] = True
    free = np.flatnonzero(fed & ~held)
    if free.size:
        found = _rest(windings.only(free), feed.only(free), slip[at, which][free], times[free])
        new[free] = found
        new_stalled[free] = found >= 1.0
    slip[at, which] = new
    stalled[at, which] = new_stalled


def _uncooled(
    network: Network, fan: str, times: float, slip: Reals, which: NDArray[np.intp]
) -> Reals:
    for at, windings in enumerate(network.windings):
        if fan and windings.machine.name == fan:
            return np.where(slip[at, which] > 0.5, times, 1.0)
    return np.ones(which.size)


def _rest(windings: Windings, feed: Feed, slip: Reals, times: Reals) -> Reals:
    """Return the slip at which machines with volts come to rest; 1 where they stall."""

    def surplus(at: Reals) -> Reals:
        return torque(windings, feed, at) - load(windings, at, times)

    here = surplus(slip)
    found = slip.copy()
    running = slip < 1.0
    away = np.abs(here) > _CLOSE * windings.load
    near = np.flatnonzero(running & away & (np.abs(here) < 0.2 * windings.load))
    if near.size:
        found[near], ok = _newton(
            windings.only(near), feed.only(near), slip[near], here[near], times[near]
        )
        away[near[ok]] = False
        found[near[~ok]] = slip[near[~ok]]
    far = np.flatnonzero(away | ~running)
    if far.size:
        found[far] = _searched(windings.only(far), feed.only(far), slip[far], times[far])
    return found


def _newton(
    windings: Windings, feed: Feed, slip: Reals, here: Reals, times: Reals
) -> tuple[Reals, Flags]:
    """Return slips from a few steps of the secant, and where they came to the stable crossing."""
    old, old_value = slip, here
    new = slip * 1.002
    value = torque(windings, feed, new) - load(windings, new, times)
    stable = value >= here
    for _ in range(6):
        rise = value - old_value
        step = np.where(np.abs(rise) > 0, value * (new - old) / np.where(rise == 0, 1, rise), 0.0)
        old, old_value = new, value
        new = np.clip(new - step, 1e-5, 0.999)
        value = torque(windings, feed, new) - load(windings, new, times)
        if (np.abs(value) <= _CLOSE * windings.load).all():
            break
    close = np.abs(value) <= 100 * _CLOSE * windings.load
    return new, stable & close & (np.abs(new - slip) < 0.5 * slip)


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
    found = np.ones(slip.size)
    good = np.flatnonzero(~fails)
    if good.size:
        found[good] = _refined(
            windings.only(good), feed.only(good), upper[good], surplus[:, good], times[good]
        )
    return found


def _refined(
    windings: Windings, feed: Feed, upper: NDArray[np.intp], surplus: Reals, times: Reals
) -> Reals:
    """Return the crossing between a grid slip that carries the load and the next (Illinois)."""
    rows = np.arange(upper.size)
    lower = np.minimum(upper + 1, GRID.size - 1)
    high, low = GRID[upper], GRID[lower]
    at_high, at_low = surplus[upper, rows], surplus[lower, rows]
    best = high
    for _ in range(40):
        rise = at_high - at_low
        best = np.where(rise > 0, high - at_high * (high - low) / np.where(rise == 0, 1, rise), low)
        value = torque(windings, feed, best) - load(windings, best, times)
        if (np.abs(value) <= _CLOSE * windings.load).all():
            break
        carries = value >= 0
        at_low = np.where(carries, at_low / 2, value)
        at_high = np.where(carries, value, at_high / 2)
        high, low = np.where(carries, best, high), np.where(carries, low, best)
    return np.asarray(best)

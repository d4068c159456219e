"""What a meter shows: its own loading, its ranges, its accuracy, and what it refuses.

Owns the vector form of `engine.meters`: true values of many rows to what their displays show. Each
variation has one gain error a function, spread evenly over what the class of instrument states, and
counts of noise on every reading. The nominal variation reads with a perfect meter: only its
resolution is left.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from engine.meters import Instrument
from engine.quantity import Quantity, base_unit, exact
from engine.reading import FUNCTION_KIND, Function, Reading, Special
from engine.unit.chance import Keys, drawn
from engine.unit.machine import Complexes
from engine.unit.network import OMEGA, Flags
from engine.unit.rows import Reals

HIGH_IMPEDANCE = 1 / (1 / 10e6 + 1j * OMEGA * 100e-12)
"""10 Mohm beside 100 pF."""
LOW_IMPEDANCE = 3000.0
FLOATING = 100e3
"""Ohms of source impedance from which a point counts as floating: what it shows is a ghost."""
LIVE = 1.0
"""Volts from which a circuit is live to an ohmmeter."""


@dataclass(frozen=True, slots=True)
class Shown:
    """What the meters of some rows show, in the base unit of the function's kind."""

    function: Function
    value: Reals
    over: Flags
    """OL."""
    live: Flags
    """Refused: an ohmmeter, insulation tester or capacitance meter on live points."""
    floating: Flags
    """Nothing but strays reaches one of the points: the volts are a ghost."""
    resolution: Reals
    unsteady: Flags
    """Relays chatter, and what hangs on them does not stand still."""

    def reading(self, row: int) -> Reading | None:
        """Return the display of one row as if it had been typed; None where it is refused."""
        if self.live[row]:
            return None
        if self.unsteady[row]:
            return Reading(None, Special.UNSTEADY, str(Special.UNSTEADY))
        kind = FUNCTION_KIND[self.function]
        unit = base_unit(kind).symbol
        if self.over[row]:
            return Reading(None, Special.OL, "OL")
        step = exact(float(self.resolution[row]))
        counts = round(exact(float(self.value[row])) / step)
        quantity = Quantity(Fraction(counts) * step, kind)
        return Reading(quantity, None, f"{float(quantity.value):.12g} {unit}", step, unit=unit)


def loaded(volts: Complexes, source: Complexes, meter: complex) -> Reals:
    """Return the volts left when a meter is put across what has ``source`` behind it."""
    return np.abs(volts * meter / (meter + source))


def display(
    instrument: Instrument,
    function: Function,
    true: Reals,
    keys: Keys,
    varied: Flags,
    reading: str,
) -> tuple[Reals, Flags, Reals]:
    """Return value shown, OL and resolution for true values [rows].

    ``reading`` names the reading, so that noise differs from one to the next.
    """
    ranges = instrument.ranges[function]
    gain, noise = drawn(keys, [f"gain {function}", f"noise {reading}"]) * varied
    size = np.abs(true)
    which = np.searchsorted([float(one.up_to) for one in ranges], size, side="left")
    over = which >= len(ranges)
    which = np.minimum(which, len(ranges) - 1)
    steps = np.array([float(one.resolution) for one in ranges])[which]
    share = np.array([float(one.percent) / 100 for one in ranges])[which]
    counts = np.array([one.counts for one in ranges])[which]
    shown = true * (1 + share * gain) + noise * counts * steps
    if function not in _SIGNED:
        shown = np.abs(shown)
    return np.round(shown / steps) * steps, over, steps


_SIGNED = frozenset({Function.DC_VOLTS, Function.TEMPERATURE, Function.PRESSURE})


Rows = NDArray[np.intp]

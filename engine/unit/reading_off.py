"""What a meter's leads find at a moment: true values, where it refuses, what floats.

Owns `Moment` (some rows in one snapshot each, their phasors and their copper) and one function for
every function of a meter that follows from the circuit. Accuracy and digits are `meter`'s.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from engine.reading import Function
from engine.unit.meter import FLOATING, HIGH_IMPEDANCE, LIVE, LOW_IMPEDANCE, loaded
from engine.unit.network import OMEGA, DirectCurrent, Flags, Network
from engine.unit.rows import Reals

Found = tuple[Reals, Flags, Flags]
"""True values, where the meter refuses, where the points float; each [rows]."""
Ends = tuple[str, ...]
BLEEDS = 2000.0
"""Ohms beside a capacitor below which a meter cannot tell its value; judgement."""
_NO_CAPACITOR = 1e9
"""uF that stand for what such a meter shows then: more than any range."""


class Moment:
    """Some rows in one snapshot each."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self._copper: dict[bool, DirectCurrent] = {}

    def copper(self, *, high: bool = False) -> DirectCurrent:
        """Return the same rows for direct current; ``high`` as an insulation tester sees them."""
        if high not in self._copper:
            self._copper[high] = DirectCurrent(self.network, high=high)
        return self._copper[high]

    def never(self) -> Flags:
        """Return False for every row."""
        return np.zeros(self.network.rows, dtype=bool)


def _volts(moment: Moment, ends: Ends, meter: complex) -> Found:
    network = moment.network
    volts = network.node(ends[0]) - network.node(ends[1])
    source = network.source_impedance([(ends[0], ends[1])])[0]
    floating = np.abs(source) > FLOATING
    return loaded(volts, source, meter), moment.never(), floating


def _high(moment: Moment, ends: Ends) -> Found:
    return _volts(moment, ends, HIGH_IMPEDANCE)


def _low(moment: Moment, ends: Ends) -> Found:
    return _volts(moment, ends, LOW_IMPEDANCE)


def amps_at(network: Network, end: str) -> Reals:
    """Return the amps that a clamp at a terminal is put round, [rows]; raises KeyError for none."""
    clamped = network.circuit.netlist.clamps[end]
    return np.abs(network.amps(clamped))


def _clamp(moment: Moment, ends: Ends) -> Found:
    return amps_at(moment.network, ends[0]), moment.never(), moment.never()


def _is_live(moment: Moment, ends: Ends) -> Flags:
    network = moment.network
    one, other = network.node(ends[0]), network.node(ends[1])
    most = np.maximum(np.maximum(np.abs(one), np.abs(other)), np.abs(one - other))
    return np.asarray(most > LIVE)


def _resistance(moment: Moment, ends: Ends, *, high: bool) -> Found:
    live = _is_live(moment, ends)
    ohms = moment.copper(high=high).ohms([(ends[0], ends[1])])[0]
    return ohms, live, moment.never()


def _ohms(moment: Moment, ends: Ends) -> Found:
    return _resistance(moment, ends, high=False)


def _insulation(moment: Moment, ends: Ends) -> Found:
    return _resistance(moment, ends, high=True)


def _capacitance(moment: Moment, ends: Ends) -> Found:
    ohms, live, never = _resistance(moment, ends, high=False)
    source = moment.network.source_impedance([(ends[0], ends[1])])[0]
    micro = np.imag(1 / source) / OMEGA * 1e6
    return np.where((ohms < BLEEDS) | (micro < 0), _NO_CAPACITOR, micro), live, never


def _direct(moment: Moment, ends: Ends) -> Found:
    copper = moment.copper()
    volts = copper.volts()
    number = moment.network.circuit.number
    across = volts[number[ends[0]]] - volts[number[ends[1]]]
    ohms = copper.ohms([(ends[0], ends[1])])[0]
    return across * 10e6 / (10e6 + ohms), moment.never(), ohms > 10e6


FUNCTIONS: Mapping[Function, Callable[[Moment, Ends], Found]] = MappingProxyType(
    {
        Function.VOLTS: _high,
        Function.LOW_IMPEDANCE_VOLTS: _low,
        Function.MILLIVOLTS: _high,
        Function.CLAMP_AMPS: _clamp,
        Function.OHMS: _ohms,
        Function.INSULATION: _insulation,
        Function.CAPACITANCE: _capacitance,
        Function.DC_VOLTS: _direct,
    }
)
"""What follows from the circuit at one moment; a clamp's peak is that of all of them."""


def peak(networks: Sequence[tuple[Network, NDArray[np.intp]]], end: str, rows: int) -> Found:
    """Return the largest amps of all snapshots, each with its rows: what a clamp on hold kept."""
    most = np.zeros(rows)
    for network, which in networks:
        most[which] = np.maximum(most[which], amps_at(network, end))
    never = np.zeros(rows, dtype=bool)
    return most, never, never

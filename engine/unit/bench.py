"""Simulated units on the bench: put them in a condition, let them settle, read them.

Owns `Bench` (rows of fault and variation of one unit) and `Settled` (what they do in one circuit
condition). One row serves a screen, a thousand a trial; a row never depends on the others.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from enum import StrEnum
from functools import cached_property, lru_cache

import numpy as np

from engine.meters import Instrument, shipped_meters
from engine.reading import Function
from engine.unit.circuit import Circuit, bridged
from engine.unit.condition import Condition
from engine.unit.faults import Row
from engine.unit.meter import (
    FLOATING,
    HIGH_IMPEDANCE,
    LIVE,
    LOW_IMPEDANCE,
    Rows,
    Shown,
    display,
    loaded,
)
from engine.unit.netlist import EARTH
from engine.unit.network import OMEGA, DirectCurrent, Flags, Network, State
from engine.unit.rows import Population, Reals
from engine.unit.settle import Snapshots, rested, settle, unpowered
from engine.unit.unit import Unit

_BREAKERS = ("breaker", "main")

Found = tuple[Reals, Flags, Flags]
"""True values, where the meter refuses, where the points float."""


class When(StrEnum):
    """Which of a row's snapshots a reading is taken in."""

    DEAD = "dead"
    AT_REST = "at rest"
    AT_START = "at start"
    RUNNING = "running"
    AFTER_THE_TRIP = "after the trip"


class Bench:
    """Rows of one unit."""

    def __init__(self, unit: Unit, rows: Sequence[Row], seed: int = 1, meter: str = "") -> None:
        """``meter`` is the class of the job's meter; empty for the default."""
        self.unit = unit
        self.meter = meter
        self.population = Population(unit.netlist, rows, seed)
        self._circuit = Circuit(unit.netlist)
        self._with_jumpers = lru_cache(maxsize=32)(self._bridged)

    def _bridged(self, jumpers: frozenset[tuple[str, str]]) -> Circuit:
        points = self.unit.points
        ends = [(points.get(one, one), points.get(other, other)) for one, other in jumpers]
        return Circuit(bridged(self.unit.netlist, ends))

    def settle(
        self, condition: Condition, which: Rows | None = None, begin: State | None = None
    ) -> Settled:
        """Return what rows do in a condition, from rest or from an earlier state of theirs."""
        rows = np.arange(len(self.population.rows)) if which is None else which
        circuit = self._with_jumpers(condition.jumpers) if condition.jumpers else self._circuit
        points = self.unit.points
        lifted = frozenset(points.get(one, one) for one in condition.leads_off)
        inner = replace(condition, leads_off=lifted)
        values = self._values(circuit, condition, rows)
        start = State.at_rest(circuit, rows.size) if begin is None else begin
        running = np.array(
            [any(one.while_running for one in self.population.rows[at].faults) for at in rows],
            dtype=bool,
        )
        if running.any() and begin is None:
            start = self._ran(circuit, inner, rows, running, start)
        found = settle(circuit, inner, values, start)
        return Settled(self, circuit, inner, rows, values, found)

    def _values(self, circuit: Circuit, condition: Condition, rows: Rows) -> Reals:
        values = self.population.values(rows, condition.repaired)
        more = circuit.netlist.params[values.shape[0] :]
        added = np.array([one.nominal for one in more]).reshape(-1, 1)
        return np.concatenate([values, np.repeat(added, rows.size, axis=1)])

    def _ran(
        self, circuit: Circuit, condition: Condition, rows: Rows, running: Flags, start: State
    ) -> State:
        """Return the state in which a fault strikes that strikes a running unit."""
        which = np.flatnonzero(running)
        sound = self.population.values(rows[which], condition.repaired, sound=True)
        grown = np.zeros((len(circuit.netlist.params), which.size))
        grown[: sound.shape[0]] = sound
        for at, param in enumerate(circuit.netlist.params[sound.shape[0] :], sound.shape[0]):
            grown[at] = param.nominal
        before = rested(settle(circuit, condition, grown, State.at_rest(circuit, which.size)))
        for into, part in (
            (start.pulled, before.pulled),
            (start.slip, before.slip),
            (start.stalled, before.stalled),
            (start.whole, before.whole),
        ):
            into[:, which] = part
        return start

    def instrument(self, function: Function) -> Instrument:
        """Return what reads a function on this job."""
        return shipped_meters().instrument(self.meter, function)


class Settled:
    """What some rows of a bench do in one condition."""

    def __init__(
        self,
        bench: Bench,
        circuit: Circuit,
        condition: Condition,
        rows: Rows,
        values: Reals,
        snapshots: Snapshots,
    ) -> None:
        self.bench = bench
        self.circuit = circuit
        self.condition = condition
        self.rows = rows
        self.snapshots = snapshots
        self._values = values
        self._networks: dict[bytes, Network] = {}
        self._direct: dict[tuple[bytes, bool], DirectCurrent] = {}

    # --- which snapshot ---------------------------------------------------------------------------

    def order(self, when: When) -> Rows:
        """Return which snapshot of every row a reading ``when`` is taken in."""
        last = self.snapshots.count - 1
        if when in (When.DEAD, When.AFTER_THE_TRIP):
            return last
        if when is When.AT_START:
            starts = np.array(self.snapshots.starting) & np.array(self.snapshots.there)
            return np.where(starts.any(axis=0), starts.argmax(axis=0), self.order(When.RUNNING))
        tripped = self._breaker_opens
        return np.where(tripped < self.snapshots.count, tripped, last)

    @cached_property
    def _breaker_opens(self) -> Rows:
        """The snapshot that a breaker ends, [rows]; beyond the last where none does."""
        names = [one.name for one in self.circuit.netlist.protections]
        breakers = [at for at, name in enumerate(names) if name in _BREAKERS]
        ended = np.isin(np.array(self.snapshots.ended_by), breakers)
        ended &= np.array(self.snapshots.there)
        return np.where(ended.any(axis=0), ended.argmax(axis=0), self.snapshots.count)

    def network(self, when: When) -> Network:
        """Return the circuit of every row at that time, solved once."""
        order = self.order(when)
        key = order.tobytes()
        if key not in self._networks:
            state = self.snapshots.state(order)
            self._networks[key] = Network(self.circuit, self.condition, state, self._values)
        return self._networks[key]

    def _copper(self, when: When, *, high: bool) -> DirectCurrent:
        key = self.order(when).tobytes(), high
        if key not in self._direct:
            self._direct[key] = DirectCurrent(self.network(when), high=high)
        return self._direct[key]

    # --- what can be seen and heard ---------------------------------------------------------------

    def tripped_after(self, device: str) -> Reals:
        """Return the seconds after which a protection opens, [rows]; infinite for never."""
        return self.snapshots.opened_after(device)

    @property
    def chatters(self) -> Flags:
        """Rows whose relays find no rest."""
        return self.snapshots.chatters

    def pulled_in(self, relay: str, when: When = When.RUNNING) -> Flags:
        """Return whether a contactor or relay is in; the thermostat's is its display."""
        names = [one.name for one in self.circuit.netlist.relays]
        state = self.snapshots.state(self.order(when))
        return np.asarray(state.pulled[names.index(relay)])

    def turns(self, machine: str, when: When = When.RUNNING) -> Flags:
        """Return whether a machine turns."""
        return self._slip(machine, when) < 0.5

    def hums(self, machine: str) -> Flags:
        """Return whether a machine stands with volts on it in some snapshot after its start."""
        names = [one.name for one in self.circuit.netlist.machines]
        at = names.index(machine)
        kept = [s.stalled[at] & there for s, there in self._pairs()]
        return np.asarray(np.any(kept, axis=0))

    def _pairs(self) -> list[tuple[State, Flags]]:
        return list(zip(self.snapshots.states, self.snapshots.there, strict=True))

    def _slip(self, machine: str, when: When) -> Reals:
        names = [one.name for one in self.circuit.netlist.machines]
        return np.asarray(self.snapshots.state(self.order(when)).slip[names.index(machine)])

    def after(self, reset: Collection[str] = (), *, cooled: bool = True) -> State:
        """Return the state to go on from: fuses stay blown, what is ``reset`` is closed again.

        With time to cool, overloads have closed; machines stand.
        """
        state = rested(self.snapshots)
        whole = state.whole.copy()
        for at, one in enumerate(self.circuit.netlist.protections):
            if one.name in reset or (cooled and one.name.endswith(".overload")):
                whole[at] = True
        pulled = np.zeros_like(state.pulled)
        return replace(unpowered(state), whole=whole, pulled=pulled)

    # --- the meter --------------------------------------------------------------------------------

    def read(self, function: Function, points: Sequence[str], when: When) -> Shown:
        """Return what the meters show: two points, or one for a clamp.

        What does not follow from the circuit is as the unit and its faults state it. Raises
        KeyError for a point the unit has not, ValueError for what is neither reckoned nor stated.
        """
        name = f"{function} {' '.join(points)} {when}"
        said = self._stated(function, tuple(points))
        never = np.zeros(self.rows.size, dtype=bool)
        if said is not None:
            return self._shown(function, (said, never, never), name)
        ends = [self.bench.unit.points.get(one, one) for one in points]
        for end in ends:
            if end not in self.circuit.number:
                raise KeyError(f"the unit has no {end}")
        reckon = _FUNCTIONS.get(function)
        if reckon is None:
            raise ValueError(f"{function} is not reckoned from the circuit")
        return self._shown(function, reckon(self, tuple(ends), when), name)

    def _stated(self, function: Function, points: tuple[str, ...]) -> Reals | None:
        """Return what is stated of a reading, [rows]; None where nothing is."""
        unit, which = self.bench.unit, (str(function), points)
        sound = [one.value for one in unit.stated if (one.function, one.points) == which]
        if not sound:
            return None
        values = np.full(self.rows.size, sound[0])
        for at, row in enumerate(self.rows):
            for fault in self.bench.population.rows[row].faults:
                if fault.suspect not in self.condition.repaired:
                    for one in fault.reads:
                        if (one.function, one.points) == which:
                            values[at] = one.value
        return values

    def _shown(self, function: Function, found: Found, name: str) -> Shown:
        true, live, floating = found
        keys = self.bench.population.keys[self.rows]
        varied = self.bench.population.varied[self.rows]
        instrument = self.bench.instrument(function)
        value, over, steps = display(instrument, function, true, keys, varied, name)
        over = over & ~live
        return Shown(function, value, over, live, floating, steps)

    def floating(self, when: When = When.RUNNING, row: int = 0) -> tuple[str, ...]:
        """Return the terminals of a row that nothing but strays joins to earth."""
        nodes = self.circuit.netlist.nodes
        fed_by = self.network(when).source_impedance([(node, EARTH) for node in nodes])
        return tuple(n for n, z in zip(nodes, np.abs(fed_by[:, row]), strict=True) if z > FLOATING)


def _volts(settled: Settled, ends: tuple[str, ...], when: When, meter: complex) -> Found:
    network = settled.network(when)
    volts = network.node(ends[0]) - network.node(ends[1])
    source = network.source_impedance([(ends[0], ends[1])])[0]
    floating = np.abs(source) > FLOATING
    return loaded(volts, source, meter), np.zeros(network.rows, dtype=bool), floating


def _high(settled: Settled, ends: tuple[str, ...], when: When) -> Found:
    return _volts(settled, ends, when, HIGH_IMPEDANCE)


def _low(settled: Settled, ends: tuple[str, ...], when: When) -> Found:
    return _volts(settled, ends, when, LOW_IMPEDANCE)


def _amps_in(network: Network, end: str) -> Reals:
    clamped = network.circuit.netlist.clamps[end]
    return np.abs(network.amps(clamped))


def _clamp(settled: Settled, ends: tuple[str, ...], when: When) -> Found:
    network = settled.network(when)
    never = np.zeros(network.rows, dtype=bool)
    return _amps_in(network, ends[0]), never, never


def _peak(settled: Settled, ends: tuple[str, ...], when: When) -> Found:
    """Return the largest amps of every snapshot: what a clamp on peak hold kept."""
    most = np.zeros(settled.rows.size)
    for at, (state, there) in enumerate(settled._pairs()):
        which = np.flatnonzero(there)
        network = Network(
            settled.circuit, settled.condition, state.only(which), settled._values[:, which]
        )
        most[which] = np.maximum(most[which], _amps_in(network, ends[0]))
        del at
    never = np.zeros(settled.rows.size, dtype=bool)
    return most, never, never


def _is_live(settled: Settled, ends: tuple[str, ...], when: When) -> Flags:
    network = settled.network(when)
    one, other = network.node(ends[0]), network.node(ends[1])
    most = np.maximum(np.maximum(np.abs(one), np.abs(other)), np.abs(one - other))
    return np.asarray(most > LIVE)


def _resistance(settled: Settled, ends: tuple[str, ...], when: When, *, high: bool) -> Found:
    live = _is_live(settled, ends, when)
    ohms = settled._copper(when, high=high).ohms([(ends[0], ends[1])])[0]
    return ohms, live, np.zeros(live.size, dtype=bool)


def _ohms(settled: Settled, ends: tuple[str, ...], when: When) -> Found:
    return _resistance(settled, ends, when, high=False)


def _insulation(settled: Settled, ends: tuple[str, ...], when: When) -> Found:
    return _resistance(settled, ends, when, high=True)


BLEEDS = 2000.0
"""Ohms beside a capacitor below which a meter cannot tell its value; judgement."""


def _capacitance(settled: Settled, ends: tuple[str, ...], when: When) -> Found:
    ohms, live, never = _resistance(settled, ends, when, high=False)
    source = settled.network(when).source_impedance([(ends[0], ends[1])])[0]
    micro = np.imag(1 / source) / OMEGA * 1e6
    return np.where((ohms < BLEEDS) | (micro < 0), 1e9, micro), live, never


def _direct(settled: Settled, ends: tuple[str, ...], when: When) -> Found:
    copper = settled._copper(when, high=False)
    volts = copper.volts()
    number = settled.circuit.number
    across = volts[number[ends[0]]] - volts[number[ends[1]]]
    ohms = copper.ohms([(ends[0], ends[1])])[0]
    never = np.zeros(across.size, dtype=bool)
    return across * 10e6 / (10e6 + ohms), never, ohms > 10e6


_FUNCTIONS = {
    Function.VOLTS: _high,
    Function.LOW_IMPEDANCE_VOLTS: _low,
    Function.MILLIVOLTS: _high,
    Function.CLAMP_AMPS: _clamp,
    Function.PEAK_CLAMP_AMPS: _peak,
    Function.OHMS: _ohms,
    Function.INSULATION: _insulation,
    Function.CAPACITANCE: _capacitance,
    Function.DC_VOLTS: _direct,
}

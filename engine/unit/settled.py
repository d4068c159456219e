"""What some rows do in one circuit condition: their snapshots, what is seen and heard, readings."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property

import numpy as np

from engine.meters import Instrument, shipped_meters
from engine.reading import Function
from engine.unit.circuit import Circuit
from engine.unit.condition import Condition
from engine.unit.faults import Fault
from engine.unit.meter import FLOATING, Rows, Shown, display
from engine.unit.netlist import EARTH
from engine.unit.network import Flags, Network, State
from engine.unit.reading_off import FUNCTIONS, Found, Moment, peak
from engine.unit.rows import Population, Reals
from engine.unit.settle import Snapshots, rested, unpowered
from engine.unit.unit import Unit

_BREAKERS = ("breaker", "main")


class When(StrEnum):
    """Which of a row's snapshots a reading is taken in."""

    DEAD = "dead"
    AT_REST = "at rest"
    AT_START = "at start"
    RUNNING = "running"
    AFTER_THE_TRIP = "after the trip"


@dataclass(frozen=True, slots=True)
class Shelf:
    """What rows of one bench share: the unit, their numbers, the class of the job's meter."""

    unit: Unit
    population: Population
    meter: str

    def instrument(self, function: Function) -> Instrument:
        """Return what reads a function on this job."""
        return shipped_meters().instrument(self.meter, function)


class Settled:
    """What some rows of a bench do in one condition."""

    def __init__(
        self,
        shelf: Shelf,
        circuit: Circuit,
        condition: Condition,
        rows: Rows,
        values: Reals,
        snapshots: Snapshots,
    ) -> None:
        self._shelf = shelf
        self.circuit = circuit
        self.condition = condition
        self.rows = rows
        self.snapshots = snapshots
        self._values = values
        self._moments: dict[bytes, Moment] = {}

    @property
    def unit(self) -> Unit:
        """The unit that the rows are of."""
        return self._shelf.unit

    @property
    def faults(self) -> tuple[tuple[Fault, ...], ...]:
        """The faults of every row, mended or not, [rows]."""
        return tuple(self._shelf.population.rows[row].faults for row in self.rows)

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

    def moment(self, when: When) -> Moment:
        """Return every row at that time, solved once."""
        order = self.order(when)
        key = order.tobytes()
        if key not in self._moments:
            self._moments[key] = Moment(self._solved(order))
        return self._moments[key]

    def _solved(self, order: Rows) -> Network:
        ended = self.snapshots.ended
        if ended is not None and (order == self.snapshots.count - 1).all():
            return ended
        state = self.snapshots.state(order)
        return Network(self.circuit, self.condition, state, self._values)

    def network(self, when: When) -> Network:
        """Return the circuit of every row at that time."""
        return self.moment(when).network

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

    def starts(self, machine: str) -> Flags:
        """Return whether a machine turns in some snapshot, [rows]."""
        names = [one.name for one in self.circuit.netlist.machines]
        at = names.index(machine)
        kept = [(s.slip[at] < 0.5) & there for s, there in self._pairs()]
        return np.asarray(np.any(kept, axis=0))

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
        ends = [self._shelf.unit.points.get(one, one) for one in points]
        for end in ends:
            if end not in self.circuit.number:
                raise KeyError(f"the unit has no {end}")
        if function is Function.PEAK_CLAMP_AMPS:
            return self._shown(function, peak(self._every(), ends[0], self.rows.size), name)
        reckon = FUNCTIONS.get(function)
        if reckon is None:
            raise ValueError(f"{function} is not reckoned from the circuit")
        return self._shown(function, reckon(self.moment(when), tuple(ends)), name)

    def _every(self) -> list[tuple[Network, Rows]]:
        """Return the circuit of every snapshot, each with the rows that have it."""
        found = []
        for state, there in self._pairs():
            which = np.flatnonzero(there)
            values = self._values[:, which]
            network = Network(self.circuit, self.condition, state.only(which), values)
            found.append((network, which))
        return found

    def _stated(self, function: Function, points: tuple[str, ...]) -> Reals | None:
        """Return what is stated of a reading, [rows]; None where nothing is."""
        unit, which = self._shelf.unit, (str(function), points)
        sound = [one.value for one in unit.stated if (one.function, one.points) == which]
        if not sound:
            return None
        values = np.full(self.rows.size, sound[0])
        for at, row in enumerate(self.rows):
            for fault in self._shelf.population.rows[row].faults:
                if fault.suspect not in self.condition.repaired:
                    for one in fault.reads:
                        if (one.function, one.points) == which:
                            values[at] = one.value
        return values

    def _shown(self, function: Function, found: Found, name: str) -> Shown:
        true, live, floating = found
        keys = self._shelf.population.keys[self.rows]
        varied = self._shelf.population.varied[self.rows]
        instrument = self._shelf.instrument(function)
        value, over, steps = display(instrument, function, true, keys, varied, name)
        over = over & ~live
        unsteady = self.chatters & function.is_live
        return Shown(function, value, over, live, floating, steps, unsteady)

    def floating(self, when: When = When.RUNNING, row: int = 0) -> tuple[str, ...]:
        """Return the terminals of a row that nothing but strays joins to earth."""
        nodes = self.circuit.netlist.nodes
        fed_by = self.network(when).source_impedance([(node, EARTH) for node in nodes])
        return tuple(n for n, z in zip(nodes, np.abs(fed_by[:, row]), strict=True) if z > FLOATING)

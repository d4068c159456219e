"""Simulated units on the bench: put them in a condition, let them settle, read them.

Owns `Bench`, rows of fault and variation of one unit; `settled` has what they do in one circuit
condition. One row serves a screen, a thousand a trial; a row never depends on the others.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np

from engine.unit.circuit import Circuit, bridged
from engine.unit.condition import Condition
from engine.unit.faults import Row
from engine.unit.meter import Rows
from engine.unit.network import Flags, State
from engine.unit.rows import Population, Reals
from engine.unit.settle import rested, settle
from engine.unit.settled import Settled, Shelf, When
from engine.unit.unit import Unit

__all__ = ["Bench", "Settled", "When"]


class Bench:
    """Rows of one unit."""

    def __init__(self, unit: Unit, rows: Sequence[Row], seed: int = 1, meter: str = "") -> None:
        """``meter`` is the class of the job's meter; empty for the default."""
        self.unit = unit
        self.population = Population(unit.netlist, rows, seed)
        self._shelf = Shelf(unit, self.population, meter)
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
        return Settled(self._shelf, circuit, inner, rows, values, found)

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

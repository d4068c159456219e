"""The circuit of many rows in one state: volts everywhere, currents, source impedances.

Owns `State` (what has pulled in, turned, tripped) and `Network`, the phasor solution for it. The
circuit without its machines is eliminated once; a machine's slip changes only the small dense
block of its own terminals.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from engine.unit.circuit import Circuit
from engine.unit.condition import Condition
from engine.unit.elimination import Factored, Numbers
from engine.unit.machine import Complexes, Windings
from engine.unit.netlist import OPEN
from engine.unit.rows import Reals

OMEGA = 2 * np.pi * 60.0
STRAY = 1j * OMEGA * 60e-12
"""Admittance of a node's 60 pF to metal: what floats has a voltage, and it is this that sets it."""
LEAK = 1 / 20e9
"""Siemens of a node's insulation to metal for direct current; judgement."""

Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class State:
    """What has happened so far, by relay, machine or protection and by row."""

    pulled: Flags
    slip: Reals
    stalled: Flags
    whole: Flags
    """False where a protection has opened."""

    @classmethod
    def at_rest(cls, circuit: Circuit, rows: int) -> State:
        """Return everything out, standing and whole."""
        netlist = circuit.netlist
        return cls(
            np.zeros((len(netlist.relays), rows), dtype=bool),
            np.ones((len(netlist.machines), rows)),
            np.zeros((len(netlist.machines), rows), dtype=bool),
            np.ones((len(netlist.protections), rows), dtype=bool),
        )

    def only(self, which: NDArray[np.intp]) -> State:
        """Return the state of some of the rows."""
        return State(
            self.pulled[:, which], self.slip[:, which], self.stalled[:, which], self.whole[:, which]
        )


def conducting(circuit: Circuit, condition: Condition, state: State, values: Reals) -> Flags:
    """Return which branches conduct, [branches, rows]."""
    netlist = circuit.netlist
    rows = values.shape[1]
    on = np.ones((len(netlist.branches), rows), dtype=bool)
    for at, relay in enumerate(netlist.relays):
        pulled = state.pulled[at] | (relay.name in condition.pressed)
        _switch(circuit, on, f"relay:{relay.name}", pulled)
        _switch(circuit, on, f"not relay:{relay.name}", ~pulled)
    for at, protection in enumerate(netlist.protections):
        _switch(circuit, on, f"whole:{protection.name}", state.whole[at])
    for token in circuit.switched:
        kind, _, name = token.partition(":")
        if (kind == "device" and name in condition.open) or (
            kind == "call" and name not in condition.calls
        ):
            _switch(circuit, on, token, np.zeros(rows, dtype=bool))
    on |= values[circuit.of_branches["weld"]] > 0.5
    for terminal in condition.leads_off:
        if terminal in circuit.lifted:
            on[circuit.lifted[terminal]] = False
    return on


def _switch(circuit: Circuit, on: Flags, token: str, closed: Flags) -> None:
    places = circuit.switched.get(token)
    if places is not None:
        on[places] &= closed


class Network:
    """The phasor solution of one state, for many rows."""

    def __init__(self, circuit: Circuit, condition: Condition, state: State, values: Reals) -> None:
        self.circuit = circuit
        self.condition = condition
        self.state = state
        self.values = values
        self.rows = values.shape[1]
        self.on = conducting(circuit, condition, state, values)
        self.windings = tuple(
            Windings(machine, circuit.param, values, self._star(machine.opened_by))
            for machine in circuit.netlist.machines
        )

    def with_slips(self, state: State) -> Network:
        """Return the same rows with machines at other slips: what is eliminated stays so."""
        other = object.__new__(Network)
        for name, value in self.__dict__.items():
            if name not in ("_dense", "volts"):
                other.__dict__[name] = value
        other.state = state
        return other

    def _star(self, name: str) -> Flags:
        if not name:
            return np.ones(self.rows, dtype=bool)
        names = [protection.name for protection in self.circuit.netlist.protections]
        ohms, weld = self._of((f"{name} ohms", f"{name} weld"))
        whole = self.state.whole[names.index(name)] | (weld > 0.5)
        return np.asarray(whole & (ohms < OPEN / 2))

    # --- admittances ------------------------------------------------------------------------------

    @cached_property
    def admittance(self) -> Complexes:
        """What every branch conducts at 60 Hz, [branches, rows]."""
        places = self.circuit.of_branches
        impedance = self.values[places["ohms"]].astype(np.complex128)
        impedance += 1j * self.values[places["x"]]
        capacitive, uf = self.circuit.capacitive
        farads = self.values[uf] * 1e-6
        impedance[capacitive] -= 1j / (OMEGA * np.maximum(farads, 1e-18))
        for at, relay in enumerate(self.circuit.netlist.relays):
            open_, sealed = self._of(relay.inrush), self._of(relay.sealed)
            ohms, x = np.where(self.state.pulled[at], sealed, open_)
            impedance[self.circuit.branch[relay.coil]] += ohms + 1j * x
        return np.where(self.on, 1 / impedance, 1 / OPEN)

    def _of(self, names: tuple[str, ...]) -> Reals:
        return self.values[self.circuit.params(names)]

    def _pairs(self) -> list[Complexes]:
        """Return the four transadmittances of every two coupled coils."""
        found: list[Complexes] = []
        for pair in self.circuit.netlist.pairs:
            tap, first_ohms, second_ohms, leakage, magnetising, core = self._of(
                (
                    pair.tap,
                    pair.primary_ohms,
                    pair.secondary_ohms,
                    pair.leakage,
                    pair.magnetising,
                    pair.core,
                )
            )
            ratio = tap / pair.secondary_volts
            shared = 1 / (1 / core + 1 / (1j * magnetising))
            first = first_ohms + 1j * leakage + shared
            second = second_ohms + shared / ratio**2
            mutual = shared / ratio
            whole = first * second - mutual**2
            found += [second / whole, -mutual / whole, -mutual / whole, first / whole]
        return found

    @cached_property
    def _factored(self) -> Factored:
        pairs = self._pairs()
        values = np.concatenate([self.admittance, np.array(pairs)]) if pairs else self.admittance
        return Factored(self.circuit.plan, *self.circuit.alternating.matrix(values, STRAY))

    # --- the machines' own terminals --------------------------------------------------------------

    @cached_property
    def bare(self) -> Complexes:
        """The circuit seen from the machines' terminals without machines, [rows, last, last]."""
        return np.asarray(self._factored.dense(), dtype=np.complex128)

    @cached_property
    def _sides(self) -> tuple[Numbers, Complexes]:
        """The sources' currents, eliminated: all nodes, and the machines' terminals."""
        right = np.zeros((self.circuit.plan.size + 1, 1, self.rows), dtype=np.complex128)
        for source in self.circuit.netlist.sources:
            if source.direct:
                continue
            at = self.circuit.branch[source.branch]
            branch = self.circuit.netlist.branches[at]
            volts = self.values[self.circuit.param[source.volts]]
            amps = volts * np.exp(1j * np.radians(source.degrees)) * self.admittance[at]
            for end, sign in zip(self.circuit.ends(branch.a, branch.b), (1, -1), strict=True):
                if end >= 0:
                    right[end, 0] += sign * amps
        last = self._factored.forward(right)
        return right, np.asarray(last, dtype=np.complex128)

    @property
    def driven(self) -> Complexes:
        """Currents driven into the machines' terminals, [rows, last]."""
        return self._sides[1][:, :, 0]

    @cached_property
    def seen(self) -> tuple[Complexes, Complexes]:
        """What all coils see of the circuit without machines: [rows, coils, coils], [rows, coils].

        That is volts behind an impedance.
        """
        incidence = np.concatenate(self.circuit.incidences)
        apart = np.broadcast_to(incidence.T, (self.rows, *incidence.T.shape))
        right = np.concatenate([apart, self.driven[:, :, None]], axis=2)
        found = incidence @ np.linalg.solve(self.bare, right)
        return found[:, :, :-1], found[:, :, -1]

    def block(self, at: int, slip: Reals) -> Complexes:
        """Return what a machine adds at the terminals, [rows, last, last]."""
        incidence = self.circuit.incidences[at]
        conducts = np.linalg.inv(self.windings[at].impedance(slip))
        return np.asarray(incidence.T @ conducts @ incidence, dtype=np.complex128)

    @cached_property
    def _dense(self) -> Complexes:
        whole = self.bare.copy()
        for at in range(len(self.windings)):
            whole += self.block(at, self.state.slip[at])
        return whole

    @cached_property
    def volts(self) -> Complexes:
        """Volts of every node to the reference, [nodes + 1, rows]; the last row is it itself."""
        right, last = self._sides
        solved = np.linalg.solve(self._dense, last) if last.shape[1] else last
        return np.asarray(self._factored.backward(right.copy(), solved)[:, 0], dtype=np.complex128)

    def node(self, name: str) -> Complexes:
        """Return the volts of a terminal to the reference, [rows]."""
        return np.asarray(self.volts[self.circuit.number[name]])

    def amps(self, branch: str) -> Complexes:
        """Return the current from a branch's first to its second terminal, [rows]."""
        at = self.circuit.branch[branch]
        one = self.circuit.netlist.branches[at]
        current = (self.node(one.a) - self.node(one.b)) * self.admittance[at]
        for source in self.circuit.netlist.sources:
            if source.branch == branch and not source.direct:
                volts = self.values[self.circuit.param[source.volts]]
                current -= volts * np.exp(1j * np.radians(source.degrees)) * self.admittance[at]
        return np.asarray(current)

    def across(self, branches: tuple[str, ...]) -> Complexes:
        """Return the volts across branches, [branches, rows]."""
        _, first, second = self.circuit.places(branches)
        return np.asarray(self.volts[first] - self.volts[second])

    def through(self, branches: tuple[str, ...]) -> Complexes:
        """Return the current in branches without sources, [branches, rows]."""
        admittance = self.admittance[self.circuit.places(branches)[0]]
        return np.asarray(self.across(branches) * admittance)

    def source_impedance(self, pairs: list[tuple[str, str]]) -> Complexes:
        """Return the impedance that each two terminals are fed through, [pairs, rows]."""
        right = np.zeros((self.circuit.plan.size + 1, len(pairs), self.rows), dtype=np.complex128)
        ends = [self.circuit.ends(one, other) for one, other in pairs]
        for at, (one, other) in enumerate(ends):
            for end, sign in ((one, 1), (other, -1)):
                if end >= 0:
                    right[end, at] += sign
        last = self._factored.forward(right)
        solved = np.linalg.solve(self._dense, last) if last.shape[1] else last
        volts = self._factored.backward(right, solved)
        found = [volts[one, at] - volts[other, at] for at, (one, other) in enumerate(ends)]
        return np.asarray(found, dtype=np.complex128)


class DirectCurrent:
    """The same rows for an ohmmeter, an insulation tester or a battery: copper and leaks only."""

    def __init__(self, network: Network, *, high: bool = False) -> None:
        """``high``: what breaks down only above some volts conducts too."""
        circuit, values = network.circuit, network.values
        netlist = circuit.netlist
        ohms = values[circuit.of_branches["dc"]]
        conducts = np.where(network.on, 1 / ohms, 1 / OPEN)
        for at, branch in enumerate(netlist.branches):
            if branch.uf or (branch.above and not high):
                conducts[at] = 1 / OPEN
        sides = [
            1 / values[circuit.param[ohms]]
            for pair in netlist.pairs
            for ohms in (pair.primary_ohms, pair.secondary_ohms)
        ]
        coils = [1 / one for windings in network.windings for one in windings.ohms]
        every = np.concatenate([conducts, np.array([*sides, *coils]).reshape(-1, network.rows)])
        self._network = network
        self._conducts = conducts
        self._factored = Factored(circuit.plan, *circuit.direct.matrix(every, complex(LEAK)))
        self._dense = self._factored.dense()

    def _solved(self, right: Reals) -> Numbers:
        last = self._factored.forward(right)
        solved = np.linalg.solve(self._dense, last) if last.shape[1] else last
        return self._factored.backward(right, solved)

    def ohms(self, pairs: list[tuple[str, str]]) -> Reals:
        """Return the resistance between each two terminals, [pairs, rows]."""
        circuit, rows = self._network.circuit, self._network.rows
        right = np.zeros((circuit.plan.size + 1, len(pairs), rows))
        ends = [circuit.ends(one, other) for one, other in pairs]
        for at, (one, other) in enumerate(ends):
            for end, sign in ((one, 1.0), (other, -1.0)):
                if end >= 0:
                    right[end, at] += sign
        volts = self._solved(right)
        return np.asarray(
            [volts[one, at] - volts[other, at] for at, (one, other) in enumerate(ends)]
        )

    def volts(self) -> Reals:
        """Return the direct volts of every node, [nodes + 1, rows]."""
        network = self._network
        circuit = network.circuit
        right = np.zeros((circuit.plan.size + 1, 1, network.rows))
        for source in circuit.netlist.sources:
            if source.direct:
                at = circuit.branch[source.branch]
                branch = circuit.netlist.branches[at]
                amps = network.values[circuit.param[source.volts]] * self._conducts[at]
                for end, sign in zip(circuit.ends(branch.a, branch.b), (1, -1), strict=True):
                    if end >= 0:
                        right[end, 0] += sign * amps
        return np.asarray(self._solved(right)[:, 0])

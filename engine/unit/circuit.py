"""A netlist made ready to be solved: node numbers, the order of elimination, where values go.

Owns `Circuit`, made once for a unit (and once more for every set of jumpers), and `Scatter`, which
puts the admittances of branches, coupled coils and windings at their places in the matrix.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from engine.unit.elimination import Numbers, Plan, Sums
from engine.unit.netlist import (
    EARTH,
    JOINT,
    ZERO,
    Branch,
    Machine,
    Netlist,
    Param,
    terminals_of,
)

Ports = tuple[int, int, int, int]
"""Current into the first two terminals by volts across the second two; -1 is the reference."""


class Scatter:
    """Where transadmittances go in a plan's matrix."""

    def __init__(self, plan: Plan, ports: Sequence[Ports]) -> None:
        entries: list[tuple[int, int, float]] = []
        sums: list[tuple[int, int, float]] = []
        for source, (a, b, c, d) in enumerate(ports):
            for row, sign in ((a, 1.0), (b, -1.0)):
                if row < 0:
                    continue
                for column, more in ((c, sign), (d, -sign)):
                    if column < 0:
                        # The two columns cancel in the sum of the row unless one is the reference.
                        sums.append((row, source, -more))
                    elif column != row:
                        entries.append((plan.entry[row, column], source, more))
        self._size = plan.size
        self._entries = plan.entries
        self._into_entries = self._compiled(entries)
        self._into_sums = self._compiled(sums)

    @staticmethod
    def _compiled(rows: list[tuple[int, int, float]]) -> tuple[Sums, NDArray[np.intp], Numbers]:
        sources = np.asarray([source for _, source, _ in rows], dtype=np.intp)
        signs = np.asarray([sign for *_, sign in rows], dtype=np.float64)
        return Sums.of([target for target, *_ in rows]), sources, signs[:, None]

    def matrix(self, values: Numbers, leak: complex) -> tuple[Numbers, Numbers]:
        """Return entries and row sums for transadmittances [ports, rows].

        ``leak`` is what every node has to the reference.
        """
        rows = values.shape[1]
        entries = np.zeros((self._entries + 1, rows), dtype=values.dtype)
        sums = np.zeros((self._size + 1, rows), dtype=values.dtype)
        sums[: self._size] = leak if np.iscomplexobj(values) else leak.real
        for into, (scatter, sources, signs) in (
            (entries, self._into_entries),
            (sums, self._into_sums),
        ):
            scatter.add(into, values[sources] * signs)
        return entries, sums


class Circuit:
    """A netlist with node numbers and a plan."""

    def __init__(self, netlist: Netlist) -> None:
        self.netlist = netlist
        self._places: dict[tuple[str, ...], NDArray[np.intp]] = {}
        self._branches: dict[tuple[str, ...], NDArray[np.intp]] = {}
        self.number = {name: at for at, name in enumerate(netlist.nodes)} | {EARTH: -1}
        self.param = {one.name: at for at, one in enumerate(netlist.params)}
        self.branch = {one.name: at for at, one in enumerate(netlist.branches)}
        joined = [(self.number[a], self.number[b]) for a, b in terminals_of(netlist)]
        ends = {
            self.number[end]
            for machine in netlist.machines
            for coil in machine.coils
            for end in (coil.a, coil.b)
        }
        inside = [(one, other) for one, other in joined if one >= 0 and other >= 0]
        self.plan = Plan(len(netlist.nodes), inside, sorted(ends - {-1}))
        self.alternating = Scatter(self.plan, [*self._branch_ports, *self._pair_ports])
        self.direct = Scatter(
            self.plan, [*self._branch_ports, *self._side_ports, *self._winding_ports]
        )

    def ends(self, a: str, b: str) -> tuple[int, int]:
        """Return the numbers of two nodes."""
        return self.number[a], self.number[b]

    def params(self, names: tuple[str, ...]) -> NDArray[np.intp]:
        """Return the places of parameters."""
        found = self._places.get(names)
        if found is None:
            found = np.asarray([self.param[name] for name in names], dtype=np.intp)
            self._places[names] = found
        return found

    def places(self, branches: tuple[str, ...]) -> NDArray[np.intp]:
        """Return branches and their two nodes, [3, branches]."""
        found = self._branches.get(branches)
        if found is None:
            every = [self.branch[name] for name in branches]
            ends = [self.ends(one.a, one.b) for one in (self.netlist.branches[at] for at in every)]
            found = np.asarray([every, *zip(*ends, strict=True)], dtype=np.intp).reshape(3, -1)
            self._branches[branches] = found
        return found

    @cached_property
    def of_branches(self) -> dict[str, NDArray[np.intp]]:
        """The places of every branch's ohms, x, direct-current ohms and weld, in their order."""
        branches = self.netlist.branches
        return {
            "ohms": self.params(tuple(one.ohms for one in branches)),
            "x": self.params(tuple(one.x for one in branches)),
            "dc": self.params(tuple(one.dc or one.ohms for one in branches)),
            "weld": self.params(tuple(one.weld for one in branches)),
        }

    @cached_property
    def capacitive(self) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        """The branches that are capacitors, and the places of their uF."""
        which = [at for at, one in enumerate(self.netlist.branches) if one.uf]
        uf = tuple(self.netlist.branches[at].uf for at in which)
        return np.asarray(which, dtype=np.intp), self.params(uf)

    @cached_property
    def _branch_ports(self) -> list[Ports]:
        return [self._own(one.a, one.b) for one in self.netlist.branches]

    @cached_property
    def _pair_ports(self) -> list[Ports]:
        found = []
        for pair in self.netlist.pairs:
            first, second = self.ends(*pair.primary), self.ends(*pair.secondary)
            found += [(*one, *other) for one in (first, second) for other in (first, second)]
        return found

    @cached_property
    def _side_ports(self) -> list[Ports]:
        pairs = self.netlist.pairs
        return [self._own(*side) for pair in pairs for side in (pair.primary, pair.secondary)]

    @cached_property
    def _winding_ports(self) -> list[Ports]:
        machines = self.netlist.machines
        return [self._own(coil.a, coil.b) for machine in machines for coil in machine.coils]

    def _own(self, a: str, b: str) -> Ports:
        ends = self.ends(a, b)
        return (*ends, *ends)

    def incidence(self, machine: Machine) -> NDArray[np.float64]:
        """Return +1 and -1 from the last nodes to a machine's coils, [coils, last]."""
        place = {int(node): at for at, node in enumerate(self.plan.last)}
        found = np.zeros((len(machine.coils), self.plan.last.size))
        for row, coil in enumerate(machine.coils):
            for end, sign in zip(self.ends(coil.a, coil.b), (1.0, -1.0), strict=True):
                if end >= 0:
                    found[row, place[end]] = sign
        return found

    @cached_property
    def incidences(self) -> tuple[NDArray[np.float64], ...]:
        """`incidence` of every machine."""
        return tuple(self.incidence(machine) for machine in self.netlist.machines)

    @cached_property
    def switched(self) -> dict[str, NDArray[np.intp]]:
        """The branches by what switches them."""
        found: dict[str, list[int]] = {}
        for at, branch in enumerate(self.netlist.branches):
            for switch in branch.switches:
                found.setdefault(switch, []).append(at)
        return {switch: np.asarray(places, dtype=np.intp) for switch, places in found.items()}

    @cached_property
    def lifted(self) -> dict[str, NDArray[np.intp]]:
        """The branches that a lead taken off at a terminal opens."""
        found: dict[str, list[int]] = {}
        for at, branch in enumerate(self.netlist.branches):
            for terminal in branch.lifts:
                found.setdefault(terminal, []).append(at)
        return {terminal: np.asarray(places, dtype=np.intp) for terminal, places in found.items()}


def bridged(netlist: Netlist, jumpers: Iterable[tuple[str, str]]) -> Netlist:
    """Return the circuit with jumpers between terminals; its own parameters keep their places."""
    branches, params = list(netlist.branches), list(netlist.params)
    for one, other in sorted(jumpers):
        name = f"jumper {one} to {other}"
        branch = Branch(name, one, other, f"{name} ohms", ZERO)
        branches.append(branch)
        params += [Param(branch.ohms, 10 * JOINT), Param(branch.weld, 0.0)]
    return replace(netlist, branches=tuple(branches), params=tuple(params))

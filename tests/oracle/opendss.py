"""A network handed to OpenDSS (through dss-python): every node on one bus, parts as reactors.

OpenDSS has no single-phase machine that runs on two windings; such a machine is compared standing.
A three-phase machine is a reactor by its positive, negative and zero sequence.
"""

from __future__ import annotations

from cmath import phase
from math import degrees

import numpy as np
from dss import DSS

from engine.unit.netlist import EARTH
from engine.unit.network import Network
from tests.oracle.circuits import param, phasor, series


class Feeder:
    """One circuit in OpenDSS."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.node = {name: at for at, name in enumerate(network.circuit.netlist.nodes, 1)}
        self.node[EARTH] = 0
        self._count = 0
        self.say("clear")
        # OpenDSS wants a source of its own; it stands on a bus that nothing else is on.
        self.say("new circuit.unit bus1=apart basekv=1 pu=1 phases=1")
        for at in range(len(network.circuit.netlist.branches)):
            self._branch(at)
        for name in network.circuit.netlist.nodes:
            self.reactor([name], [EARTH], [[-1j / (2 * np.pi * 60 * 60e-12)]])
        for at in range(len(network.circuit.netlist.pairs)):
            self._pair(at)
        for at in range(len(network.circuit.netlist.machines)):
            self._machine(at)
        self.say("set voltagebases=[1]")
        self.say("set tolerance=1e-12")
        self.say("set maxiterations=200")
        self.say("solve mode=snapshot")

    @staticmethod
    def say(words: str) -> None:
        """Give OpenDSS one command."""
        DSS.Text.Command = words

    def _bus(self, names: list[str]) -> str:
        return "b" + "".join(f".{self.node[name]}" for name in names)

    def _name(self, kind: str) -> str:
        self._count += 1
        return f"{kind}.e{self._count}"

    def reactor(self, a: list[str], b: list[str], impedance: object) -> None:
        """Add coupled impedances between the terminals of two lists."""
        matrix = np.asarray(impedance, dtype=np.complex128)
        ends = f"bus1={self._bus(a)} bus2={self._bus(b)} phases={len(a)}"
        if len(a) == 1:
            ohms = matrix[0, 0]
            self.say(f"new {self._name('reactor')} {ends} R={ohms.real:.17g} X={ohms.imag:.17g}")
            return
        real, imaginary = (
            " | ".join(" ".join(f"{one:.17g}" for one in row[: at + 1]) for at, row in enumerate(m))
            for m in (matrix.real, matrix.imag)
        )
        name = self._name("reactor")
        self.say(f"new {name} {ends} rmatrix=[{real}] xmatrix=[{imaginary}]")

    def _branch(self, at: int) -> None:
        netlist = self.network.circuit.netlist
        branch = netlist.branches[at]
        if not self.network.on[at, 0]:
            return
        ohms, x, uf = series(self.network, at)
        impedance = complex(ohms, x) - (1j / (2 * np.pi * 60 * uf * 1e-6) if uf else 0)
        self.reactor([branch.a], [branch.b], [[impedance]])
        for source in netlist.sources:
            if source.branch == branch.name and not source.direct:
                amps = phasor(param(self.network, source.volts), source.degrees) / impedance
                for end, sign in ((branch.a, 1), (branch.b, -1)):
                    self._inject(end, sign * amps)

    def _inject(self, end: str, amps: complex) -> None:
        if end != EARTH:
            name, angle = self._name("isource"), degrees(phase(amps))
            size = f"amps={abs(amps):.17g} angle={angle:.17g}"
            self.say(f"new {name} bus1={self._bus([end])} phases=1 {size}")

    def _pair(self, at: int) -> None:
        pair = self.network.circuit.netlist.pairs[at]
        core, air = param(self.network, pair.core), param(self.network, pair.magnetising)
        shared = core * 1j * air / (core + 1j * air)
        ratio = param(self.network, pair.tap) / pair.secondary_volts
        first = param(self.network, pair.primary_ohms) + 1j * param(self.network, pair.leakage)
        second = param(self.network, pair.secondary_ohms)
        self.reactor(
            [pair.primary[0], pair.secondary[0]],
            [pair.primary[1], pair.secondary[1]],
            [[first + shared, shared / ratio], [shared / ratio, second + shared / ratio**2]],
        )

    def _machine(self, at: int) -> None:
        machine = self.network.circuit.netlist.machines[at]
        slip = float(self.network.state.slip[at, 0])
        air = 1j * param(self.network, machine.magnetising)
        rotor, rotor_x = (param(self.network, one) for one in (machine.rotor_ohms, machine.rotor_x))

        def field(against: float) -> complex:
            through = rotor / against + 1j * rotor_x
            return air * through / (air + through)

        coils = machine.coils
        a, b = [coil.a for coil in coils], [coil.b for coil in coils]
        own = [complex(param(self.network, one.ohms), param(self.network, one.x)) for one in coils]
        if machine.phases == 3:
            one, two = own[0] + field(slip), own[0] + field(2 - slip)
            sequences = " ".join(
                f"{name}=[{z.real:.17g}, {z.imag:.17g}]"
                for name, z in (("Z1", one), ("Z2", two), ("Z0", own[0]))
            )
            ends = f"bus1={self._bus(a)} bus2={self._bus(b)} phases=3"
            self.say(f"new {self._name('reactor')} {ends} {sequences}")
            return
        assert slip == 1.0, "a machine of two windings is compared standing"
        for coil, z in zip(coils, own, strict=True):
            turns = param(self.network, coil.turns)
            self.reactor([coil.a], [coil.b], [[z + turns**2 * field(1.0)]])

    def volts(self) -> dict[str, complex]:
        """Return the volts of every node."""
        DSS.ActiveCircuit.SetActiveBus("b")
        bus = DSS.ActiveCircuit.ActiveBus
        flat = np.asarray(bus.Voltages, dtype=np.float64).reshape(-1, 2)
        by_node = {int(n): complex(*one) for n, one in zip(bus.Nodes, flat, strict=True)}
        return {name: by_node[at] for name, at in self.node.items() if at}

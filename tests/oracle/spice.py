"""A network written out for ngspice, element by element.

Nothing of the project's matrices goes in: branches are resistors, inductors and capacitors; a
transformer is its leakage, its magnetising branch and an ideal one; a machine is its forward and
its backward field as ladders of R and L, with a 1/w henry coil to turn a phasor by 90 degrees.
"""

from __future__ import annotations

import shutil
import subprocess
from math import cos, pi, radians, sin
from pathlib import Path

from engine.unit.netlist import EARTH
from engine.unit.network import Network
from tests.oracle.circuits import param, series

OMEGA = 2 * pi * 60
NGSPICE = shutil.which("ngspice")


class Deck:
    """The lines of one circuit."""

    def __init__(self, network: Network) -> None:
        self.network = network
        self.lines = ["* one network", ".options rshunt=1e15"]
        self.node = {name: f"n{at}" for at, name in enumerate(network.circuit.netlist.nodes)}
        self.node[EARTH] = "0"
        self._count = 0
        for at in range(len(network.circuit.netlist.branches)):
            self._branch(at)
        for name in network.circuit.netlist.nodes:
            self.add("C", f"{self.node[name]} 0 60p")
        self._pairs()
        for at in range(len(network.circuit.netlist.machines)):
            self._machine(at)

    def add(self, kind: str, rest: str) -> str:
        """Add an element and return its name."""
        self._count += 1
        name = f"{kind}{self._count}"
        self.lines.append(f"{name} {rest}")
        return name

    def fresh(self) -> str:
        """Return a node of its own."""
        self._count += 1
        return f"x{self._count}"

    def impedance(self, a: str, b: str, ohms: float, x: float) -> None:
        """Add a resistance and an inductance in series."""
        if not x:
            self.add("R", f"{a} {b} {ohms:.17g}")
            return
        middle = self.fresh()
        self.add("R", f"{a} {middle} {ohms:.17g}")
        self.add("L", f"{middle} {b} {x / OMEGA:.17g}")

    def _branch(self, at: int) -> None:
        netlist = self.network.circuit.netlist
        branch = netlist.branches[at]
        a, b = self.node[branch.a], self.node[branch.b]
        if not self.network.on[at, 0]:
            return
        ohms, x, uf = series(self.network, at)
        for source in netlist.sources:
            if source.branch == branch.name and not source.direct:
                behind = self.fresh()
                volts = param(self.network, source.volts)
                self.add("V", f"{behind} {b} dc 0 ac {volts:.17g} {source.degrees:.17g}")
                b = behind
        if uf:
            middle = self.fresh()
            self.add("C", f"{middle} {b} {uf * 1e-6:.17g}")
            b = middle
        self.impedance(a, b, ohms, x)

    def _pairs(self) -> None:
        for pair in self.network.circuit.netlist.pairs:
            first, end = (self.node[one] for one in pair.primary)
            second, other = (self.node[one] for one in pair.secondary)
            shared = self.fresh()
            ohms, leakage = (param(self.network, one) for one in (pair.primary_ohms, pair.leakage))
            self.impedance(first, shared, ohms, leakage)
            self.add("L", f"{shared} {end} {param(self.network, pair.magnetising) / OMEGA:.17g}")
            self.add("R", f"{shared} {end} {param(self.network, pair.core):.17g}")
            ratio = param(self.network, pair.tap) / pair.secondary_volts
            inside, sensed = self.fresh(), self.fresh()
            self.add("R", f"{second} {sensed} {param(self.network, pair.secondary_ohms):.17g}")
            sense = self.add("V", f"{sensed} {inside} 0")
            self.add("E", f"{inside} {other} {shared} {end} {1 / ratio:.17g}")
            self.add("F", f"{end} {shared} {sense} {1 / ratio:.17g}")

    def _machine(self, at: int) -> None:
        machine = self.network.circuit.netlist.machines[at]
        slip = float(self.network.state.slip[at, 0])
        part = 0.5 if machine.phases == 1 else 1 / 3
        forward, backward = self.fresh(), self.fresh()
        for node, against in ((forward, slip), (backward, 2 - slip)):
            air = part * param(self.network, machine.magnetising) / OMEGA
            self.add("L", f"{node} 0 {air:.17g}")
            rotor = part * param(self.network, machine.rotor_ohms) / against
            self.impedance(node, "0", rotor, part * param(self.network, machine.rotor_x))
        turned = {node: self._turned(node) for node in (forward, backward)}
        for coil, (ohms, turns) in zip(machine.coils, self._wound(at), strict=True):
            across, along = turns * cos(radians(coil.degrees)), turns * sin(radians(coil.degrees))
            a, b = self.node[coil.a], self.node[coil.b]
            one, two, three, four, five = (self.fresh() for _ in range(5))
            self.impedance(a, one, ohms[0], ohms[1])
            sense = self.add("V", f"{one} {two} 0")
            self.add("E", f"{two} {three} {forward} 0 {across:.17g}")
            self.add("E", f"{three} {four} {turned[forward]} 0 {-along:.17g}")
            self.add("E", f"{four} {five} {backward} 0 {across:.17g}")
            self.add("E", f"{five} {b} {turned[backward]} 0 {along:.17g}")
            quarter = self.fresh()
            self.add("F", f"0 {quarter} {sense} 1")
            self.add("L", f"{quarter} 0 {1 / OMEGA:.17g}")
            for node, sign in ((forward, 1), (backward, -1)):
                self.add("F", f"0 {node} {sense} {across:.17g}")
                self.add("G", f"0 {node} {quarter} 0 {sign * along:.17g}")

    def _turned(self, node: str) -> str:
        """Return a node that has j times the volts of another."""
        quarter = self.fresh()
        self.add("G", f"0 {quarter} {node} 0 1")
        self.add("L", f"{quarter} 0 {1 / OMEGA:.17g}")
        return quarter

    def _wound(self, at: int) -> list[tuple[tuple[float, float], float]]:
        """Return each coil's ohms and reactance, and its turns, by the share before its tap."""
        machine = self.network.circuit.netlist.machines[at]
        whole = True
        if machine.opened_by:
            names = [one.name for one in self.network.circuit.netlist.protections]
            whole = bool(self.network.state.whole[names.index(machine.opened_by), 0])
        found = []
        for coil in machine.coils:
            share = param(self.network, coil.tap) if coil.tap else 1.0
            share = 1 - share if coil.beyond else share
            ohms, x, turns = (param(self.network, one) for one in (coil.ohms, coil.x, coil.turns))
            cut = ohms >= 1e14 or (not whole and (coil.beyond or not coil.tap))
            found.append(((1e12 if cut else ohms * share, x * share), turns * share))
        return found


def solved(network: Network, folder: Path) -> dict[str, complex]:
    """Return the volts of every node as ngspice finds them."""
    deck = Deck(network)
    names = list(network.circuit.netlist.nodes)
    vectors = " ".join(f"v({deck.node[name]})" for name in names)
    out = folder / "volts.txt"
    deck.lines += [
        ".control", "set numdgt=15", "ac lin 1 60 60", f"wrdata {out.name} {vectors}", "quit",
        ".endc", ".end",
    ]  # fmt: skip
    file = folder / "deck.cir"
    file.write_text("\n".join(deck.lines) + "\n", encoding="utf-8", newline="\n")
    assert NGSPICE is not None
    done = subprocess.run(
        [NGSPICE, "-b", file.name], cwd=folder, capture_output=True, text=True, check=False,
        encoding="utf-8", errors="replace",
    )  # fmt: skip
    assert out.is_file(), done.stdout[-800:] + done.stderr[-800:]
    numbers = [float(one) for one in out.read_text(encoding="utf-8").split()]
    return {
        name: complex(numbers[3 * at + 1], numbers[3 * at + 2]) for at, name in enumerate(names)
    }

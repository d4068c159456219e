"""The circuits that outside solvers are given: shipped units in states of their own.

Each is a network as the project settled it; what is compared is the volts of every node.
"""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from engine.loader.units import load_unit
from engine.unit.bench import Bench, When
from engine.unit.faults import Row
from engine.unit.network import Network
from engine.unit.unit import Unit
from tests.engine.unit.benches import CALL, HIGH, SINGLE, THREE, unit

UNITS = Path(__file__).parents[2] / "trees" / "units"
_OTHER = {
    "split": (SINGLE, "240/120 high-leg delta", "120/240 split phase"),
    "wye": (SINGLE, "240/120 high-leg delta", "208Y/120"),
    "one pole": (SINGLE, "is: contactor, poles: 2", "is: contactor, poles: 1"),
    "corner": (THREE, "is: 208Y/120", "is: corner-grounded delta"),
}


@cache
def whole(name: str) -> Unit:
    """Return a shipped unit without its faults (so no winding has a tap), or on another service."""
    base, old, new = _OTHER.get(name, (name, "", ""))
    text = (UNITS / f"{base}.yaml").read_text(encoding="utf-8").partition("\nfaults:")[0]
    text = text.partition("\nexpect:")[0] + "\nexpect: {}\n"
    text = text.replace(old, new) if old else text
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"{base}.yaml"
        path.write_text(text, encoding="utf-8", newline="\n")
        loaded = load_unit(str(path))
    assert loaded.unit is not None, [*map(str, loaded.problems)]
    return loaded.unit


@dataclass(frozen=True)
class Case:
    """One network."""

    unit: str
    fault: str = ""
    when: When = When.RUNNING
    bare: bool = False
    """Without taps in its windings."""

    def __str__(self) -> str:
        return f"{self.unit}, {self.fault or 'sound'}, {self.when}"

    @property
    def network(self) -> Network:
        """The circuit in its state."""
        of = whole(self.unit) if self.bare or self.unit in _OTHER else unit(self.unit)
        faults = (of.faults[self.fault],) if self.fault else ()
        return Bench(of, [Row(faults)]).settle(CALL).network(self.when)


RUNNING = (
    Case(SINGLE),
    Case(SINGLE, "hot lug leg 1"),
    Case(SINGLE, "run capacitor low"),
    Case(SINGLE, "turns shorted"),
    Case(SINGLE, "windings leak"),
    Case("split"),
    Case(THREE),
    Case(THREE, "leg 3 lost while running"),
    Case(THREE, "contactor pole 1 pitted"),
    Case("corner"),
    Case(HIGH),
    Case(HIGH, "one leg low"),
)
STANDING = tuple(
    Case(name, fault, When.AT_START)
    for name, fault in (
        (SINGLE, ""),
        (SINGLE, "run capacitor open"),
        (SINGLE, "run winding open"),
        ("split", ""),
        (THREE, ""),
        (THREE, "leg 3 lost upstream"),
        (THREE, "contactor pole 3 open"),
        ("corner", ""),
        (HIGH, "rotor locked"),
        (HIGH, "compressor lead burnt off"),
    )
)
DEAD_LEG = (
    Case(SINGLE, "leg 1 lost upstream"),
    Case(SINGLE, "burnt lug leg 1"),
    Case(SINGLE, "fuse 2 blown"),
    Case(THREE, "leg 1 lost upstream"),
    Case(HIGH, "burnt lug leg 1"),
    Case(SINGLE, "high-pressure switch open"),
)
EVERY = (*RUNNING, *STANDING, *DEAD_LEG)


def compared(network: Network, found: Mapping[str, complex]) -> tuple[float, float]:
    """Return the largest relative difference of nodes above 1 V, and the largest in V of others."""
    relative, absolute = 0.0, 0.0
    for name in network.circuit.netlist.nodes:
        ours = complex(network.node(name)[0])
        apart = abs(ours - found[name])
        if abs(ours) > 1:
            relative = max(relative, apart / abs(ours))
        else:
            absolute = max(absolute, apart)
    return relative, absolute


def param(network: Network, name: str) -> float:
    """Return one number of the circuit."""
    return float(network.values[network.circuit.param[name], 0])


def series(network: Network, at: int) -> tuple[float, float, float]:
    """Return ohms, reactance and uF (0 for none) of a branch as the netlist says them."""
    branch = network.circuit.netlist.branches[at]
    ohms, x = param(network, branch.ohms), param(network, branch.x)
    for relay_at, relay in enumerate(network.circuit.netlist.relays):
        if relay.coil == branch.name:
            pulled = bool(network.state.pulled[relay_at, 0])
            more, more_x = relay.sealed if pulled else relay.inrush
            ohms, x = ohms + param(network, more), x + param(network, more_x)
    return ohms, x, param(network, branch.uf) if branch.uf else 0.0


def phasor(volts: float, degrees: float) -> complex:
    return complex(volts * np.exp(1j * np.radians(degrees)))

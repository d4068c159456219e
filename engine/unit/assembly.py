"""A unit put together: service, parts and wires into one circuit.

Owns the order of it. A wire is a joint at either end and copper between; a clamp at a terminal goes
round the first wire that the file traces there, unless the part says otherwise.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from engine.unit.netlist import JOINT, OPEN, Draft, Netlist
from engine.unit.part import BESIDE, Placed
from engine.unit.parts import PARTS
from engine.unit.services import feed

WIRE = 0.02
"""Share by which the ohms of a run of copper differ; judgement."""


@dataclass(frozen=True, slots=True)
class Wire:
    """One run from terminal to terminal."""

    a: str
    b: str
    ohms: float = 0.0
    """Of its copper, without the joints."""
    feet: float = 0.0

    @property
    def name(self) -> str:
        """What a fault calls it."""
        return f"{self.a} to {self.b}"


@dataclass(frozen=True, slots=True)
class Bridge:
    """Where a fault joins two terminals that are apart on a sound unit."""

    a: str
    b: str
    above: float = 0.0

    @property
    def name(self) -> str:
        """Its branch."""
        over = f" above {self.above:g} V" if self.above else ""
        return f"bridge {self.a} to {self.b}{over}"


@dataclass(frozen=True, slots=True)
class Supply:
    """The service of a unit file."""

    kind: str
    legs: tuple[str, ...]
    loads: Mapping[str, float] = field(default_factory=dict)


def place(draft: Draft, supply: Supply, parts: Mapping[str, tuple[str, Placed]]) -> None:
    """Put the service and the parts, by name with their kind, into a circuit."""
    feed(draft, supply.kind, supply.legs, loads=supply.loads)
    for kind, part in parts.values():
        PARTS[kind].make(draft, part)


def _beside(wire: Wire) -> tuple[str, str]:
    """Return the parts that a wire runs between: wires of the same two lie side by side."""
    return wire.a.partition(".")[0], wire.b.partition(".")[0]


def join(draft: Draft, wires: Sequence[Wire], bridges: Sequence[Bridge]) -> Netlist:
    """Put the wires and the places of faults into a circuit and return it."""
    for wire in wires:
        lifts = (wire.a, wire.b)
        draft.branch(wire.name, *lifts, JOINT + wire.ohms, tolerance=WIRE, lifts=lifts)
        for terminal in lifts:
            draft.clamps.setdefault(terminal, wire.name)
    for at, wire in enumerate(wires):
        for other in wires[at + 1 :]:
            if wire.feet and _beside(wire) == _beside(other):
                uf = min(wire.feet, other.feet) * BESIDE
                draft.branch(f"{wire.name} beside {other.name}", wire.b, other.b, 0.01, uf=uf)
    for bridge in bridges:
        draft.branch(bridge.name, bridge.a, bridge.b, OPEN, above=bridge.above)
    return draft.frozen()

"""A unit as a circuit: nodes, branches, coupled coils, machines, relays, protection, sources.

Owns the flat description that parts and wiring are written out to (`Draft`) and that the solver
reads (`Netlist`). Every number is a named parameter, so that a fault or a tolerance is another
value of it and the circuit keeps its shape. Plain data; ohms, farads in uF, volts, amps, seconds.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

EARTH = "earth"
"""The reference: the grounded bar of the panel. It has no volts."""
GROUND = "ground"
"""Bare metal of the unit, joined to `EARTH` by the equipment grounding conductor."""

OPEN = 1e15
"""Ohms of what is open: far above every leak."""
JOINT = 1e-3
"""Ohms of a sound joint; nothing that conducts has less."""
ZERO = "zero"
"""The parameter that is always 0."""


@dataclass(frozen=True, slots=True)
class Param:
    """A number of the circuit and how far parts as made may differ from it, as a share."""

    name: str
    nominal: float
    tolerance: float = 0.0


@dataclass(frozen=True, slots=True)
class Branch:
    """Two terminals joined by resistance, reactance or capacitance; fields name parameters."""

    name: str
    a: str
    b: str
    ohms: str
    x: str = ZERO
    """Reactance in series at 60 Hz."""
    uf: str = ""
    """Capacitance in series; empty for what conducts direct current."""
    dc: str = ""
    """Ohms for direct current where they differ."""
    switches: tuple[str, ...] = ()
    """What must all be so for it to conduct: ``device:``, ``relay:``, ``whole:``, ``call:``."""
    lifts: tuple[str, ...] = ()
    """Terminals at which taking the lead off opens it."""
    above: float = 0.0
    """It breaks down only above so many volts; an ohmmeter has not that many."""

    @property
    def weld(self) -> str:
        """The parameter that is 1 where it conducts whatever its switches say."""
        return f"{self.name} weld"


@dataclass(frozen=True, slots=True)
class Pair:
    """Two coupled coils, primary and secondary; fields name parameters."""

    name: str
    primary: tuple[str, str]
    secondary: tuple[str, str]
    tap: str
    """Volts of the primary tap in use."""
    secondary_volts: float
    """What its secondary has without load on its rated volts."""
    primary_ohms: str
    secondary_ohms: str
    leakage: str
    magnetising: str
    core: str


@dataclass(frozen=True, slots=True)
class Coil:
    """One coil of a machine, or the part of one on a side of its tap."""

    name: str
    a: str
    b: str
    turns: str
    degrees: float
    ohms: str
    x: str
    tap: str = ""
    """The parameter with the share of turns before the tap; empty for a whole coil."""
    beyond: bool = False
    """True for the part behind the tap."""


@dataclass(frozen=True, slots=True)
class Machine:
    """An induction machine; fields name parameters."""

    name: str
    coils: tuple[Coil, ...]
    phases: int
    rotor_ohms: str
    rotor_x: str
    magnetising: str
    load: str
    """Shaft load in W at synchronous speed."""
    start: str
    """Share of the load that must be overcome at standstill and on the way up."""
    locked: str
    rated_slip: float
    volts: float
    standing_ohms: float
    """Impedance of its main coil at standstill, as a machine of its size has it."""
    fan: bool = False
    """True where the load falls with the square of the speed."""
    cooled_by: str = ""
    """The fan without which the load rises."""
    uncooled: float = 1.0
    """Times the load where that fan does not turn."""
    opened_by: str = ""
    """The protection in its star point."""


@dataclass(frozen=True, slots=True)
class Relay:
    """A coil and what pulls it in; fields name parameters."""

    name: str
    coil: str
    """The coil's branch."""
    pull_in: str
    drop_out: str
    inrush: tuple[str, str]
    sealed: tuple[str, str]


@dataclass(frozen=True, slots=True)
class Protection:
    """What opens by current and time: seconds = k / (m² - 1), m times its rating."""

    name: str
    watches: tuple[str, ...]
    """Branches; the largest current counts."""
    amps: str
    k: float
    instant: float = float("inf")
    """Times the rating from which it opens at once."""
    heated_by: tuple[str, ...] = ()
    """Joints whose heat it feels, branch by branch as `watches`."""
    watts: float = 1.0
    """Heat of such a joint that is as much as the rated current's own."""


@dataclass(frozen=True, slots=True)
class Source:
    """A branch with volts in it."""

    branch: str
    volts: str
    degrees: float = 0.0
    direct: bool = False


@dataclass(frozen=True, slots=True)
class Netlist:
    """A whole circuit. Names are unique; `EARTH` is no node."""

    nodes: tuple[str, ...]
    params: tuple[Param, ...]
    branches: tuple[Branch, ...]
    pairs: tuple[Pair, ...]
    machines: tuple[Machine, ...]
    relays: tuple[Relay, ...]
    protections: tuple[Protection, ...]
    sources: tuple[Source, ...]
    clamps: Mapping[str, str]
    """Terminal → the branch that a clamp is put round there."""


@dataclass(slots=True)
class Draft:
    """A circuit while parts are put into it."""

    params: dict[str, Param] = field(default_factory=lambda: {ZERO: Param(ZERO, 0.0)})
    nodes: dict[str, None] = field(default_factory=dict)
    branches: dict[str, Branch] = field(default_factory=dict)
    pairs: list[Pair] = field(default_factory=list)
    machines: list[Machine] = field(default_factory=list)
    relays: list[Relay] = field(default_factory=list)
    protections: list[Protection] = field(default_factory=list)
    sources: list[Source] = field(default_factory=list)
    clamps: dict[str, str] = field(default_factory=dict)

    def node(self, *names: str) -> None:
        """Keep terminals."""
        self.nodes.update(dict.fromkeys(name for name in names if name != EARTH))

    def param(self, name: str, nominal: float, tolerance: float = 0.0) -> str:
        """Keep a number and return its name."""
        self.params[name] = Param(name, nominal, tolerance)
        return name

    def branch(
        self,
        name: str,
        a: str,
        b: str,
        ohms: float = JOINT,
        *,
        tolerance: float = 0.0,
        x: float | None = None,
        uf: float | None = None,
        dc: float | None = None,
        switches: tuple[str, ...] = (),
        lifts: tuple[str, ...] = (),
        above: float = 0.0,
    ) -> str:
        """Keep a branch with its parameters and return its name."""
        self.node(a, b)
        self.branches[name] = branch = Branch(
            name,
            a,
            b,
            self.param(f"{name} ohms", ohms, tolerance),
            ZERO if x is None else self.param(f"{name} x", x, tolerance),
            "" if uf is None else self.param(f"{name} uf", uf, tolerance),
            "" if dc is None else self.param(f"{name} dc", dc, tolerance),
            switches,
            lifts,
            above,
        )
        self.param(branch.weld, 0.0)
        return name

    def source(
        self,
        branch: str,
        volts: str,
        nominal: float,
        degrees: float = 0.0,
        tolerance: float = 0.0,
        *,
        direct: bool = False,
    ) -> None:
        """Put volts into a branch; ``volts`` names their parameter."""
        name = self.param(volts, nominal, tolerance)
        self.sources.append(Source(branch, name, degrees, direct))

    def frozen(self) -> Netlist:
        """Return the circuit as it is now."""
        return Netlist(
            tuple(self.nodes),
            tuple(self.params.values()),
            tuple(self.branches.values()),
            tuple(self.pairs),
            tuple(self.machines),
            tuple(self.relays),
            tuple(self.protections),
            tuple(self.sources),
            dict(self.clamps),
        )


def terminals_of(netlist: Netlist) -> Iterable[tuple[str, str]]:
    """Yield every two terminals that something may join, whatever is switched."""
    for branch in netlist.branches:
        yield branch.a, branch.b
    for pair in netlist.pairs:
        ends = (*pair.primary, *pair.secondary)
        yield from ((one, other) for one in ends for other in ends if one < other)

"""A simulated unit as a unit file describes it: circuit, test points, faults, what is expected."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from engine.problems import Span
from engine.reading import Function
from engine.unit.condition import Condition
from engine.unit.faults import Fault, Stated
from engine.unit.netlist import Netlist


@dataclass(frozen=True, slots=True)
class Expected:
    """A reading that a sound unit must give, in base units, both ends included."""

    operating: str
    function: Function
    points: tuple[str, ...]
    low: float
    high: float
    span: Span


@dataclass(frozen=True, slots=True)
class Unit:
    """One simulated unit."""

    name: str
    title: str
    layout: str
    phases: int
    service: str
    netlist: Netlist
    points: Mapping[str, str]
    """Test point → terminal."""
    nameplate: Mapping[str, tuple[str, ...]]
    """Answers to the questions about the nameplate, as typed."""
    operating: Mapping[str, Condition]
    """Operating points by name; the first is the usual call."""
    expected: tuple[Expected, ...]
    faults: Mapping[str, Fault]
    stated: tuple[Stated, ...] = ()
    """What a sound unit shows that is not reckoned: air, pressures."""
    digest: str = ""
    files: Mapping[str, bytes] = field(default_factory=dict)

"""Faults: which numbers of the circuit a fault changes, and what else there is to be found.

Owns `Change` and `Fault`. A fault is another value of parameters that are there anyway, so the
circuit keeps its shape; what eye, nose or hand would find stands beside it as signs.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Change:
    """A parameter takes a value, or its own value times a factor."""

    param: str
    value: float
    times: bool = False


@dataclass(frozen=True, slots=True)
class Stated:
    """A reading that is not reckoned but said: airflow, refrigerant, drain."""

    function: str
    points: tuple[str, ...]
    value: float
    """In the base unit of the function's kind."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of a unit."""

    name: str
    suspect: str
    """The cause as trees call it."""
    changes: tuple[Change, ...]
    signs: Mapping[str, str] = field(default_factory=dict)
    """Sign → where it is found."""
    found: Mapping[str, str] = field(default_factory=dict)
    """Device → how it stands when somebody comes: open, tripped."""
    nameplate: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Answers to questions about the nameplate that are other than on a sound unit."""
    reads: tuple[Stated, ...] = ()
    kinds: tuple[str, ...] = ()
    """Wider causes that this is a kind of, the nearest first: what a tree calls it that looks less
    far."""
    while_running: bool = False
    """It strikes a unit that runs; the unit is not started with it until somebody does."""


SOUND = Fault("sound", "", ())
"""Nothing is wrong."""


@dataclass(frozen=True, slots=True)
class Row:
    """One simulated unit: its faults (none, one or a pair) and which variation of its parts."""

    faults: tuple[Fault, ...] = ()
    variation: int = 0
    """0 is the nominal unit read with a perfect meter."""

    @property
    def key(self) -> str:
        """What the generator is keyed by, beside seed and variation."""
        return "+".join(fault.name for fault in self.faults)

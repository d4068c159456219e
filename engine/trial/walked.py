"""What came of a row: the walk of one tree on one unit with a fault and a variation of its parts.

Owns `Walked`. It is a plain value: worker processes send it, totals and tables are made of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from engine.tree import Finding, WalkTree


class Closeness(NamedTuple):
    """How near a reading of a walk came to a cut."""

    step: str
    cut: str
    """The band's key: ``below least``."""
    margin: float
    """Distance from the cut over the half width of the meter's accuracy: 1 is just clear of it."""


class Passing(NamedTuple):
    """One step that a walk came by."""

    step: str
    key: str
    """The answer: a band or a choice, as the tree writes it; a reason where it can't be done."""
    verdict: str
    silent: bool = False
    """Decided by what was known; nothing was asked."""


@dataclass(frozen=True, slots=True)
class Walked:
    """One row, walked as far as the tree leads."""

    faults: tuple[str, ...]
    variation: int
    """0 is the nominal unit read with a perfect meter."""
    path: tuple[Passing, ...]
    findings: tuple[str, ...]
    """The causes found, in their order."""
    mended: tuple[str, ...]
    """Of these, what was mended (and not handed on to somebody else)."""
    end: str
    """``in service``, ``made safe``, ``withdrawn``; empty where the walk got stuck."""
    stuck: str = ""
    """Why the walk could not go on, in a sentence."""
    unsafe: str = ""
    """The rule that was broken and what it says; empty where nothing was."""
    checks: int = 0
    """Steps that somebody had to do, to the last finding."""
    minutes: float = 0.0
    """What those steps take."""
    closest: tuple[Closeness, ...] = ()
    noted: tuple[str, ...] = ()
    """Side findings, recorded on the way."""

    @property
    def finding(self) -> str:
        """The cause the walk ended on; empty for none."""
        return self.findings[-1] if self.findings else ""


def causes_of(walk: WalkTree, row: Walked) -> tuple[Finding, ...]:
    """Return the findings that are causes; what is only noted or mended beside is none."""
    findings = (walk.tree.findings[name] for name in row.findings)
    return tuple(one for one in findings if not one.kind)

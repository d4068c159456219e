"""What is proved of a tree: for each property whether it holds on every walk, and why not.

A property is *proved*, *refuted* (with a shortest walk that shows it) or *not proved* (with the
reason). A property of safety that is refuted stops the tree; there is no way round it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from engine.problems import Problem


class Verdict(StrEnum):
    """What came of a proof."""

    PROVED = "proved"
    REFUTED = "refuted"
    NOT_PROVED = "not proved"


@dataclass(frozen=True, slots=True)
class Result:
    """One property of a tree, and what came of it."""

    name: str
    """In words, for example ``every walk ends`` or ``R3``."""
    problems: tuple[Problem, ...] = ()
    """What refutes it."""
    open: str = ""
    """Why it is not proved, where nothing refutes it and yet nobody knows."""

    @property
    def verdict(self) -> Verdict:
        """Whether it is proved, refuted, or neither."""
        if self.problems:
            return Verdict.REFUTED
        return Verdict.NOT_PROVED if self.open else Verdict.PROVED


@dataclass(frozen=True, slots=True)
class Cost:
    """What finding the cause takes: from the start to the finding."""

    minutes: float
    checks: float


@dataclass(frozen=True, slots=True)
class Costs:
    """The least, the most, and what is to be expected when the causes are as likely as they say."""

    best: Cost
    worst: Cost
    expected: Cost


@dataclass(frozen=True, slots=True)
class Proof:
    """Everything that is proved of one tree."""

    results: tuple[Result, ...]
    costs: Costs | None
    """None where the walks never end, or end on no finding."""

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything that refutes a property, each once."""
        return tuple(dict.fromkeys(one for result in self.results for one in result.problems))

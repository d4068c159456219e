"""The model of a search for a cause: suspects, checks and what they show, repairs.

A matrix holds one fault at a time. What a check shows is said by odds: an outcome that never
comes with a suspect is left out, and where each suspect has one outcome only the check is never
wrong. A check that errs does so because of the unit or the meter, so that doing it again says
nothing new: each counts once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from engine.problems import Span

Shows = Mapping[str, Mapping[str, float]]
"""Suspect → outcome → how likely the check shows it with that suspect there."""


@dataclass(frozen=True, slots=True)
class Check:
    """Something that can be looked at or measured."""

    name: str
    minutes: float
    shows: Shows
    access: int = 0
    """In which access it is done, by its number in `Matrix.changes`."""
    risk: int = 0
    """Of two checks equally good the one with less risk is done."""
    finds: Mapping[str, str] = field(default_factory=dict)
    """Outcome → the suspect that it finds; with that one there the work ends on it."""
    after: tuple[tuple[str, frozenset[str]], ...] = ()
    """(check, outcomes): it can be made only once that check has shown one of those."""


FREE: tuple[tuple[float, ...], ...] = ((0.0,),)
"""One access, and nothing to change."""


@dataclass(frozen=True)
class Matrix:
    """Suspects by weight, the checks, and the minutes from each access to each other."""

    suspects: Mapping[str, float]
    """Suspect → weight; what they come to together is taken as certain."""
    checks: tuple[Check, ...]
    changes: tuple[tuple[float, ...], ...] = FREE
    """Minutes from an access (row) to another; infinity where there is no way."""
    by_odds: bool = False
    """The work is finished as soon as one suspect is sure, though no check may ever be wrong."""
    only_hints: bool = False
    """Odds are mere hints: a check parts suspects only by the outcomes that put some out."""

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The suspects in order: bit 0 of a set stands for the first."""
        return tuple(self.suspects)

    @cached_property
    def never_wrong(self) -> bool:
        """Whether every check shows one outcome only with each suspect."""
        return all(len(one) == 1 for check in self.checks for one in check.shows.values())

    def check(self, name: str) -> Check:
        """Return a check by its name; raises KeyError for one that is not there."""
        for check in self.checks:
            if check.name == name:
                return check
        raise KeyError(name)


def plain_check(
    name: str, minutes: float, outcomes: Mapping[str, str], access: int = 0, risk: int = 0
) -> Check:
    """Return a check that is never wrong, from suspect → outcome."""
    shows = {suspect: {outcome: 1.0} for suspect, outcome in outcomes.items()}
    return Check(name, minutes, shows, access, risk)


def outcomes_of(check: Check) -> tuple[str, ...]:
    """Return every outcome that a check can show, each once, in order of appearance."""
    return tuple(dict.fromkeys(outcome for one in check.shows.values() for outcome in one))


@dataclass(frozen=True, slots=True)
class Repair:
    """Something that can be done about suspects."""

    name: str
    minutes: float
    fixes: Mapping[str, float]
    """Suspect → how likely the repair mends it, whatever other repairs did."""


@dataclass(frozen=True, slots=True)
class Search:
    """A search for a cause as a file asks for it: a matrix and what is known, or repairs."""

    matrix: Matrix
    known: Mapping[str, str] = field(default_factory=dict)
    """Check → the outcome that it has shown."""
    repairs: tuple[Repair, ...] = ()
    """In place of checks; empty where there are checks."""
    known_at: Span | None = None
    """Where a file says what is known."""

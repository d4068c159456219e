"""What readings leave of the suspects: probabilities, and what a check would add to them.

By Bayes' rule, for one fault at a time; given the fault, checks err independently of each other
and each counts once. Where no suspect explains what was read, that is the answer: nothing is
divided by nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations
from math import log2

from engine.matrix import Check, Matrix, outcomes_of
from engine.suspects.clashes import hitting_sets

Known = Mapping[str, str]
"""Check → the outcome that it showed."""


@dataclass(frozen=True, slots=True)
class Belief:
    """How likely each suspect is, or which readings no suspect explains."""

    remaining: Mapping[str, float]
    """Every suspect, those that are out with 0; together 1, or all 0 where nothing fits."""
    clashes: tuple[tuple[str, ...], ...] = ()
    """Each a smallest set of checks whose outcomes no suspect explains together."""

    @property
    def explained(self) -> bool:
        """Whether some suspect explains everything that was read."""
        return not self.clashes


def believe(matrix: Matrix, known: Known) -> Belief:
    """Return what is left of the suspects after some checks have shown their outcomes.

    Raises KeyError for a check that the matrix does not have.
    """
    weights: Mapping[str, float] = matrix.suspects
    for name, outcome in known.items():
        shows = matrix.check(name).shows
        # Shares after each: what is multiplied often enough would come to nothing.
        weights = _shares({one: by * shows[one].get(outcome, 0.0) for one, by in weights.items()})
    if not any(weights.values()):
        return Belief(dict.fromkeys(weights, 0.0), clashing(matrix, known))
    return Belief(_shares(weights))


def _shares(weights: Mapping[str, float]) -> dict[str, float]:
    whole = sum(weights.values())
    return {name: weight / whole if whole else 0.0 for name, weight in weights.items()}


def clashing(matrix: Matrix, known: Known) -> tuple[tuple[str, ...], ...]:
    """Return every smallest set of outcomes that no suspect explains; none where one explains all.

    A set clashes where each suspect is put out by one of it.
    """
    against = [
        frozenset(
            name
            for name, outcome in known.items()
            if not matrix.check(name).shows[suspect].get(outcome, 0.0)
        )
        for suspect, weight in matrix.suspects.items()
        if weight
    ]
    if not all(against):
        return ()
    order = {name: at for at, name in enumerate(known)}
    found = hitting_sets(against)
    return tuple(tuple(sorted(one, key=lambda name: order[name])) for one in found)


def two_at_once(matrix: Matrix, known: Known) -> list[tuple[str, str, float]]:
    """Return the pairs of faults that explain what one does not, likeliest first, with shares.

    Two faults are there independently of each other, and which of the two decides what a check
    shows is not known: each is as likely as the other.
    """
    whole = sum(matrix.suspects.values())
    found: list[tuple[str, str, float]] = []
    for one, other in combinations(matrix.names, 2):
        weight = matrix.suspects[one] * matrix.suspects[other] / whole**2
        for name, outcome in known.items():
            shows = matrix.check(name).shows
            weight *= (shows[one].get(outcome, 0.0) + shows[other].get(outcome, 0.0)) / 2
        if weight:
            found.append((one, other, weight))
    every = sum(weight for _, _, weight in found)
    shares = [(one, other, weight / every) for one, other, weight in found]
    return sorted(shares, key=lambda pair: -pair[2])


def outlook(check: Check, remaining: Mapping[str, float]) -> dict[str, float]:
    """Return how likely a check is to show each of its outcomes now."""
    return {
        outcome: sum(
            chance * check.shows[suspect].get(outcome, 0.0) for suspect, chance in remaining.items()
        )
        for outcome in outcomes_of(check)
    }


def information(check: Check, remaining: Mapping[str, float]) -> float:
    """Return the bits by which a check is expected to narrow the suspects down.

    The mutual information of suspect and outcome (Shannon); to explain a choice, never to make
    one: a check with many bits may still be the slower way.
    """
    bits = entropy(outlook(check, remaining).values())
    for suspect, chance in remaining.items():
        if chance:
            bits -= chance * entropy(check.shows[suspect].values())
    return bits


def entropy(chances: Iterable[float]) -> float:
    """Return the entropy of a distribution in bits."""
    return -sum(one * log2(one) for one in chances if one > 0.0)

"""Where the legs and the neutral of each supply sit, as points in a plane.

The volts between two conductors are the distance of their points, so that every pattern of
readings, whole or with a leg gone, follows from the place of a few points: three legs at the
corners of an equal-sided triangle, the neutral or ground at its centre, at the middle of a side
or at a corner.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import sqrt
from typing import Any

from engine.figure import FigureError
from engine.trade.table import table

LEGS = ("L1", "L2", "L3")
SETTINGS = "supply_systems"
"""The table of systems, with the shares by which readings may be off."""

PAIRS = {2: ((0, 1),), 3: ((0, 1), (1, 2), (2, 0))}
"""Legs read against each other, in the order of the readings, by the number of legs."""

_TRIANGLE = (complex(-0.5, 0), complex(0, sqrt(3) / 2), complex(0.5, 0))
_CENTRE = sum(_TRIANGLE) / 3


def share(name: str) -> float:
    """Return a share by which readings may be off, as a fraction: ``share("zero")``."""
    return float(table(SETTINGS)[f"{name}_percent"]) / 100


@dataclass(frozen=True, slots=True)
class Pattern:
    """A supply as points, in volts at nominal."""

    system: str
    volts: float
    """Nominal, between legs."""
    legs: tuple[complex, ...]
    neutral: complex
    """The neutral, or ground where there is none."""
    shape: str
    high: int | None = None
    grounded: int | None = None

    def between(self, one: int, other: int) -> float:
        """Return the volts between two legs."""
        return abs(self.legs[one] - self.legs[other])

    def to_neutral(self, leg: int) -> float:
        """Return the volts of a leg to neutral or ground."""
        return abs(self.legs[leg] - self.neutral)

    def middle_without(self, leg: int) -> complex:
        """Return where an open leg floats: midway of the others, or on the only other one."""
        others = [point for place, point in enumerate(self.legs) if place != leg]
        return sum(others) / len(others)

    def readings(self) -> tuple[float, ...]:
        """Return every reading at nominal: between legs in order, then to neutral."""
        pairs = PAIRS[len(self.legs)]
        return (
            *(self.between(one, other) for one, other in pairs),
            *(self.to_neutral(leg) for leg in range(len(self.legs))),
        )


@dataclass(frozen=True, slots=True)
class Fit:
    """A pattern that readings fit."""

    pattern: Pattern
    scale: float
    """Readings over nominal."""
    misfit: float
    """The worst reading's distance from the pattern over what is allowed; 1 is just allowed."""


def patterns(legs: int) -> tuple[Pattern, ...]:
    """Return the patterns of a supply with two or three legs, no two of them alike."""
    return _patterns(legs, tuple(tuple(sorted(row.items())) for row in table(SETTINGS)["rows"]))


@lru_cache(maxsize=8)
def _patterns(legs: int, rows: tuple[tuple[tuple[str, Any], ...], ...]) -> tuple[Pattern, ...]:
    found: dict[tuple[int, ...], Pattern] = {}
    for row in map(dict, rows):
        if row["legs"] < legs:
            continue
        for pattern in _placed(str(row["system"]), str(row["shape"]), float(row["volts"]), legs):
            key = tuple(round(volts) for volts in pattern.readings())
            found.setdefault(key, pattern)
    return tuple(found.values())


def _placed(system: str, shape: str, volts: float, legs: int) -> Iterable[Pattern]:
    """Return a system with its neutral or ground in every place it can have."""
    corners = tuple(point * volts for point in _TRIANGLE)
    for place, corner in enumerate(corners):
        others = [point for point in corners if point != corner]
        if shape == "wye":
            neutral, high, grounded = _CENTRE * volts, None, None
        elif shape == "midpoint":
            neutral, high, grounded = sum(corners[:2]) / 2, None, None
        elif shape == "high leg":
            neutral, high, grounded = sum(others) / 2, place, None
        elif shape == "corner":
            neutral, high, grounded = corner, None, place
        else:
            raise FigureError(f"The table of supply systems has an unknown shape, '{shape}'.")
        yield Pattern(
            system,
            volts,
            corners[:legs],
            neutral,
            shape,
            high if high is None or high < legs else None,
            grounded if grounded is None or grounded < legs else None,
        )


def fit(pattern: Pattern, given: Sequence[float], expected: Sequence[float]) -> Fit | None:
    """Return how readings fit what a pattern expects; None if they don't.

    They may fit at nominal or at the sag or swell that suits them best (least squares), each
    being off by its share, or by the share of the volts between legs that still counts as zero.
    """
    suits = sum(one * other for one, other in zip(given, expected, strict=True)) / sum(
        volts * volts for volts in expected
    )
    if abs(suits - 1) > share("nominal"):
        return None
    misfit, scale = min(
        (_misfit(pattern.volts, given, expected, scale), scale) for scale in (suits, 1.0)
    )
    return Fit(pattern, scale, misfit) if misfit <= 1 else None


def _misfit(volts: float, given: Sequence[float], expected: Sequence[float], scale: float) -> float:
    """Return the worst reading's distance from what is expected, over what is allowed."""
    off, least = share("reading"), share("zero") * scale * volts
    return max(
        abs(one - scale * other) / max(off * scale * other, least)
        for one, other in zip(given, expected, strict=True)
    )


def best(fits: Iterable[Fit | None]) -> Fit | None:
    """Return the closest of the fits there are."""
    return min((one for one in fits if one), key=lambda one: one.misfit, default=None)

"""Values no figure can work with, refused in a sentence before any arithmetic is done.

Each function takes the inputs by the names a technician typed and raises `FigureError` for the
first one that is out of place; it returns nothing.
"""

from __future__ import annotations

from math import isfinite

from engine.figure import FigureError


def unless_above_zero(**given: float) -> None:
    """Refuse a value that is zero, negative or not a number."""
    for key, value in given.items():
        if not isfinite(value) or value <= 0:
            raise FigureError(f"{key} must be above zero; {value:g} can't be right.", key)


def unless_zero_or_more(**given: float) -> None:
    """Refuse a value that is negative or not a number."""
    for key, value in given.items():
        if not isfinite(value) or value < 0:
            raise FigureError(f"{key} can't be negative; {value:g} can't be right.", key)


def unless_whole(least: int, **given: float) -> None:
    """Refuse a value that is not a whole number of at least ``least``."""
    for key, value in given.items():
        if not isfinite(value) or value != int(value) or value < least:
            raise FigureError(
                f"{key} must be a whole number, {least} or more; {value:g} can't be right.", key
            )


def unless_between(low: float, high: float, unit: str, **given: float) -> None:
    """Refuse a value outside ``low`` to ``high``, both allowed; ``unit`` is for the sentence."""
    for key, value in given.items():
        if not low <= value <= high:
            raise FigureError(
                f"{key} must be between {low:g} and {high:g} {unit}; {value:g} is outside.", key
            )

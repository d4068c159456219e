"""Values no figure can work with, refused in a sentence before any arithmetic is done.

Each function takes the inputs by the names a technician typed and raises `FigureError` for the
first one that is out of place; it returns nothing.
"""

from __future__ import annotations

from math import isfinite

from engine.figure import FigureError

LARGEST = 1e12
"""No volts, amps, ohms or feet of the trade come near; beyond it arithmetic runs over."""


def unless_a_number(**given: float) -> None:
    """Refuse what is not a number, infinity, and sizes nothing in the trade has."""
    for key, value in given.items():
        if not isfinite(value):
            raise FigureError(f"{key} needs a number; {value:g} is none to work with.", key)
        if abs(value) > LARGEST:
            raise FigureError(f"{key}={value:g} is a size nothing in the trade has.", key)


def unless_above_zero(**given: float) -> None:
    """Refuse a value that is zero (or too small to divide by), negative or not a number."""
    unless_a_number(**given)
    for key, value in given.items():
        if value < 1 / LARGEST:
            raise FigureError(f"{key} must be above zero; {value:g} can't be right.", key)


def unless_zero_or_more(**given: float) -> None:
    """Refuse a value that is negative or not a number."""
    unless_a_number(**given)
    for key, value in given.items():
        if value < 0:
            raise FigureError(f"{key} can't be negative; {value:g} can't be right.", key)


def unless_whole(least: int, **given: float) -> None:
    """Refuse a value that is not a whole number of at least ``least``."""
    unless_a_number(**given)
    for key, value in given.items():
        if value != int(value) or value < least:
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

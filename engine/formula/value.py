"""What a name stands for and a formula gives: numbers with their doubt, OL, words, sets."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from engine.quantity import FAHRENHEIT, Quantity, words
from engine.reading.value import Special


@dataclass(frozen=True, slots=True)
class Measured:
    """A number with its interval, low and high in the base unit; both equal where none is known."""

    quantity: Quantity
    low: Fraction
    high: Fraction

    @classmethod
    def sure(cls, quantity: Quantity) -> Measured:
        """Return a number without doubt, as a nameplate gives it."""
        return cls(quantity, quantity.value, quantity.value)


Value = Measured | Special | str | tuple[Measured | Special, ...]
"""A number, what a meter said instead, a word, or a set of numbers."""


def in_words(value: Value, degrees: str = FAHRENHEIT) -> str:
    """Return a value as a screen shows it, temperatures in degrees F or C; a set with spaces."""
    if isinstance(value, tuple):
        return " ".join(in_words(one, degrees) for one in value)
    return words(value.quantity, degrees=degrees) if isinstance(value, Measured) else str(value)

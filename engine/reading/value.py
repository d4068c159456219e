"""What is asked and what was answered: `Asked` and `Reading`, two frozen values.

A reading keeps the digits it was given in, so that it can be echoed as typed, and the half
width that its meter adds (`engine.meters`), so that a value too close to a cut is not called.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from engine.quantity import UNITS, Kind, Quantity, fixed, words
from engine.reading.function import FUNCTION_KIND, Function, Setting, marked


class Special(StrEnum):
    """What a meter can show, or a technician say, instead of a number."""

    OL = "OL"
    UNSTEADY = "unsteady"
    CANT_READ = "can't read"


@dataclass(frozen=True, slots=True)
class Asked:
    """What a step, or a question about the nameplate, wants to know."""

    kind: Kind
    function: Function | None = None
    """None for what is read off a nameplate, a setting or a dial."""
    plausible: tuple[Quantity, Quantity] | None = None
    """What can be there at all; decides which prefix a bare number may have."""
    usual: tuple[Quantity, Quantity] | None = None
    """Outside of this a value is asked about once (see `doubt`)."""
    unit: str = ""
    """The unit that a bare number takes; empty for the function's own."""
    example: str = ""
    """What to show where an answer is refused; empty for the function's own."""
    count: int = 1
    """How many readings one line may hold."""

    def __post_init__(self) -> None:
        if self.function and FUNCTION_KIND[self.function] is not self.kind:
            raise ValueError(f"{self.function} reads {FUNCTION_KIND[self.function]}")
        if self.unit and UNITS[self.unit].kind is not self.kind:
            raise ValueError(f"{self.unit} is not a unit of {self.kind}")

    @property
    def setting(self) -> Setting:
        """Return how a number is understood here."""
        return self.function.setting if self.function else marked(self.kind, self.unit)

    @property
    def symbol(self) -> str:
        """Return the unit to print beside the entry line."""
        return self.unit or self.setting.unit

    @property
    def prefixes(self) -> tuple[str, ...]:
        """Return the units that a bare number may be in; none where it is always `symbol`."""
        known = self.setting.prefixes
        if not known or self.symbol in known:
            return known
        return tuple(sorted((*known, self.symbol), key=lambda one: UNITS[one].factor))

    def example_of(self, most: int) -> str:
        """Return an example of an answer with so many readings (of three at most)."""
        return self.example or " ".join([self.setting.example] * min(most, 3))

    def is_plausible(self, number: Fraction, step: Fraction, symbol: str) -> bool:
        """Return whether a number on the display may be in the unit ``symbol``.

        A zero fits every unit; whether its display can stand in that unit is told by one
        ``step`` of its last digit.
        """
        if self.plausible is None:
            return True
        low, high = self.plausible
        if not number:
            return Quantity.of(step, symbol).value <= high.value
        return low.value <= Quantity.of(number, symbol).value <= high.value


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading: a value with the digits it was given in, or what stood in its place."""

    quantity: Quantity | None
    special: Special | None
    typed: str
    resolution: Fraction = Fraction(0)
    """One step of the last digit typed, in the base unit; 0 without digits."""
    half_width: Fraction = Fraction(0)
    """How far the truth may lie to either side, in the base unit; 0 until a meter is named, and
    for what is read off a nameplate."""
    unit: str = ""
    """The unit it was given in; empty where that is not known."""

    @property
    def low(self) -> Fraction:
        """Return the least it may truly be, in the base unit; raises ValueError for no number."""
        return self._number() - self.half_width

    @property
    def high(self) -> Fraction:
        """Return the most it may truly be, in the base unit; raises ValueError for no number."""
        return self._number() + self.half_width

    def _number(self) -> Fraction:
        if self.quantity is None:
            raise ValueError(f"{self.special} is not a number.")
        return self.quantity.value

    def words(self) -> str:
        """Return what was understood, to be shown before it counts: ``49 uF``, ``OL``.

        Typed back in, it is the same reading.
        """
        if self.quantity is None:
            return str(self.special)
        if not self.unit or not self.resolution:
            return words(self.quantity, self.unit)
        return f"{self.digits()} {self.unit}"

    def digits(self) -> str:
        """Return the number as it stood on the display; raises ValueError without a unit."""
        if self.quantity is None or not self.unit:
            raise ValueError(f"{self.words()} has no digits of its own.")
        step, places = self.resolution / UNITS[self.unit].factor, 0
        while 0 < step < 1:
            step, places = step * 10, places + 1
        return fixed(self.quantity.in_unit(self.unit), places)


def doubt(reading: Reading, asked: Asked) -> str:
    """Return the question to ask once about a value out of the ordinary; empty if there is none."""
    if reading.quantity is None:
        return ""
    for span, says in ((asked.plausible, "what can be"), (asked.usual, "what is usual")):
        if span and not span[0].value <= reading.quantity.value <= span[1].value:
            low, high = (words(end, _shown_in(reading)) for end in span)
            return f"{reading.words()} is outside {says} here, {low} to {high}. Is it so?"
    return ""


def _shown_in(reading: Reading) -> str:
    """Return the unit for a range beside the reading: °C beside °C, else whatever reads best."""
    return reading.unit if reading.unit in ("C", "C apart") else ""

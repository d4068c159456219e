"""From one line of text to readings: numbers, signs, units, and what stands in their place.

Works on a copy of the line in which look-alike characters have become the plain ones, one for
one, so that every position in it is a position in what was typed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from engine.quantity import UNITS, Kind, Quantity
from engine.reading.function import Function
from engine.reading.refusal import Refused, quoted
from engine.reading.unit import decided, named
from engine.reading.value import Asked, Reading, Special

LONGEST = 200
"""Characters of one line; the longest sensible one has under 60."""
MOST_DIGITS = 10
"""Digits of one number: ten write 2 gigohms in ohms; a display has six at most."""

_LOOKALIKES = str.maketrans(
    {
        **dict.fromkeys("−–", "-"),
        **dict.fromkeys("’‘′", "'"),
        **dict.fromkeys("“”″", '"'),
        **dict.fromkeys("º˚", "°"),
        **dict.fromkeys("\t\r\n\u00a0\u2007\u2009\u202f", " "),
    }
)

_FLAGS = re.ASCII | re.IGNORECASE
_OVER_RANGE = re.compile(
    r"(?:[o0]?[.,]?[o0][.,]?l\.?|[o0] l|(?P<open>open)|-{2,5}|—+)(?![0-9a-z.])", _FLAGS
)
_UNSTEADY = re.compile(
    r"(?:unsteady|jumping|jumps|jumpy|bouncing|drifting|fluctuating|wandering)(?![0-9a-z])",
    _FLAGS,
)
_CANT_READ = re.compile(r"(?:(?:can'?t|can ?not) +read|unreadable)(?![0-9a-z])", _FLAGS)
_NUMBER = re.compile(r"(?P<sign>[+-]?)(?P<gap> ?)(?P<digits>[.,]?[0-9][0-9.,]*)")
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+")
_SPACE = re.compile(r" *")
_WORD = re.compile(r"[^ ,;]+")


@dataclass(frozen=True, slots=True)
class Item:
    """One reading of a line; several where its unit is still to be asked."""

    column: int
    readings: tuple[Reading, ...]

    @property
    def units(self) -> tuple[str, ...]:
        """Return the unit of each."""
        return tuple(reading.unit for reading in self.readings)

    def taken(self, unit: str) -> Item:
        """Return the item with its unit decided."""
        chosen = tuple(reading for reading in self.readings if reading.unit == unit)
        return Item(self.column, chosen)


@dataclass(frozen=True, slots=True)
class Line:
    """What was typed, what was asked, and how many readings may stand there."""

    text: str
    plain: str
    asked: Asked
    most: int

    @classmethod
    def of(cls, text: str, asked: Asked, most: int) -> Line:
        """Return the line; raises Refused where there is nothing, or far too much, on it."""
        line = cls(text, text.translate(_LOOKALIKES), asked, most)
        if len(text) > LONGEST:
            raise line.refused(LONGEST, "That is longer than any reading.")
        if not line.plain.strip(" "):
            raise line.refused(0, "Nothing was typed.")
        return line

    def refused(self, at: int, sentence: str) -> Refused:
        """Return the refusal with its caret at a position counted from 0."""
        return Refused(self.text, at + 1, sentence, self.asked.example_of(self.most))

    def items(self) -> Iterator[Item]:
        """Yield the readings in order; raises Refused at the first that is none."""
        at, found = self._skip(0), 0
        while at < len(self.plain):
            if found == self.most:
                raise self.refused(at, _too_many(self.most))
            item, at = self._item(at)
            yield item
            found += 1
            at = self._separator(at)

    def _skip(self, at: int) -> int:
        space = _SPACE.match(self.plain, at)
        return space.end() if space else at

    def _separator(self, at: int) -> int:
        at = self._skip(at)
        if self.plain[at : at + 1] not in (",", ";"):
            return at
        behind = self._skip(at + 1)
        if behind == len(self.plain):
            raise self.refused(at, "Nothing stands behind this.")
        return behind

    def _item(self, at: int) -> tuple[Item, int]:
        if over := _OVER_RANGE.match(self.plain, at):
            return self._over_range(over)
        for pattern, special in ((_UNSTEADY, Special.UNSTEADY), (_CANT_READ, Special.CANT_READ)):
            if said := pattern.match(self.plain, at):
                return self._special(special, at, said.end())
        if number := _NUMBER.match(self.plain, at):
            return self._number(number)
        raise self.refused(at, _no_number(self.plain[at:]))

    def _over_range(self, over: re.Match[str]) -> tuple[Item, int]:
        asked = self.asked
        if over["open"] and asked.function and asked.kind is not Kind.RESISTANCE:
            sentence = f"Open is not a {asked.kind}: type what the meter shows."
            raise self.refused(over.start(), sentence)
        start, end = self._phrase(over.end())
        try:
            _ = start < end and named(self.plain[start:end], asked)
        except ValueError as error:
            raise self.refused(start, str(error)) from None
        return self._special(Special.OL, over.start(), end)

    def _special(self, special: Special, at: int, end: int) -> tuple[Item, int]:
        if not self.asked.function and special is not Special.CANT_READ:
            raise self.refused(at, "No meter is read here: type the value, or can't read.")
        return Item(at + 1, (Reading(None, special, self.text[at:end].strip()),)), end

    def _number(self, number: re.Match[str]) -> tuple[Item, int]:
        at, sign = number.start(), number["sign"]
        if sign and number["gap"] and at and self.most > 1:
            raise self.refused(at, "Put no space behind a sign.")
        if sign == "-" and not self.asked.setting.minus:
            raise self.refused(at, _no_minus(self.asked))
        digits, places = self._digits(number["digits"], number.start("digits"))
        value = Fraction(-digits if sign == "-" else digits, 10**places)
        step = Fraction(1, 10**places)
        start, end = self._phrase(number.end() - number["digits"].endswith(","))
        try:
            symbols = decided(self.plain[start:end], value, step, self.asked)
        except ValueError as error:
            raise self.refused(start, str(error)) from None
        typed = self.text[at:end].strip()
        return Item(at + 1, tuple(_reading(value, step, one, typed) for one in symbols)), end

    def _digits(self, run: str, at: int) -> tuple[int, int]:
        """Return the digits as one whole number, and how many stand behind the point."""
        run = run.removesuffix(",")
        if trouble := _mark_trouble(run, self.most):
            raise self.refused(at, trouble)
        before, _, behind = run.replace(",", ".").partition(".")
        if len(before) + len(behind) > MOST_DIGITS:
            raise self.refused(at, "No meter shows that many digits.")
        if self.asked.kind is Kind.COUNT and behind.strip("0"):
            raise self.refused(at, "This is counted in whole numbers.")
        return int(before + behind), len(behind)

    def _phrase(self, at: int) -> tuple[int, int]:
        """Return where the words begin and end that belong to a value ending at ``at``."""
        start = end = self._skip(at)
        begins = start
        while word := _WORD.match(self.plain, begins):
            if begins > at and self._begins_anew(begins):
                break
            end = word.end()
            begins = self._skip(end)
        return start, end

    def _begins_anew(self, at: int) -> bool:
        """Return whether another reading begins here, rather than one more word of a unit."""
        said = (_OVER_RANGE, _UNSTEADY, _CANT_READ)
        return self.plain[at] in "0123456789+-." or any(one.match(self.plain, at) for one in said)


def _reading(value: Fraction, step: Fraction, symbol: str, typed: str) -> Reading:
    resolution = step * UNITS[symbol].factor
    return Reading(Quantity.of(value, symbol), None, typed, resolution, unit=symbol)


def _mark_trouble(run: str, most: int) -> str:
    """Return what is wrong with the points and commas of a number; empty if nothing is."""
    if _THOUSANDS.fullmatch(run) and run.count(",") == 1:
        plain, point = run.replace(",", ""), run.replace(",", ".").rstrip("0")
        return f"{run} could be {plain} or {point}: type it with a point, or without the comma."
    if run.count(",") + run.count(".") > 1:
        return "One point is enough: type 1250.5, without marks between thousands."
    if "," in run and most > 1:
        return "Put a space between readings, and a point before decimals."
    return ""


def _too_many(most: int) -> str:
    if most == 1:
        return "One reading is asked for here, and this begins a second."
    return f"{most} readings are asked for here, and this begins one more."


def _no_minus(asked: Asked) -> str:
    """Return what a minus sign means where the kind has none."""
    if asked.function in (Function.OHMS, Function.INSULATION):
        return "Ohms below zero mean voltage in the circuit: leads off, and prove dead again."
    if asked.setting.current == "AC":
        return "AC has no minus sign: see whether the meter is on DC."
    if asked.function:
        return "A minus here means leads the other way round: type the number alone."
    return f"A {asked.kind} is not below zero here."


def _no_number(rest: str) -> str:
    """Return what is wrong with text that begins no reading."""
    if re.match(r"[<>≤≥]", rest):
        return "Type the number alone; OL if the meter shows > before its highest value."
    if re.match(r"[oO][.,]?[0-9]", rest):
        return "This is the letter O, not a zero."
    word = rest.split(" ", 1)[0]
    return f"{quoted(word)} is not a reading: it begins with a digit, a sign or a point, or is OL."

"""How far the truth may lie from what a meter shows.

A data sheet states an accuracy as a percentage of the reading and a number of counts of the
last digit, by function and range. The table ships classes of instruments, not products; a job
names the class of its multimeter, and what that class can't read is taken to have been read
with an instrument of its own (a clamp, an insulation tester, a thermometer).
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from typing import Any

from engine.quantity import Kind, Quantity, literal
from engine.reading import FUNCTION_KIND, Function, Reading
from engine.shipped import tables


@dataclass(frozen=True, slots=True)
class Range:
    """One range of one function, in base units."""

    up_to: Fraction
    resolution: Fraction
    """One count: one step of the last digit shown in this range."""
    percent: Fraction
    """Of the reading."""
    counts: int

    def half_width(self, value: Fraction) -> Fraction:
        """Return the accuracy stated for a reading of ``value``, in the base unit."""
        return abs(value) * self.percent / 100 + self.counts * self.resolution


@dataclass(frozen=True, slots=True)
class Instrument:
    """A class of instruments and what is typical of its data sheets."""

    name: str
    title: str
    source: str
    is_meter: bool
    """True for what a job can name as its meter."""
    ranges: Mapping[Function, tuple[Range, ...]]
    """By function, rising."""

    def range_for(self, function: Function, value: Fraction) -> Range:
        """Return the lowest range that shows ``value``, else the highest there is.

        Raises KeyError for a function that the instrument has not.
        """
        ranges = self.ranges[function]
        return next((one for one in ranges if abs(value) <= one.up_to), ranges[-1])


@dataclass(frozen=True, slots=True)
class Meters:
    """The table of instruments."""

    source: str
    edition: str
    default: str
    instruments: Mapping[str, Instrument]
    instead: Mapping[Function, str]
    """What reads a function that the job's meter has not."""

    def names(self) -> tuple[str, ...]:
        """Return the names that a job can give its meter, the default first."""
        names = [name for name, one in self.instruments.items() if one.is_meter]
        return tuple(sorted(names, key=lambda name: name != self.default))

    def instrument(self, meter: str, function: Function) -> Instrument:
        """Return what reads ``function`` on a job with this meter (empty for the default).

        Raises ValueError with a sentence for a name that is not in the table.
        """
        named = self.instruments.get(meter or self.default)
        if named is None:
            raise ValueError(f"There is no meter {meter!r}; there are {', '.join(self.names())}.")
        if function in named.ranges:
            return named
        return self.instruments[self.instead[function]]


def accuracy(
    meter: str, function: Function, value: Quantity, table: Meters | None = None
) -> Fraction:
    """Return the half width that the meter's class states for a value, in the base unit.

    That is percent times value plus counts times resolution of the range that shows the value.
    Raises ValueError for a meter that is not in the table.
    """
    return _range(meter, function, value, table).half_width(value.value)


def with_meter(
    reading: Reading, function: Function, meter: str = "", table: Meters | None = None
) -> Reading:
    """Return the reading with its half width: the meter's accuracy and the digits left out.

    Somebody who types 208 for a display of 208.4 has rounded a digit away; then half a step of
    the last digit typed is added to what the meter states. What is no number stays as it is.
    Raises ValueError for a meter that is not in the table.
    """
    if reading.quantity is None:
        return reading
    shown = _range(meter, function, reading.quantity, table)
    rounded = reading.resolution / 2 if reading.resolution > shown.resolution else Fraction(0)
    return replace(reading, half_width=shown.half_width(reading.quantity.value) + rounded)


def _range(meter: str, function: Function, value: Quantity, table: Meters | None) -> Range:
    instrument = (table or shipped_meters()).instrument(meter, function)
    return instrument.range_for(function, value.value)


@cache
def shipped_meters() -> Meters:
    """Return the table that comes with the program, read once."""
    return read_meters((tables() / "meters.json").read_text(encoding="utf-8"))


def read_meters(text: str) -> Meters:
    """Return the table of instruments written as JSON.

    Raises ValueError with a sentence for what is missing, unknown or out of order.
    """
    try:
        table = json.loads(text)
        ranges = _read_ranges(table["rows"])
        instruments = {
            name: Instrument(
                name, about["title"], about["source"], about["meter"], ranges.pop(name, {})
            )
            for name, about in table["instruments"].items()
        }
        instead = {Function(name): other for name, other in table["instead"].items()}
        meters = Meters(table["source"], table["edition"], table["default"], instruments, instead)
    except KeyError as error:
        raise ValueError(f"The table of meters has no {error}.") from error
    except (AttributeError, TypeError, ValueError) as error:
        raise ValueError(f"The table of meters can't be read: {error}") from error
    if ranges:
        raise ValueError(f"The table of meters has rows for {min(ranges)!r}, but no such meter.")
    _check_complete(meters)
    return meters


def _read_ranges(rows: list[list[Any]]) -> dict[str, dict[Function, tuple[Range, ...]]]:
    """Return the ranges by instrument and function."""
    found: dict[str, dict[Function, tuple[Range, ...]]] = {}
    for name, function, *row in rows:
        of_instrument = found.setdefault(name, {})
        before = of_instrument.get(Function(function), ())
        added = _read_range(FUNCTION_KIND[Function(function)], *row)
        if before and added.up_to <= before[-1].up_to:
            raise ValueError(f"The ranges of {name}, {function}, must rise.")
        of_instrument[Function(function)] = (*before, added)
    return found


def _read_range(kind: Kind, up_to: str, resolution: str, percent: str, counts: int) -> Range:
    step = Kind.TEMPERATURE_DIFFERENCE if kind is Kind.TEMPERATURE else kind
    return Range(
        _value(up_to, kind), _value(resolution, step), _value(percent, Kind.PERCENT), int(counts)
    )


def _value(text: str, kind: Kind) -> Fraction:
    quantity = literal(text)
    if quantity.kind is not kind:
        raise ValueError(f"{text} is a {quantity.kind}, and a {kind} belongs here.")
    return quantity.value


def _check_complete(meters: Meters) -> None:
    """Raise ValueError unless every function can be read on every job."""
    if meters.default not in meters.names():
        raise ValueError(f"The default {meters.default!r} is not one of the meters.")
    for function in Function:
        other = meters.instruments.get(meters.instead.get(function, ""))
        if other is None or function not in other.ranges:
            raise ValueError(f"The table of meters has nothing that reads {function}.")

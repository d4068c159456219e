"""Values with a unit, exact.

A `Quantity` is a fraction of the base unit of its kind, so that a cut at 20.4 V and a reading
of 20.4 V are the same number. Nothing here knows what a technician types: that is `reading`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction


class Kind(StrEnum):
    """What is measured. Two kinds never compare, whatever their numbers."""

    VOLTAGE = "voltage"
    CURRENT = "current"
    RESISTANCE = "resistance"
    CAPACITANCE = "capacitance"
    TEMPERATURE = "temperature"
    TEMPERATURE_DIFFERENCE = "temperature difference"
    PRESSURE = "pressure"
    STATIC_PRESSURE = "static pressure"
    PERCENT = "percent"
    POWER = "power"
    TIME = "time"
    LENGTH = "length"
    AIRFLOW = "airflow"
    HEAT = "heat"
    HUMIDITY_RATIO = "humidity ratio"
    SLOPE = "slope"
    WATER_FLOW = "water flow"
    COUNT = "count"


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of a kind: ``base value = value * factor + offset``."""

    symbol: str
    kind: Kind
    factor: Fraction = Fraction(1)
    offset: Fraction = Fraction(0)


def _units() -> dict[str, Unit]:
    rows: list[tuple[str, Kind, str, str]] = [
        ("V", Kind.VOLTAGE, "1", "0"),
        ("mV", Kind.VOLTAGE, "1/1000", "0"),
        ("A", Kind.CURRENT, "1", "0"),
        ("mA", Kind.CURRENT, "1/1000", "0"),
        ("uA", Kind.CURRENT, "1/1000000", "0"),
        ("ohm", Kind.RESISTANCE, "1", "0"),
        ("kohm", Kind.RESISTANCE, "1000", "0"),
        ("Mohm", Kind.RESISTANCE, "1000000", "0"),
        ("mohm", Kind.RESISTANCE, "1/1000", "0"),
        ("uF", Kind.CAPACITANCE, "1", "0"),
        ("nF", Kind.CAPACITANCE, "1/1000", "0"),
        ("F", Kind.TEMPERATURE, "1", "0"),
        ("C", Kind.TEMPERATURE, "9/5", "32"),
        ("F apart", Kind.TEMPERATURE_DIFFERENCE, "1", "0"),
        ("C apart", Kind.TEMPERATURE_DIFFERENCE, "9/5", "0"),
        ("psi", Kind.PRESSURE, "1", "0"),
        ("in wc", Kind.STATIC_PRESSURE, "1", "0"),
        ("%", Kind.PERCENT, "1", "0"),
        ("VA", Kind.POWER, "1", "0"),
        ("W", Kind.POWER, "1", "0"),
        ("kW", Kind.POWER, "1000", "0"),
        ("s", Kind.TIME, "1", "0"),
        ("min", Kind.TIME, "60", "0"),
        ("h", Kind.TIME, "3600", "0"),
        ("in", Kind.LENGTH, "1", "0"),
        ("ft", Kind.LENGTH, "12", "0"),
        ("cfm", Kind.AIRFLOW, "1", "0"),
        ("Btu/h", Kind.HEAT, "1", "0"),
        ("ton", Kind.HEAT, "12000", "0"),
        ("lb/lb", Kind.HUMIDITY_RATIO, "1", "0"),
        ("gr/lb", Kind.HUMIDITY_RATIO, "1/7000", "0"),
        ("in/ft", Kind.SLOPE, "1", "0"),
        ("gal/h", Kind.WATER_FLOW, "1", "0"),
        ("times", Kind.COUNT, "1", "0"),
    ]
    return {s: Unit(s, kind, Fraction(f), Fraction(o)) for s, kind, f, o in rows}


UNITS = _units()
"""Every unit by its printed symbol; the first of a kind is its base unit."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value in the base unit of its kind (V, A, ohm, uF, °F, psi, in wc, %, VA, s, in …)."""

    value: Fraction
    kind: Kind

    @classmethod
    def of(cls, number: Fraction | int | str, symbol: str) -> Quantity:
        """Return ``number`` of the unit ``symbol``; raises KeyError for a unit not in `UNITS`."""
        unit = UNITS[symbol]
        return cls(Fraction(number) * unit.factor + unit.offset, unit.kind)

    def in_unit(self, symbol: str) -> Fraction:
        """Return the value in another unit of the same kind; raises ValueError otherwise."""
        unit = UNITS[symbol]
        if unit.kind is not self.kind:
            raise ValueError(f"{symbol} is a unit of {unit.kind}, not of {self.kind}")
        return (self.value - unit.offset) / unit.factor


def exact(number: float | int | Fraction) -> Fraction:
    """Return a computed number as a fraction, rounded to 12 significant digits.

    Binary floats miss 0.85 x 24 = 20.4 by a hair; a cut must not.
    """
    if isinstance(number, (int, Fraction)):
        return Fraction(number)
    return Fraction(f"{number:.12g}")

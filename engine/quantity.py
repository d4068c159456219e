"""Values with a unit, exact; how a unit is spelled; how a value is printed.

A `Quantity` is a fraction of the base unit of its kind, so that a cut at 20.4 V and a reading
of 20.4 V are the same number. What an author writes (`literal`) is exact and case counts; what
a technician types is more forgiving, asks back, and is read by `reading`, which takes the
spellings from here.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cache, lru_cache


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
    FREQUENCY = "frequency"
    ENERGY = "energy"
    COUNT = "count"


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit of a kind: ``base value = value * factor + offset``."""

    symbol: str
    kind: Kind
    factor: Fraction = Fraction(1)
    offset: Fraction = Fraction(0)
    spellings: tuple[str, ...] = ()
    """How it is typed, as `unit_key` leaves it, in lower case."""


def _units() -> dict[str, Unit]:
    """Return the units; a spelling may stand for several, and `spelled` then returns them all."""
    rows: list[tuple[str, Kind, str, str, str]] = [
        ("V", Kind.VOLTAGE, "1", "0", "v volt volts"),
        ("mV", Kind.VOLTAGE, "1/1000", "0", "mv m millivolt millivolts"),
        ("kV", Kind.VOLTAGE, "1000", "0", "kv kilovolt kilovolts"),
        ("A", Kind.CURRENT, "1", "0", "a amp amps ampere amperes"),
        ("mA", Kind.CURRENT, "1/1000", "0", "ma m milliamp milliamps"),
        ("uA", Kind.CURRENT, "1/1000000", "0", "ua u microamp microamps"),
        ("ohm", Kind.RESISTANCE, "1", "0", "ohm ohms"),
        ("kohm", Kind.RESISTANCE, "1000", "0", "kohm k kohms kilohm kilohms kiloohm kiloohms"),
        (
            "Mohm",
            Kind.RESISTANCE,
            "1000000",
            "0",
            "mohm m mohms meg megs megohm megohms megaohm megaohms",
        ),
        ("mohm", Kind.RESISTANCE, "1/1000", "0", "mohm m mohms milliohm milliohms"),
        (
            "Gohm",
            Kind.RESISTANCE,
            "1000000000",
            "0",
            "gohm g gohms gig gigs gigohm gigohms gigaohm gigaohms",
        ),
        ("uF", Kind.CAPACITANCE, "1", "0", "uf u mf m mfd mfds microfarad microfarads"),
        ("nF", Kind.CAPACITANCE, "1/1000", "0", "nf n nanofarad nanofarads"),
        ("mF", Kind.CAPACITANCE, "1000", "0", "mf m millifarad millifarads"),
        ("F", Kind.TEMPERATURE, "1", "0", "f degf degreef degreesf fahrenheit degreesfahrenheit"),
        ("C", Kind.TEMPERATURE, "9/5", "32", "c degc degreec degreesc celsius degreescelsius"),
        ("F apart", Kind.TEMPERATURE_DIFFERENCE, "1", "0", "fapart degfapart f degf degreesf"),
        (
            "C apart",
            Kind.TEMPERATURE_DIFFERENCE,
            "9/5",
            "0",
            "capart degcapart c degc degreesc k kelvin",
        ),
        ("psi", Kind.PRESSURE, "1", "0", "psi psig lb lbs pound pounds"),
        (
            "in wc",
            Kind.STATIC_PRESSURE,
            "1",
            "0",
            'inwc inwg inh2o inw wc wg iwc h2o in inch inches " "wc "wg "h2o incheswc incheswg '
            "inchwc inchesofwater incheswater incheswatercolumn inchesofwatercolumn",
        ),
        ("%", Kind.PERCENT, "1", "0", "% percent pct"),
        ("VA", Kind.POWER, "1", "0", "va voltamps voltamperes"),
        ("W", Kind.POWER, "1", "0", "w watt watts"),
        ("kW", Kind.POWER, "1000", "0", "kw kilowatt kilowatts"),
        ("kVA", Kind.POWER, "1000", "0", "kva"),
        ("s", Kind.TIME, "1", "0", "s sec secs second seconds"),
        ("min", Kind.TIME, "60", "0", "min mins minute minutes"),
        ("h", Kind.TIME, "3600", "0", "h hr hrs hour hours"),
        ("in", Kind.LENGTH, "1", "0", 'in inch inches "'),
        ("ft", Kind.LENGTH, "12", "0", "ft foot feet '"),
        ("cfm", Kind.AIRFLOW, "1", "0", "cfm"),
        ("Btu/h", Kind.HEAT, "1", "0", "btu/h btu/hr btuh btu"),
        ("ton", Kind.HEAT, "12000", "0", "ton tons"),
        ("lb/lb", Kind.HUMIDITY_RATIO, "1", "0", "lb/lb"),
        ("gr/lb", Kind.HUMIDITY_RATIO, "1/7000", "0", "gr/lb gr grains grains/lb"),
        ("in/ft", Kind.SLOPE, "1", "0", "in/ft in/foot inch/foot inches/foot"),
        ("gal/h", Kind.WATER_FLOW, "1", "0", "gal/h gal/hr gph"),
        ("Hz", Kind.FREQUENCY, "1", "0", "hz hertz"),
        ("J", Kind.ENERGY, "1", "0", "j joule joules"),
        ("times", Kind.COUNT, "1", "0", "times time x"),
    ]
    return {
        symbol: Unit(symbol, kind, Fraction(factor), Fraction(offset), tuple(spellings.split()))
        for symbol, kind, factor, offset, spellings in rows
    }


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

    Binary floats miss 1.1 x 230 = 253 by a hair; a cut must not.
    """
    if isinstance(number, (int, Fraction)):
        return Fraction(number)
    return Fraction(f"{number:.12g}")


# -- units by their spelling

_ONE_SPELLING = str.maketrans({"µ": "u", "μ": "u", "Ω": "ohm", "\u2126": "ohm", "°": "deg"})
_LEFT_OUT = re.compile(r"[ .]+")


def unit_key(text: str) -> str:
    """Return a unit's text without spaces and full stops, with µ, Ω and ° written out."""
    return _LEFT_OUT.sub("", text.translate(_ONE_SPELLING))


@cache
def _spellings() -> dict[str, tuple[Unit, ...]]:
    found: dict[str, tuple[Unit, ...]] = {}
    for unit in UNITS.values():
        for spelling in unit.spellings:
            found[spelling] = (*found.get(spelling, ()), unit)
    return found


def spelled(key: str) -> tuple[Unit, ...]:
    """Return every unit, of any kind, that a technician may mean by ``key`` (see `unit_key`).

    Case is not looked at: ``mohm`` is a milliohm and a megohm until somebody decides.
    """
    return _spellings().get(key.lower(), ())


@cache
def _exact_keys() -> dict[str, Unit]:
    keys = {unit_key(symbol): unit for symbol, unit in UNITS.items()}
    degrees = {f"deg{key}": keys[key] for key in ("F", "C", "Fapart", "Capart")}
    return keys | degrees


def unit_named(text: str) -> Unit | None:
    """Return the unit written exactly so, upper and lower case told apart; None if there is none.

    ``µF``, ``MΩ`` and ``°F`` are the same as ``uF``, ``Mohm`` and ``F``.
    """
    return _exact_keys().get(unit_key(text))


_LITERAL = re.compile(
    r"\s*(?P<number>[+-]?(?:[0-9]{1,15}(?:\.[0-9]{1,12})?|\.[0-9]{1,12}))(?P<unit>.*)"
)


def literal(text: str) -> Quantity:
    """Return what an author wrote, a number and a unit: ``20.4 V``, ``6 %``, ``18 F apart``.

    Raises ValueError with a sentence: a file has nobody to ask, so nothing is guessed.
    """
    found = _LITERAL.fullmatch(text)
    if not found:
        raise ValueError(f"{text[:40]!r} is not a number with a unit, like 20.4 V.")
    number, symbol = found["number"], " ".join(found["unit"].split())
    if not symbol:
        raise ValueError(f"{number} needs a unit, like {number} V.")
    unit = unit_named(symbol)
    if unit is None:
        raise ValueError(f"{symbol[:40]!r} is not a unit. Units are {', '.join(UNITS)}.")
    return Quantity.of(number, unit.symbol)


# -- printing

_PLACES = {
    Kind.TEMPERATURE: 1,
    Kind.TEMPERATURE_DIFFERENCE: 1,
    Kind.PRESSURE: 1,
    Kind.STATIC_PRESSURE: 3,
    Kind.PERCENT: 2,
    Kind.LENGTH: 2,
    Kind.AIRFLOW: 0,
    Kind.SLOPE: 3,
    Kind.WATER_FLOW: 2,
    Kind.COUNT: 2,
}
"""Most places after the point. A kind not listed has four digits that count, as meters have."""

_LADDERS: dict[Kind, tuple[tuple[str, str], ...]] = {
    Kind.VOLTAGE: (("kV", "10"), ("V", "1"), ("mV", "0")),
    Kind.CURRENT: (("A", "1/10"), ("mA", "1"), ("uA", "0")),
    Kind.RESISTANCE: (
        ("Gohm", "1"),
        ("Mohm", "1"),
        ("kohm", "1"),
        ("ohm", "1/10"),
        ("mohm", "0"),
    ),
    Kind.CAPACITANCE: (("uF", "1/10"), ("nF", "0")),
    Kind.POWER: (("kVA", "10"), ("VA", "0")),
    Kind.TIME: (("h", "2"), ("min", "2"), ("s", "0")),
    Kind.LENGTH: (("ft", "10"), ("in", "0")),
}
"""By kind, the units from large to small, each with the least number that it is used for."""


def base_unit(kind: Kind) -> Unit:
    """Return the unit that values of the kind are kept in."""
    return next(unit for unit in UNITS.values() if unit.kind is kind)


def fixed(number: Fraction, places: int) -> str:
    """Return a number with so many places after the point, halves rounded away from zero."""
    scaled = abs(number) * 10**places
    whole = (2 * scaled.numerator + scaled.denominator) // (2 * scaled.denominator)
    digits = str(whole).rjust(places + 1, "0")
    sign = "-" if number < 0 and whole else ""
    return f"{sign}{digits[:-places]}.{digits[-places:]}" if places else sign + digits


def _rounded(number: Fraction, kind: Kind) -> str:
    places = _PLACES.get(kind)
    if places is None:
        places = 3
        size = abs(number)
        while size >= 10 and places:
            size, places = size / 10, places - 1
        while 0 < size < 1 and places < 12:
            size, places = size * 10, places + 1
    text = fixed(number, places)
    return text.rstrip("0").rstrip(".") if "." in text else text


FAHRENHEIT, CELSIUS = "F", "C"


def degrees_of(kind: Kind, degrees: str) -> str:
    """Return the unit of a temperature or a difference, where one is in ``degrees``; else empty."""
    if kind is Kind.TEMPERATURE:
        return degrees
    return f"{degrees} apart" if kind is Kind.TEMPERATURE_DIFFERENCE else ""


@lru_cache(maxsize=2048)
def words(quantity: Quantity, unit: str = "", degrees: str = FAHRENHEIT) -> str:
    """Return a value with its unit, rounded as its kind is read: ``47.7 uF``, ``-0.5 in wc``.

    Without ``unit`` a temperature is in ``degrees``, else the prefix is chosen by size; zero stands
    in the base unit. Raises ValueError for a unit of another kind.
    """
    unit = unit or degrees_of(quantity.kind, degrees)
    if unit or not quantity.value:
        symbol = unit or base_unit(quantity.kind).symbol
        return f"{_rounded(quantity.in_unit(symbol), quantity.kind)} {symbol}"
    ladder = _LADDERS.get(quantity.kind, ((base_unit(quantity.kind).symbol, "0"),))
    rungs = (
        (_rounded(quantity.in_unit(symbol), quantity.kind), symbol, least)
        for symbol, least in ladder
    )
    # Judged after rounding: 999.96 ohm is 1 kohm, never 1000 ohm.
    return next(
        f"{number} {symbol}"
        for number, symbol, least in rungs
        if abs(Fraction(number)) >= Fraction(least)
    )

"""Every unit factor against a general-purpose units library."""

from __future__ import annotations

from fractions import Fraction

import pytest

from engine.quantity import UNITS, base_unit

pint = pytest.importorskip("pint")

IN_PINT = {
    "V": "volt",
    "mV": "millivolt",
    "kV": "kilovolt",
    "A": "ampere",
    "mA": "milliampere",
    "uA": "microampere",
    "ohm": "ohm",
    "kohm": "kiloohm",
    "Mohm": "megaohm",
    "mohm": "milliohm",
    "Gohm": "gigaohm",
    "uF": "microfarad",
    "nF": "nanofarad",
    "mF": "millifarad",
    "F": "degF",
    "C": "degC",
    "F apart": "delta_degF",
    "C apart": "delta_degC",
    "psi": "psi",
    "in wc": "inch_H2O",
    "%": "percent",
    "VA": "volt * ampere",
    "W": "watt",
    "kW": "kilowatt",
    "kVA": "kilovolt * ampere",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "in": "inch",
    "ft": "foot",
    "cfm": "cubic_foot / minute",
    "Btu/h": "british_thermal_unit / hour",
    "ton": "refrigeration_ton",
    "lb/lb": "pound / pound",
    "gr/lb": "grain / pound",
    "in/ft": "inch / foot",
    "gal/h": "gallon / hour",
    "Hz": "hertz",
    "J": "joule",
    "times": "count",
}


def test_no_unit_is_left_out() -> None:
    assert set(IN_PINT) == set(UNITS)


@pytest.mark.parametrize("symbol", UNITS)
@pytest.mark.parametrize("number", [1, -40, 212.5])
def test_base_value(symbol: str, number: float) -> None:
    unit = UNITS[symbol]
    registry = pint.get_application_registry()
    base = registry.Unit(IN_PINT[base_unit(unit.kind).symbol])
    expected = registry.Quantity(number, registry.Unit(IN_PINT[symbol])).to(base).magnitude
    ours = Fraction(number) * unit.factor + unit.offset
    assert float(ours) == pytest.approx(expected, rel=1e-12)

"""The functions of a meter: what each measures, and how a number on its display is understood.

A step names the function; from it follow the kind of value, the unit that a bare number takes
(or may take), whether a minus sign can stand there and whether the meter is on AC or DC.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from engine.quantity import Kind, base_unit


@dataclass(frozen=True, slots=True)
class Setting:
    """What follows from a function being chosen."""

    kind: Kind
    unit: str
    """What a bare number is in, where only one unit makes sense."""
    example: str
    """A reading as it would be typed."""
    current: str = ""
    """``AC`` or ``DC``; empty where either may be, or where there is no such choice."""
    minus: bool = False
    """True where a value below zero is a reading like any other."""
    prefixes: tuple[str, ...] = ()
    """Units the display may be in. Where there are several, a bare number is never simply taken
    to be in `unit`: it counts only if one of them is plausible for the step."""
    said_only: tuple[str, ...] = ()
    """Of these, the units that are taken only when typed or chosen, plausible or not."""


class Function(StrEnum):
    """What the meter, clamp, tester or gauge is set to."""

    VOLTS = "volts"
    LOW_IMPEDANCE_VOLTS = "low-impedance volts"
    DC_VOLTS = "dc volts"
    MILLIVOLTS = "millivolts"
    CLAMP_AMPS = "clamp amps"
    PEAK_CLAMP_AMPS = "peak clamp amps"
    OHMS = "ohms"
    INSULATION = "insulation"
    CAPACITANCE = "capacitance"
    MICROAMPS = "microamps"
    TEMPERATURE = "temperature"
    PRESSURE = "pressure"
    INCHES_OF_WATER = "inches of water"

    @property
    def setting(self) -> Setting:
        """Return what follows from choosing it."""
        return _SETTINGS[self]

    @property
    def is_dead(self) -> bool:
        """Return whether it may be used on a circuit without voltage only (*read dead*)."""
        return self in _DEAD

    @property
    def is_live(self) -> bool:
        """Return whether it reads something only while the circuit is on (*read live*)."""
        return self.setting.kind in (Kind.VOLTAGE, Kind.CURRENT)


_DEAD = frozenset({Function.OHMS, Function.INSULATION, Function.CAPACITANCE})

_OHMS = ("ohm", "kohm", "Mohm")
_INSULATION = ("kohm", "Mohm", "Gohm")

_SETTINGS: Mapping[Function, Setting] = {
    Function.VOLTS: Setting(Kind.VOLTAGE, "V", "208 V", "AC"),
    Function.LOW_IMPEDANCE_VOLTS: Setting(Kind.VOLTAGE, "V", "118 V", "AC"),
    Function.DC_VOLTS: Setting(Kind.VOLTAGE, "V", "24.1 V", "DC", minus=True),
    Function.MILLIVOLTS: Setting(
        Kind.VOLTAGE, "mV", "12 mV", prefixes=("mV", "V"), said_only=("V",)
    ),
    Function.CLAMP_AMPS: Setting(Kind.CURRENT, "A", "18.4 A", "AC"),
    Function.PEAK_CLAMP_AMPS: Setting(Kind.CURRENT, "A", "95 A", "AC"),
    Function.OHMS: Setting(Kind.RESISTANCE, "ohm", "1.2 ohm", prefixes=_OHMS),
    Function.INSULATION: Setting(Kind.RESISTANCE, "Mohm", "550 Mohm", prefixes=_INSULATION),
    Function.CAPACITANCE: Setting(Kind.CAPACITANCE, "uF", "49 uF", prefixes=("nF", "uF")),
    Function.MICROAMPS: Setting(Kind.CURRENT, "uA", "3.2 uA", "DC"),
    Function.TEMPERATURE: Setting(Kind.TEMPERATURE, "F", "72 F", minus=True),
    Function.PRESSURE: Setting(Kind.PRESSURE, "psi", "118 psi", minus=True),
    Function.INCHES_OF_WATER: Setting(Kind.STATIC_PRESSURE, "in wc", "-0.5 in wc", minus=True),
}

FUNCTION_KIND: Mapping[Function, Kind] = MappingProxyType(
    {function: function.setting.kind for function in Function}
)
"""What each function measures."""

_MINUS = frozenset(
    {
        Kind.TEMPERATURE,
        Kind.TEMPERATURE_DIFFERENCE,
        Kind.PRESSURE,
        Kind.STATIC_PRESSURE,
    }
)

_EXAMPLES = {
    Kind.VOLTAGE: "208 V",
    Kind.CURRENT: "18.4 A",
    Kind.RESISTANCE: "1.2 kohm",
    Kind.CAPACITANCE: "45 uF",
    Kind.TEMPERATURE: "72 F",
    Kind.TEMPERATURE_DIFFERENCE: "18 F",
    Kind.PRESSURE: "118 psi",
    Kind.STATIC_PRESSURE: "-0.5 in wc",
    Kind.PERCENT: "6 %",
    Kind.POWER: "40 VA",
    Kind.TIME: "5 min",
}

_PREFIXES = {Kind.RESISTANCE: _OHMS, Kind.CAPACITANCE: ("nF", "uF")}


def marked(kind: Kind, unit: str) -> Setting:
    """Return how a value read off a nameplate, a setting or a dial is understood.

    There is no meter, so there is neither AC nor DC to be wrong about.
    """
    unit = unit or base_unit(kind).symbol
    return Setting(
        kind,
        unit,
        _EXAMPLES.get(kind, f"12 {unit}"),
        minus=kind in _MINUS,
        prefixes=_PREFIXES.get(kind, ()),
    )

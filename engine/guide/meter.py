"""The meter line of a step: the function in words and as meters print it, jacks, AC or DC."""

from __future__ import annotations

from collections.abc import Mapping

from engine.reading import Function

LINES: Mapping[Function, str] = {
    Function.VOLTS: "volts AC (V~), black COM, red V",
    Function.LOW_IMPEDANCE_VOLTS: "low-Z volts AC (V~), COM and V",
    Function.DC_VOLTS: "volts DC (V=), black COM, red V",
    Function.MILLIVOLTS: "millivolts AC (mV~), COM and V",
    Function.CLAMP_AMPS: "amps AC (A~), clamp ONE conductor",
    Function.PEAK_CLAMP_AMPS: "peak amps AC, clamp ONE conductor",
    Function.OHMS: "ohms (Ω), black COM, red Ω",
    Function.INSULATION: "insulation test, its own jacks",
    Function.CAPACITANCE: "capacitance (uF), COM and cap",
    Function.MICROAMPS: "microamps DC, in series",
    Function.TEMPERATURE: "thermometer, probe on the spot",
    Function.PRESSURE: "gauges, zeroed first",
    Function.INCHES_OF_WATER: "manometer, zeroed first",
}
"""Function → how the meter is set: at most 40 columns with ``Meter: `` before it."""


def meter_line(functions: tuple[Function, ...]) -> str:
    """Return the line that says how the meter is set; empty for a step without a meter."""
    return (
        "Meter: " + "; ".join(LINES[one] for one in dict.fromkeys(functions)) if functions else ""
    )

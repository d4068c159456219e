"""Questions that the tests of readings ask: one for each thing a technician reads."""

from __future__ import annotations

from engine.quantity import Kind, literal
from engine.reading import FUNCTION_KIND, Asked, Function

F = Function


def asked(function: Function, low: str = "", high: str = "", count: int = 1) -> Asked:
    plausible = (literal(low), literal(high)) if low else None
    return Asked(FUNCTION_KIND[function], function, plausible, count=count)


VOLTS = asked(F.VOLTS)
DC_VOLTS = asked(F.DC_VOLTS)
LUG = asked(F.MILLIVOLTS, "0 V", "1 V")
AMPS = asked(F.CLAMP_AMPS)
WINDING = asked(F.OHMS, "0 ohm", "50 ohm")
SAFETIES = asked(F.OHMS, "0 ohm", "5 Mohm")
TO_FRAME = asked(F.INSULATION, "1 kohm", "20 Gohm")
CAPACITOR = asked(F.CAPACITANCE, "1 uF", "600 uF")
FLAME = asked(F.MICROAMPS)
AIR = asked(F.TEMPERATURE)
SUCTION = asked(F.PRESSURE)
PLENUM = asked(F.INCHES_OF_WATER)
LEGS = asked(F.VOLTS, count=3)
WINDINGS = asked(F.OHMS, "0 ohm", "5 Mohm", count=3)
TOLERANCE = Asked(Kind.PERCENT)
RESETS = Asked(Kind.COUNT)
SUPERHEAT = Asked(Kind.TEMPERATURE_DIFFERENCE)
MARKED_VOLTS = Asked(Kind.VOLTAGE)

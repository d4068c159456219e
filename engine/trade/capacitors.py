"""Run and start capacitors: how many microfarads, how many amps, how much is stored."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import log, pi, sqrt

from engine.figure import Figure, Input, Output
from engine.quantity import Kind
from engine.trade.limits import limit
from engine.trade.refuse import unless_above_zero, unless_zero_or_more
from engine.trade.verdict import ACCURACY, RESOLUTION, VERDICTS, judge

LOW_ENOUGH_VOLTS = 50.0
"""What code lets stand on a capacitor a minute after it is switched off (NEC 460.6(A))."""


@dataclass(frozen=True, slots=True)
class Capacitor:
    """A capacitor measured under load: microfarads, percent off its mark, and the verdict."""

    microfarads: float
    deviation_percent: float | None
    verdict: str | None


def capacitor(
    amps: float,
    volts: float,
    hertz: float = 60.0,
    rated: float | None = None,
    tolerance: float | None = None,
    accuracy: float = 0.0,
    resolution: float = 0.0,
) -> Capacitor:
    """Return the microfarads of a capacitor from its amps and the volts across it.

    ``amps`` in A in the lead to the start winding, ``volts`` in V across the capacitor itself
    (not the line); ``rated`` in uF and ``tolerance`` in percent from the can, 6 % unless given;
    ``accuracy`` in percent of the microfarads, ``resolution`` in uF. Without ``rated`` there
    is no deviation and no verdict.
    Formula: uF = 1,000,000 amps / (2 pi hertz volts), which is 2652.6 A/V at 60 Hz.
    Source: physics; the 6 % is practice (row of the table ``limits``).
    Limits: sine waves; a tolerance the same both ways: for a start capacitor marked -0/+20 %
    judge the microfarads by its own mark.
    Raises FigureError for volts, hertz, rated or tolerance not above zero, or negative amps,
    accuracy or resolution.
    """
    unless_zero_or_more(amps=amps)
    unless_above_zero(volts=volts, hertz=hertz)
    unless_zero_or_more(accuracy=accuracy, resolution=resolution)
    share = limit("capacitor tolerance") if tolerance is None else tolerance
    unless_above_zero(tolerance=share)
    microfarads = 1e6 * amps / (2 * pi * hertz * volts)
    if rated is None:
        return Capacitor(microfarads, None, None)
    unless_above_zero(rated=rated)
    verdict = judge(
        microfarads,
        rated * (1 - share / 100),
        rated * (1 + share / 100),
        accuracy=accuracy,
        resolution=resolution,
    )
    return Capacitor(microfarads, 100 * (microfarads - rated) / rated, verdict)


@dataclass(frozen=True, slots=True)
class CapacitorCurrent:
    """The amps a good capacitor draws."""

    amps: float


def capacitor_current(microfarads: float, volts: float, hertz: float = 60.0) -> CapacitorCurrent:
    """Return the amps that ``microfarads`` draw at ``volts`` across them.

    Formula: amps = 2 pi hertz volts microfarads / 1,000,000.
    Source: physics.
    Limits: sine waves; the volts across the capacitor while running, usually above the line's.
    Raises FigureError for negative microfarads or volts, or hertz not above zero.
    """
    unless_zero_or_more(microfarads=microfarads, volts=volts)
    unless_above_zero(hertz=hertz)
    return CapacitorCurrent(2 * pi * hertz * volts * microfarads / 1e6)


@dataclass(frozen=True, slots=True)
class CapacitorEnergy:
    """What can be stored in a capacitor when it is switched off, and how long it bleeds."""

    joules: float
    seconds_to_50_volts: float


def capacitor_energy(microfarads: float, volts: float, ohms: float) -> CapacitorEnergy:
    """Return the energy in J stored at the peak, and the seconds ``ohms`` take to 50 V dc.

    ``volts`` in V rms, as marked or as read while running.
    Formula: J = 0.5 C (volts x sqrt 2)²; s = ohms x C x ln(volts x sqrt 2 / 50), 0 from below.
    Source: physics; 50 V within a minute is code, NEC 460.6(A), as restated at ecmweb.com.
    Limits: switched off at the peak, the worst case; no bleeder but ``ohms``. It tells how long
    to hold the resistor, never that a capacitor is discharged: that is measured.
    Raises FigureError unless all three are above zero.
    """
    unless_above_zero(microfarads=microfarads, volts=volts, ohms=ohms)
    farads, peak = microfarads / 1e6, volts * sqrt(2)
    seconds = ohms * farads * log(max(peak, LOW_ENOUGH_VOLTS) / LOW_ENOUGH_VOLTS)
    return CapacitorEnergy(0.5 * farads * peak**2, seconds)


_VOLTS = Input("volts", Kind.VOLTAGE, "V", "Volts across the capacitor itself, not the line.")
_HERTZ = Input("hertz", Kind.FREQUENCY, "Hz", "Line frequency.", optional=True, default="60")

FIGURES = (
    Figure(
        name="capacitor",
        title="Capacitor measured while running",
        inputs=(
            Input("amps", Kind.CURRENT, "A", "Amps in the lead to the start winding."),
            _VOLTS,
            _HERTZ,
            Input("rated", Kind.CAPACITANCE, "uF", "Microfarads on the can.", optional=True),
            Input(
                "tolerance",
                Kind.PERCENT,
                "%",
                "Tolerance on the can.",
                optional=True,
                default="6 %",
            ),
            ACCURACY,
            replace(RESOLUTION, kind=Kind.CAPACITANCE, unit="uF"),
        ),
        outputs=(
            Output("microfarads", Kind.CAPACITANCE, "uF"),
            Output("deviation_percent", Kind.PERCENT, "%"),
            Output("verdict", None, words=VERDICTS),
        ),
        principal="microfarads",
        function=capacitor,
        formula="uF = 1,000,000 amps / (2 pi hertz volts); 2652.6 amps / volts at 60 Hz",
        source="physics; the 6 % where the can gives no tolerance is practice",
        limits="Volts across the capacitor, not the line; tolerance the same both ways.",
        example="amps=3.9 volts=345 rated=35 tolerance=6 accuracy=2.7",
    ),
    Figure(
        name="capacitor_current",
        title="Amps a good capacitor draws",
        inputs=(
            Input("microfarads", Kind.CAPACITANCE, "uF", "Microfarads on the can."),
            _VOLTS,
            _HERTZ,
        ),
        outputs=(Output("amps", Kind.CURRENT, "A"),),
        principal="amps",
        function=capacitor_current,
        formula="amps = 2 pi hertz volts uF / 1,000,000",
        source="physics",
        limits="Volts across the capacitor while running, usually more than the line's.",
        example="microfarads=45 volts=370",
    ),
    Figure(
        name="capacitor_energy",
        title="What a capacitor can hold, and how long it bleeds",
        inputs=(
            Input("microfarads", Kind.CAPACITANCE, "uF", "Microfarads on the can."),
            Input("volts", Kind.VOLTAGE, "V", "Volts rms, as marked or read while running."),
            Input("ohms", Kind.RESISTANCE, "ohm", "Resistance it is bled through."),
        ),
        outputs=(
            Output("joules", Kind.ENERGY, "J"),
            Output("seconds_to_50_volts", Kind.TIME, "s"),
        ),
        principal="seconds_to_50_volts",
        function=capacitor_energy,
        formula="J = 0.5 C (volts x sqrt 2)²; s = ohms x C x ln(volts x sqrt 2 / 50)",
        source="physics; the 50 V within a minute is code: NEC 460.6(A)",
        limits="Switched off at the peak. It says how long to hold the resistor, never that a "
        "capacitor is discharged: measure dc volts before and after.",
        example="microfarads=45 volts=370 ohms=20000",
    ),
)
"""The figures of this subject."""

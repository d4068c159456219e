"""Volts at the load: against the nameplate, on a resistive load, behind an open pole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from engine.figure import Figure, FigureError, Input, Output
from engine.quantity import Kind
from engine.trade.limits import limit
from engine.trade.refuse import unless_above_zero, unless_zero_or_more
from engine.trade.supply import SYSTEMS
from engine.trade.supply_cases import UNGROUNDED, UNKNOWN
from engine.trade.supply_points import LEGS, Pattern, patterns
from engine.trade.verdict import ACCURACY, RESOLUTION, VERDICTS, judge

# -- nameplate

ONE_CONNECTION = 1.2
"""Largest ratio of two rated voltages that are one range; 230 to 460 is two connections."""


@dataclass(frozen=True, slots=True)
class NameplateVoltage:
    """The volts a motor's nameplate allows, and where the reading falls."""

    low: float
    high: float
    verdict: str


def nameplate_voltage(
    rated: Sequence[float], measured: float, accuracy: float = 0.0, resolution: float = 0.0
) -> NameplateVoltage:
    """Return the volts allowed by a nameplate, and the verdict on a reading.

    ``rated`` in V, one value or the two ends of a range (208-230); ``measured`` in V at the
    motor; ``accuracy`` in percent of the reading, ``resolution`` in V.
    Formula: low = 90 % of the lower end, high = 110 % of the higher end; both ends good.
    Source: standard, NEMA MG 1 12.44, as restated at engineeringtoolbox.com; the 10 % is a row
    of the table ``limits``.
    Limits: motors, running under load; a 230 V motor on a 208 V supply is 90.4 % and has
    nothing left for a sag. Unbalance is judged apart.
    Raises FigureError unless rated is one or two values above zero, and for a pair that is two
    connections (230/460): give the one it is wired for.
    """
    if len(rated) not in (1, 2):
        raise FigureError(
            f"rated takes one voltage or a range like 208-230; it has {len(rated)} values.", "rated"
        )
    for volts in rated:
        unless_above_zero(rated=volts)
    unless_zero_or_more(measured=measured)
    if max(rated) > ONE_CONNECTION * min(rated):
        raise FigureError(
            f"rated: {rated[0]:g} and {rated[1]:g} V are two connections, not a range; give the "
            "one the motor is wired for.",
            "rated",
        )
    off = limit("nameplate voltage") / 100
    low, high = min(rated) * (1 - off), max(rated) * (1 + off)
    verdict = judge(measured, low, high, accuracy=accuracy, resolution=resolution)
    return NameplateVoltage(low, high, verdict)


# -- resistive load


@dataclass(frozen=True, slots=True)
class ResistiveLoad:
    """The power of a resistive load at other volts, and how many times its rating that is."""

    watts: float
    ratio: float


def resistive_load(watts: float, rated: float, volts: float) -> ResistiveLoad:
    """Return the watts of a resistive load at ``volts``, and their ratio to its rating.

    ``watts`` at ``rated`` V.
    Formula: ratio = (volts / rated)²; watts = watts x ratio.
    Source: physics.
    Limits: heaters and lamps whose resistance stays the same; not motors, not electronics.
    Raises FigureError for negative watts or volts, or rated not above zero.
    """
    unless_zero_or_more(watts=watts, volts=volts)
    unless_above_zero(rated=rated)
    ratio = (volts / rated) * (volts / rated)
    return ResistiveLoad(watts * ratio, ratio)


# -- open leg


@dataclass(frozen=True, slots=True)
class OpenLeg:
    """Volts to expect on the load side of an open pole, the motor at rest."""

    to_good_legs: float
    """From the open leg to each good one."""
    to_ground: float | None
    across_pole: float
    """From the line side to the load side of the open pole."""


def open_leg(
    system: str, ll: float, leg: str, high_leg: str = "L2", grounded_leg: str = "L2"
) -> OpenLeg:
    """Return the volts on the load side of an open pole, with the motor connected and at rest.

    ``system`` by its name, ``ll`` in V between legs, ``leg`` the open one; ``high_leg`` and
    ``grounded_leg`` say which that is in a high-leg and a corner-grounded delta.
    Formula: the open leg floats to the middle of the two good ones (with two legs, to the
    other one); volts are distances between points.
    Source: physics.
    Limits: a balanced three-phase load at rest or stalled, contactor closed. A running motor
    holds the leg near its normal volts; bridged by one winding alone it reads as the leg it is
    bridged to. On an ungrounded system nothing is told to ground. That a high leg is L2 is code
    in a panelboard (NEC 408.3(E)), and never to be relied on.
    Raises FigureError for a system or leg that is none, L3 of a single-phase supply, or ll not
    above zero.
    """
    unless_above_zero(ll=ll)
    for key, name in (("leg", leg), ("high_leg", high_leg), ("grounded_leg", grounded_leg)):
        if name not in LEGS:
            raise FigureError(f"{key}={name}: it is L1, L2 or L3.", key)
    pattern = _pattern(system, high_leg, grounded_leg)
    lost = LEGS.index(leg)
    if lost >= len(pattern.legs):
        raise FigureError(f"leg={leg}: {system} has L1 and L2 only.", "leg")
    floats = pattern.middle_without(lost)
    good = next(point for place, point in enumerate(pattern.legs) if place != lost)
    scale = ll / pattern.volts
    return OpenLeg(
        to_good_legs=abs(floats - good) * scale,
        to_ground=None if system == UNGROUNDED else abs(floats - pattern.neutral) * scale,
        across_pole=abs(pattern.legs[lost] - floats) * scale,
    )


def _pattern(system: str, high_leg: str, grounded_leg: str) -> Pattern:
    """Return the points of a system; of an ungrounded one those of any triangle."""
    named = "208Y/120" if system == UNGROUNDED else system
    for pattern in (*patterns(3), *patterns(2)):
        high = pattern.high is None or LEGS[pattern.high] == high_leg
        grounded = pattern.grounded is None or LEGS[pattern.grounded] == grounded_leg
        if pattern.system == named and high and grounded:
            return pattern
    raise FigureError(
        f"system={system}: it is one of {', '.join(one for one in SYSTEMS if one != UNKNOWN)}.",
        "system",
    )


FIGURES = (
    Figure(
        name="open_leg",
        title="Volts behind an open pole",
        inputs=(
            Input(
                "system",
                None,
                sentence="Name of the supply.",
                words=tuple(system for system in SYSTEMS if system != UNKNOWN),
            ),
            Input("ll", Kind.VOLTAGE, "V", "Volts between good legs."),
            Input("leg", None, sentence="The open leg.", words=LEGS),
            Input(
                "high_leg",
                None,
                sentence="Which leg is high, in a high-leg delta.",
                optional=True,
                default="L2",
                words=LEGS,
            ),
            Input(
                "grounded_leg",
                None,
                sentence="Which leg is grounded, in a corner-grounded delta.",
                optional=True,
                default="L2",
                words=LEGS,
            ),
        ),
        outputs=(
            Output("to_good_legs", Kind.VOLTAGE, "V"),
            Output("to_ground", Kind.VOLTAGE, "V"),
            Output("across_pole", Kind.VOLTAGE, "V"),
        ),
        principal="across_pole",
        function=open_leg,
        formula="the open leg floats to the middle of the good ones",
        source="physics",
        limits="Balanced load connected, motor at rest: a running one holds the leg near normal.",
        example="system=208Y/120 ll=208 leg=L3",
    ),
    Figure(
        name="resistive_load",
        title="Resistive load at other volts",
        inputs=(
            Input("watts", Kind.POWER, "W", "Rated power."),
            Input("rated", Kind.VOLTAGE, "V", "Rated volts."),
            Input("volts", Kind.VOLTAGE, "V", "Volts it gets."),
        ),
        outputs=(Output("watts", Kind.POWER, "W"), Output("ratio", Kind.COUNT, "times")),
        principal="watts",
        function=resistive_load,
        formula="ratio = (volts / rated)²; watts = rated watts x ratio",
        source="physics",
        limits="Resistance that stays the same: heaters, near enough lamps; never motors.",
        example="watts=1000 rated=120 volts=208",
    ),
    Figure(
        name="nameplate_voltage",
        title="Volts against the nameplate",
        inputs=(
            Input(
                "rated", Kind.VOLTAGE, "V", "Nameplate volts, one or a range: 208-230.", many=True
            ),
            Input("measured", Kind.VOLTAGE, "V", "Volts at the motor, running under load."),
            ACCURACY,
            replace(RESOLUTION, kind=Kind.VOLTAGE, unit="V"),
        ),
        outputs=(
            Output("low", Kind.VOLTAGE, "V"),
            Output("high", Kind.VOLTAGE, "V"),
            Output("verdict", None, words=VERDICTS),
        ),
        principal="verdict",
        rises=("low", "high"),
        function=nameplate_voltage,
        formula="low = 90 % of the lower end; high = 110 % of the higher end",
        source="standard: NEMA MG 1 12.44, as restated at engineeringtoolbox.com",
        limits="Motors, read running under load. A 230 V motor on 208 V has no room for a sag.",
        example="rated=208-230 measured=197",
    ),
)
"""The figures of this subject."""

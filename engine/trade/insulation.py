"""Insulation to ground: megohms brought to 40 °C, and the floor they must stand above."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf, isfinite

from engine.figure import Figure, FigureError, Input, Output
from engine.quantity import Kind
from engine.trade.limits import limit
from engine.trade.refuse import unless_above_zero, unless_zero_or_more
from engine.trade.verdict import ACCURACY, GOOD, LOW, RESOLUTION, TOO_CLOSE, judge

BASE_CELSIUS = 40.0
HALVES_EVERY = 10.0
"""Degrees Celsius that halve the resistance of thermoplastic insulation."""


@dataclass(frozen=True, slots=True)
class Insulation:
    """Insulation resistance at 40 °C and the least it may be, both in megohms."""

    at_40_celsius: float | None
    floor_megohms: float
    verdict: str


def insulation(
    megohms: float,
    volts: float,
    celsius: float | None = None,
    accuracy: float = 0.0,
    resolution: float = 0.0,
) -> Insulation:
    """Return megohms brought to 40 °C, the floor of 1,000 ohms per volt, and the verdict.

    ``megohms`` read for one minute (infinity: over the tester's range), ``volts`` rated line to
    line, ``celsius`` of the winding; ``accuracy`` in percent, ``resolution`` in megohms.
    Formula: at 40 = megohms x 0.5^((40 - celsius) / 10); floor = 1,000 ohm x volts. The lower
    of the reading and the value at 40 °C is judged: a cold winding flatters, and a floor is a
    floor on a hot one.
    Source: from memory, IEEE 43 (halving); the floor is common practice for hermetic
    compressors, a row of the table ``limits`` that a shop can set; makers' limits win.
    Limits: random-wound motors below 1,000 V, tested with 500 V dc; never a compressor in
    vacuum. Good says that no ground was found, not that the winding may be energised: below
    5 megohms (IEEE 43-2013) it is worth a second look.
    Raises FigureError for negative megohms, volts not above zero, or a celsius no winding has.
    """
    if megohms != inf:
        unless_zero_or_more(megohms=megohms)
    unless_above_zero(volts=volts)
    unless_zero_or_more(accuracy=accuracy, resolution=resolution)
    if celsius is not None and not (isfinite(celsius) and -60 <= celsius <= 250):
        raise FigureError(f"celsius={celsius:g} is no temperature of a winding.", "celsius")
    floor = limit("insulation") * volts / 1e6
    if megohms == inf:
        return Insulation(None, floor, GOOD)
    share = 1.0 if celsius is None else 0.5 ** ((BASE_CELSIUS - celsius) / HALVES_EVERY)
    lower = min(1.0, share)
    verdict = judge(megohms * lower, floor, None, accuracy=accuracy, resolution=resolution * lower)
    return Insulation(None if celsius is None else megohms * share, floor, verdict)


FIGURES = (
    Figure(
        name="insulation",
        title="Insulation to ground",
        inputs=(
            Input(
                "megohms",
                Kind.RESISTANCE,
                "Mohm",
                "Insulation tester after one minute; OL over its range.",
                special=("OL",),
            ),
            Input("volts", Kind.VOLTAGE, "V", "Rated volts of the motor, line to line."),
            Input("celsius", Kind.TEMPERATURE, "C", "Temperature of the winding.", optional=True),
            ACCURACY,
            replace(RESOLUTION, kind=Kind.RESISTANCE, unit="Mohm"),
        ),
        outputs=(
            Output("at_40_celsius", Kind.RESISTANCE, "Mohm"),
            Output("floor_megohms", Kind.RESISTANCE, "Mohm"),
            Output("verdict", None, words=(LOW, GOOD, TOO_CLOSE)),
        ),
        principal="verdict",
        function=insulation,
        formula="at 40 °C = megohms x 0.5^((40 - celsius) / 10); floor = 1,000 ohm x volts",
        source="practice: 1,000 ohm per volt, hermetic; from memory: IEEE 43, halving per 10 °C",
        limits="Below 1,000 V, 500 V dc for one minute, never in vacuum. The maker's limit wins; "
        "good means no ground was found, not that it may be energised.",
        example="megohms=20 volts=230 celsius=20",
    ),
)
"""The figures of this subject."""

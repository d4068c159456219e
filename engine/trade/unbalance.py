"""How far three legs are from their average, and what that costs a motor."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from engine.figure import Figure, FigureError, Input, Output
from engine.quantity import Kind
from engine.trade.limits import limit
from engine.trade.refuse import unless_zero_or_more
from engine.trade.table import table
from engine.trade.verdict import ACCURACY, GOOD, HIGH, RESOLUTION, TOO_CLOSE, judge_span

KINDS = ("voltage", "current")


@dataclass(frozen=True, slots=True)
class Unbalance:
    """The average of three legs, the largest deviation from it in percent, and the verdict."""

    average: float
    percent: float
    verdict: str


def unbalance(
    values: Sequence[float],
    kind: str = "voltage",
    accuracy: float = 0.0,
    resolution: float = 0.0,
) -> Unbalance:
    """Return the average and the unbalance in percent of three line-to-line volts or leg amps.

    ``values`` in V (L1-L2, L2-L3, L3-L1) or A (L1, L2, L3); ``kind`` is voltage or current and
    chooses the limit; ``accuracy`` in percent of the unbalance, ``resolution`` of the meter in V
    or A.
    Formula: 100 x largest |value - average| / average.
    Source: standard, NEMA MG 1 14.36 (definition); the limits, 2 % for volts and 10 % for amps
    at a compressor, are common practice and rows of the table ``limits``.
    Limits: steady readings taken within a few seconds of each other; volts line to line, never
    to neutral.
    Raises FigureError unless there are three values, none negative and not all of them zero.
    """
    if kind not in KINDS:
        raise FigureError(f"kind={kind}: it is voltage or current.", "kind")
    unless_zero_or_more(accuracy=accuracy, resolution=resolution)
    percent = percent_unbalance(values, "values")
    spread = percent * accuracy / 100 + resolution_spread(values, resolution)
    verdict = judge_span(
        max(0.0, percent - spread), percent + spread, None, limit(f"{kind} unbalance")
    )
    return Unbalance(sum(values) / 3, percent, verdict)


def percent_unbalance(values: Sequence[float], key: str) -> float:
    """Return 100 x largest deviation from the average / average of three values.

    ``key`` names the input in a refusal: FigureError for another count, a negative value or
    nothing but zeros.
    """
    if len(values) != 3:
        raise FigureError(f"{key} wants three values, one a leg; it has {len(values)}.", key)
    for value in values:
        unless_zero_or_more(**{key: value})
    average = sum(values) / 3
    if average == 0:
        raise FigureError(
            f"{key} are all zero: there is no unbalance of nothing. Read again with the unit on.",
            key,
        )
    return 100 * max(abs(value - average) for value in values) / average


def resolution_spread(values: Sequence[float], resolution: float) -> float:
    """Return the percent that one step of the meter in the largest deviation makes.

    That is more than readings rounded to the step can do together.
    """
    return 100 * resolution * 3 / sum(values)


@dataclass(frozen=True, slots=True)
class UnbalanceEffect:
    """What voltage unbalance does to a three-phase motor."""

    derating_factor: float | None
    """Share of its rated power the motor may give; None above the table, where it may not run."""
    extra_temperature_rise_percent: float


def unbalance_effect(percent: float) -> UnbalanceEffect:
    """Return the derating factor and the extra temperature rise for a voltage unbalance.

    ``percent`` is the voltage unbalance in percent.
    Formula: factor by straight lines between the rows of the table; extra rise = 2 percent².
    Source: standard, NEMA MG 1 14.36, the table as restated at engineeringtoolbox.com; the
    rise rule from memory (NEMA MG 1 14.36).
    Limits: three-phase induction motors; above 5 % a motor should not run, and the factor is
    None; the curve is read 0.02 either way.
    Raises FigureError for a negative percent.
    """
    unless_zero_or_more(percent=percent)
    extra = 2 * percent**2
    for (left, high), (right, low) in pairwise(table("unbalance_derating")["rows"]):
        if left <= percent <= right:
            return UnbalanceEffect(high + (low - high) * (percent - left) / (right - left), extra)
    return UnbalanceEffect(None, extra)


FIGURES = (
    Figure(
        name="unbalance",
        title="Unbalance of three legs",
        inputs=(
            Input(
                "values",
                Kind.VOLTAGE,
                "V",
                "Volts L1-L2, L2-L3, L3-L1, or amps L1, L2, L3.",
                many=True,
                instead=((Kind.CURRENT, "A"),),
            ),
            Input(
                "kind",
                None,
                sentence="What they are; it chooses the limit.",
                optional=True,
                default="voltage",
                words=KINDS,
            ),
            ACCURACY,
            replace(RESOLUTION, kind=Kind.VOLTAGE, unit="V", instead=((Kind.CURRENT, "A"),)),
        ),
        outputs=(
            Output("average", Kind.COUNT, "times"),
            Output("percent", Kind.PERCENT, "%"),
            Output("verdict", None, words=(GOOD, HIGH, TOO_CLOSE)),
        ),
        principal="percent",
        function=unbalance,
        formula="100 x largest deviation from the average / average",
        source="standard: NEMA MG 1 14.36; the limits 2 % (volts) and 10 % (amps) are practice",
        limits="Three steady readings taken together; volts line to line, never to neutral.",
        example="values=203,210,212 kind=voltage",
    ),
    Figure(
        name="unbalance_effect",
        title="What voltage unbalance costs a motor",
        inputs=(Input("percent", Kind.PERCENT, "%", "Voltage unbalance."),),
        outputs=(
            Output("derating_factor", Kind.COUNT, "times"),
            Output("extra_temperature_rise_percent", Kind.PERCENT, "%"),
        ),
        principal="derating_factor",
        function=unbalance_effect,
        formula="factor: straight lines between the rows of NEMA's table; extra rise = 2 percent²",
        source="standard: NEMA MG 1 14.36, restated at engineeringtoolbox.com; "
        "from memory: the rise rule",
        limits="Three-phase induction motors; above 5 % the motor should not run at all.",
        example="percent=2.5",
    ),
)
"""The figures of this subject."""

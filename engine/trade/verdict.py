"""Low, good, high, or too close to call: the one judgement behind every figure with a verdict.

A limit that lies inside the uncertainty of what is judged is never passed over in silence: the
verdict is then `too close to call`. Limits themselves count as good.
"""

from __future__ import annotations

from engine.figure import Input
from engine.quantity import Kind, exact
from engine.trade.refuse import unless_zero_or_more

LOW = "low"
GOOD = "good"
HIGH = "high"
TOO_CLOSE = "too close to call"
VERDICTS = (LOW, GOOD, HIGH, TOO_CLOSE)
"""Every word a verdict can be, unless a figure lists others."""

ACCURACY = Input(
    "accuracy",
    Kind.PERCENT,
    "%",
    "Accuracy in percent of the figure judged, from the meter's data sheet.",
    optional=True,
    default="0 %",
)
RESOLUTION = Input(
    "resolution",
    Kind.COUNT,
    "times",
    "The smallest step the meter shows, a bare number in the unit of the reading.",
    optional=True,
    default="0",
)


def judge(
    value: float,
    low: float | None,
    high: float | None,
    *,
    accuracy: float = 0.0,
    resolution: float = 0.0,
) -> str:
    """Return the verdict on ``value``, good from ``low`` to ``high``; None is no limit.

    ``accuracy`` is in percent of ``value``, ``resolution`` in its unit; together they are the
    half width of the uncertainty. Raises FigureError for a negative accuracy or resolution.
    """
    unless_zero_or_more(accuracy=accuracy, resolution=resolution)
    half = abs(value) * accuracy / 100 + resolution
    return judge_span(value - half, value + half, low, high)


def judge_span(least: float, most: float, low: float | None, high: float | None) -> str:
    """Return the verdict that holds for everything from ``least`` to ``most``, if one does.

    Compares to 12 significant digits, so that a limit worked out as 85 % of 24 is the same
    number as 20.4.
    """
    bottom, top = exact(least), exact(most)
    if low is not None and top < exact(low):
        return LOW
    if high is not None and bottom > exact(high):
        return HIGH
    above = low is None or bottom >= exact(low)
    below = high is None or top <= exact(high)
    return GOOD if above and below else TOO_CLOSE

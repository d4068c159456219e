"""The pressure of the air at an altitude, which every gauge on a roof is set against."""

from __future__ import annotations

from engine.trade.refuse import unless_between

SEA_LEVEL_PSIA = 14.696


def atmosphere(feet: float) -> float:
    """Return the standard atmosphere in psia at ``feet`` above sea level.

    Formula: 14.696 (1 - 6.8754e-6 feet)^5.2559.
    Source: standard, ASHRAE Handbook Fundamentals, chapter 1, standard atmosphere.
    Limits: -1,500 to 20,000 ft, no weather: a front moves the true pressure by 2 % or so.
    Raises FigureError for feet outside that range.
    """
    unless_between(-1500, 20000, "ft", feet=feet)
    return float(SEA_LEVEL_PSIA * (1 - 6.8754e-6 * feet) ** 5.2559)

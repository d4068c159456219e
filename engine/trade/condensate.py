"""Condensate: how much there is, the trap that lets it out, the pipe that takes it away."""

from __future__ import annotations

from dataclasses import dataclass

from engine.figure import Figure, FigureError, Input, Output
from engine.quantity import Kind
from engine.trade.refuse import unless_above_zero, unless_between, unless_zero_or_more
from engine.trade.table import table

POUNDS_PER_HOUR_PER_CFM = 4.5
POUNDS_PER_GALLON = 8.34


@dataclass(frozen=True, slots=True)
class Trap:
    """A draw-through trap, inches."""

    height: float
    """From the bottom of the pan's outlet down to the bottom of the trap's outlet."""
    seal: float
    """From the trap's outlet down to the top of its bottom bend."""
    overall: float
    """From the pan's outlet to the underside of the trap."""


def trap(inches_wc: float, pipe_od: float) -> Trap:
    """Return the heights in inches of a trap for a pan under suction.

    ``inches_wc`` is the pressure at the pan against the room, in inches of water, the sign
    does not matter; ``pipe_od`` is the outside diameter of the pipe in inches (3/4 PVC: 1.05).
    Formula: height = |P| + 1; seal = height / 2; overall = height + seal + pipe_od.
    Source: practice, published trap rule for draw-through units: fan inlet pressure plus 1 in,
    half of it as seal.
    Limits: pan on the suction side of the fan (a pan under pressure wants another trap); the
    pressure read with the fan on and the filters as dirty as they get.
    Raises FigureError for a pressure beyond 10 in, or pipe_od not above zero.
    """
    unless_between(-10, 10, "in wc", inches_wc=inches_wc)
    unless_above_zero(pipe_od=pipe_od)
    height = abs(inches_wc) + 1
    seal = height / 2
    return Trap(height, seal, height + seal + pipe_od)


@dataclass(frozen=True, slots=True)
class Drain:
    """A condensate drain: nominal pipe size in inches, and its fall in inches."""

    size: str
    fall: float


def drain(tons: float, feet: float, slope: float) -> Drain:
    """Return the least pipe size for ``tons`` of cooling, and the fall in inches over ``feet``.

    ``slope`` is in inches per foot, at least 1/8.
    Formula: size from the table; fall = feet x slope.
    Source: code, IMC 307.2.1 (slope) and Table 307.2.2 (size).
    Limits: up to 250 tons; never smaller than the pan's own outlet; local code decides.
    Raises FigureError for tons not above zero or beyond the table, feet negative, or a slope
    flatter than the code allows.
    """
    unless_above_zero(tons=tons)
    unless_zero_or_more(feet=feet)
    sizes = table("drain_size")
    if not slope >= sizes["least_slope_inches_per_foot"]:
        raise FigureError(
            f"slope={slope:g}: a condensate drain falls at least 1/8 inch per foot "
            "(IMC 307.2.1); 1/4 is good practice.",
            "slope",
        )
    for up_to, size in sizes["rows"]:
        if tons <= up_to:
            return Drain(size, feet * slope)
    raise FigureError(
        f"tons={tons:g} is beyond the table of drain sizes, which ends at {up_to:g} tons.", "tons"
    )


@dataclass(frozen=True, slots=True)
class Condensate:
    """Water taken out of the air, US gallons per hour."""

    gallons_per_hour: float


def condensate(cfm: float, entering: float, leaving: float) -> Condensate:
    """Return the water that ``cfm`` of air leaves behind, in US gallons per hour.

    ``entering`` and ``leaving`` are humidity ratios, lb of water per lb of dry air.
    Formula: 4.5 cfm (entering - leaving) / 8.34.
    Source: physics, 0.075 lb/ft³ x 60 and 8.34 lb per gallon.
    Limits: standard air at sea level, steady running; nothing re-evaporates.
    Raises FigureError for negative values, ratios above 0.1, or air that leaves wetter than it
    came.
    """
    unless_zero_or_more(cfm=cfm)
    for key, ratio in (("from", entering), ("to", leaving)):
        unless_between(0, 0.1, "lb of water per lb of dry air", **{key: ratio})
    if leaving > entering:
        raise FigureError(
            f"to={leaving:g} is wetter than from={entering:g}; a coil takes water out, "
            "so from is the larger.",
            "to",
        )
    pounds = POUNDS_PER_HOUR_PER_CFM * cfm * (entering - leaving)
    return Condensate(pounds / POUNDS_PER_GALLON)


def _condensate(**given: float) -> Condensate:
    """Take the command line's `from` and `to`; `from` can't be an argument's name in Python."""
    return condensate(given["cfm"], given["from"], given["to"])


FIGURES = (
    Figure(
        name="trap",
        title="Condensate trap of a draw-through unit",
        inputs=(
            Input(
                "inches_wc",
                Kind.STATIC_PRESSURE,
                "in wc",
                "Pressure at the pan against the room, fan on, filters dirty; sign or none.",
            ),
            Input("pipe_od", Kind.LENGTH, "in", "Outside diameter of the pipe; 1.05 for 3/4 PVC."),
        ),
        outputs=(
            Output("height", Kind.LENGTH, "in"),
            Output("seal", Kind.LENGTH, "in"),
            Output("overall", Kind.LENGTH, "in"),
        ),
        principal="height",
        rises=("seal", "height", "overall"),
        function=trap,
        formula="height = |P| + 1; seal = height / 2; overall = height + seal + pipe_od",
        source="practice: published trap rule, fan inlet pressure plus 1 inch",
        limits="Pan on the suction side of the fan; a pan under pressure wants another trap.",
        example="inches_wc=-1.5 pipe_od=1.05",
    ),
    Figure(
        name="drain",
        title="Condensate drain: size and fall",
        inputs=(
            Input("tons", Kind.HEAT, "ton", "Cooling capacity that drains into it."),
            Input("feet", Kind.LENGTH, "ft", "Length of the run."),
            Input("slope", Kind.SLOPE, "in/ft", "Fall per foot; 1/8 at least, 1/4 is practice."),
        ),
        outputs=(
            Output("size", None, words=("3/4", "1", "1 1/4", "1 1/2", "2")),
            Output("fall", Kind.LENGTH, "in"),
        ),
        principal="fall",
        function=drain,
        formula="size by tons from the table; fall = feet x slope",
        source="code: IMC 307.2.1 and Table 307.2.2",
        limits="Up to 250 tons; never smaller than the pan's outlet; the local code decides.",
        example="tons=7.5 feet=8 slope=1/8",
    ),
    Figure(
        name="condensate",
        title="Condensate a coil makes",
        inputs=(
            Input("cfm", Kind.AIRFLOW, "cfm", "Air over the coil."),
            Input("from", Kind.HUMIDITY_RATIO, "lb/lb", "Humidity ratio of the air going in."),
            Input("to", Kind.HUMIDITY_RATIO, "lb/lb", "Humidity ratio of the air coming out."),
        ),
        outputs=(Output("gallons_per_hour", Kind.WATER_FLOW, "gal/h"),),
        principal="gallons_per_hour",
        function=_condensate,
        formula="4.5 cfm (from - to) / 8.34",
        source="physics: standard air, 8.34 lb of water to the gallon",
        limits="Sea level, steady running.",
        example="cfm=2000 from=0.01117 to=0.00967",
    ),
)
"""The figures of this subject."""

"""Saturation of the refrigerants in the field, superheat and subcooling.

Bubble and dew temperatures are interpolated in tables made from CoolProp, one per refrigerant;
superheat is counted from dew, subcooling from bubble.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite, log

from engine.figure import Figure, FigureError, Input, Output
from engine.quantity import Kind
from engine.trade.altitude import atmosphere
from engine.trade.refuse import unless_between
from engine.trade.table import table

REFRIGERANTS = ("R-22", "R-410A", "R-407C", "R-404A", "R-32", "R-134a", "R-422D", "R-454B")
RANKINE = 459.67
CHARGE_BY_WEIGHT_BELOW = 5.0


@dataclass(frozen=True, slots=True)
class Saturation:
    """Where a refrigerant boils and condenses at a pressure, °F; equal for a pure fluid."""

    bubble: float
    dew: float


def saturation(refrigerant: str, psig: float, feet: float = 0.0) -> Saturation:
    """Return bubble and dew temperature in °F at a gauge pressure.

    ``psig`` in psi on a gauge that reads zero in the open air at ``feet`` of altitude.
    Formula: psia = psig + atmosphere(feet); 1/T straight over ln(psia) between table rows.
    Source: tables from CoolProp, version in each; within 0.05 °F of it.
    Limits: 5 psia to 98 % of the critical pressure (R-422D, R-454B: 94 %), nominal composition.
    R-422D and R-454B come from mixture models: take them as good to 1 °F.
    Raises FigureError for an unknown refrigerant or a pressure outside the table.
    """
    if refrigerant not in REFRIGERANTS:
        raise FigureError(
            f"There is no table for {refrigerant}; there is one for {', '.join(REFRIGERANTS)}.",
            "refrigerant",
        )
    data = table(f"saturation_{refrigerant.lower().replace('-', '')}")
    psia = psig + atmosphere(feet)
    _refuse_outside(refrigerant, psig, psia, data["rows"], data["critical_psia"])
    bubble, dew = _between_rows(data["rows"], psia)
    return Saturation(bubble, dew)


def _refuse_outside(
    refrigerant: str, psig: float, psia: float, rows: Sequence[Sequence[float]], critical: float
) -> None:
    """Refuse a pressure at which the table says nothing, with the reason."""
    lowest, highest = rows[0][0], rows[-1][0]
    if not isfinite(psia) or psia <= 0:
        raise FigureError(f"psig={psig:g} is below an absolute vacuum.", "psig")
    if psia >= critical:
        raise FigureError(
            f"psig={psig:g} is beyond the critical point of {refrigerant} ({critical:.0f} psia): "
            "it neither boils nor condenses there.",
            "psig",
        )
    if not lowest <= psia <= highest:
        off = psia - psig
        raise FigureError(
            f"psig={psig:g} is outside the table of {refrigerant}, which runs from "
            f"{lowest - off:.1f} to {highest - off:.1f} psig here.",
            "psig",
        )


def _between_rows(rows: Sequence[Sequence[float]], psia: float) -> tuple[float, float]:
    """Return bubble and dew in °F; 1/T over ln p is all but straight, so a line is enough."""
    above = min(bisect_right(rows, psia, key=lambda row: row[0]), len(rows) - 1)
    low, high = rows[above - 1], rows[above]
    share = log(psia / low[0]) / log(high[0] / low[0])

    def at(column: int) -> float:
        inverse = (1 - share) / (low[column] + RANKINE) + share / (high[column] + RANKINE)
        return 1 / inverse - RANKINE

    return at(1), at(2)


@dataclass(frozen=True, slots=True)
class Superheat:
    """Saturation (dew) temperature in °F and superheat in °F."""

    saturation: float
    superheat: float


def superheat(refrigerant: str, psig: float, temperature: float, feet: float = 0.0) -> Superheat:
    """Return the superheat of the suction line in °F.

    ``psig`` and ``temperature`` (°F) at the same place on the suction line.
    Formula: temperature - dew(psig).
    Source: physics; dew for blends that glide. Tables as in `saturation`.
    Limits: as `saturation`. Below zero can't be: gauge, thermometer or refrigerant is not what
    it was taken for.
    Raises FigureError as `saturation`, and for a temperature outside -150 to 400 °F.
    """
    unless_between(-150, 400, "F", temperature=temperature)
    dew = saturation(refrigerant, psig, feet).dew
    return Superheat(dew, temperature - dew)


@dataclass(frozen=True, slots=True)
class Subcooling:
    """Saturation (bubble) temperature in °F and subcooling in °F."""

    saturation: float
    subcooling: float


def subcooling(refrigerant: str, psig: float, temperature: float, feet: float = 0.0) -> Subcooling:
    """Return the subcooling of the liquid line in °F.

    ``psig`` and ``temperature`` (°F) at the same place on the liquid line.
    Formula: bubble(psig) - temperature.
    Source: physics; bubble for blends that glide. Tables as in `saturation`.
    Limits: as `saturation`. Below zero can't be in a line that is all liquid.
    Raises FigureError as `saturation`, and for a temperature outside -150 to 400 °F.
    """
    unless_between(-150, 400, "F", temperature=temperature)
    bubble = saturation(refrigerant, psig, feet).bubble
    return Subcooling(bubble, bubble - temperature)


@dataclass(frozen=True, slots=True)
class TargetSuperheat:
    """Superheat to charge a fixed orifice to, °F, or that weight is the only way."""

    target: float
    charge_by_weight: bool


def target_superheat(wet_bulb: float, outdoor: float) -> TargetSuperheat:
    """Return the superheat in °F to aim for with a fixed orifice.

    ``wet_bulb`` of the return air and ``outdoor`` dry bulb, both °F.
    Formula: (3 wet_bulb - 80 - outdoor) / 2; below 5 charge by weight only.
    Source: practice, published rule for fixed-orifice units; the range is judgement.
    Limits: wet bulb 50 to 76, outdoor 65 to 115 °F; 5 °F either way is good. Not for a TXV.
    Raises FigureError outside those ranges.
    """
    unless_between(50, 76, "F, where the rule holds", wet_bulb=wet_bulb)
    unless_between(65, 115, "F, where the rule holds", outdoor=outdoor)
    target = (3 * wet_bulb - 80 - outdoor) / 2
    return TargetSuperheat(target, target < CHARGE_BY_WEIGHT_BELOW)


_REFRIGERANT = Input(
    "refrigerant", None, sentence="The refrigerant on the nameplate.", words=REFRIGERANTS
)
_FEET = Input(
    "feet",
    Kind.LENGTH,
    "ft",
    "Altitude above sea level; the gauge reads zero in the open air there.",
    optional=True,
    default="0",
)
_TRUST = (
    "From 5 psia to 98 % of the critical pressure (R-422D and R-454B: 94 %), nominal "
    "composition. R-422D and R-454B come from mixture models: take them as good to 1 °F."
)

FIGURES = (
    Figure(
        name="saturation",
        title="Saturation temperature at a pressure",
        inputs=(
            _REFRIGERANT,
            Input("psig", Kind.PRESSURE, "psi", "Gauge pressure."),
            _FEET,
        ),
        outputs=(
            Output("bubble", Kind.TEMPERATURE, "F"),
            Output("dew", Kind.TEMPERATURE, "F"),
        ),
        principal="dew",
        function=saturation,
        formula="table at psig + air pressure at the altitude; 1/T straight over ln p",
        source="physics: tables made from CoolProp, its version beside the numbers",
        limits=_TRUST,
        example="refrigerant=R-410A psig=118",
    ),
    Figure(
        name="superheat",
        title="Superheat of the suction line",
        inputs=(
            _REFRIGERANT,
            Input("psig", Kind.PRESSURE, "psi", "Suction pressure, beside the thermometer."),
            Input("temperature", Kind.TEMPERATURE, "F", "Temperature of the suction line."),
            _FEET,
        ),
        outputs=(
            Output("saturation", Kind.TEMPERATURE, "F"),
            Output("superheat", Kind.TEMPERATURE_DIFFERENCE, "F apart"),
        ),
        principal="superheat",
        function=superheat,
        formula="temperature - dew temperature at psig",
        source="physics: dew for blends that glide; tables made from CoolProp",
        limits=f"{_TRUST} Below zero can't be: check gauge, thermometer and refrigerant.",
        example="refrigerant=R-407C psig=60 temperature=50",
    ),
    Figure(
        name="subcooling",
        title="Subcooling of the liquid line",
        inputs=(
            _REFRIGERANT,
            Input("psig", Kind.PRESSURE, "psi", "Liquid-line pressure, beside the thermometer."),
            Input("temperature", Kind.TEMPERATURE, "F", "Temperature of the liquid line."),
            _FEET,
        ),
        outputs=(
            Output("saturation", Kind.TEMPERATURE, "F"),
            Output("subcooling", Kind.TEMPERATURE_DIFFERENCE, "F apart"),
        ),
        principal="subcooling",
        function=subcooling,
        formula="bubble temperature at psig - temperature",
        source="physics: bubble for blends that glide; tables made from CoolProp",
        limits=f"{_TRUST} Below zero can't be in a line that is all liquid.",
        example="refrigerant=R-410A psig=375 temperature=100",
    ),
    Figure(
        name="target_superheat",
        title="Target superheat of a fixed orifice",
        inputs=(
            Input("wet_bulb", Kind.TEMPERATURE, "F", "Wet bulb of the return air at the unit."),
            Input("outdoor", Kind.TEMPERATURE, "F", "Dry bulb of the air into the condenser."),
        ),
        outputs=(
            Output("target", Kind.TEMPERATURE_DIFFERENCE, "F apart"),
            Output("charge_by_weight", None, words=("yes", "no")),
        ),
        principal="target",
        function=target_superheat,
        formula="(3 wet_bulb - 80 - outdoor) / 2; below 5 charge by weight only",
        source="practice: published rule for fixed-orifice units",
        limits="Fixed orifice only; wet bulb 50 to 76, outdoor 65 to 115 °F (judgement); "
        "5 °F either way is good. A dirty filter or an iced coil makes it worthless.",
        example="wet_bulb=67 outdoor=95",
    ),
)
"""The figures of this subject."""

"""Heat and flow of the air through the unit.

Standard air (0.075 lb/ft³, 0.24 Btu/lb °F) unless an altitude is given; moist air by psychrolib,
which is imported only when it is asked for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from engine.figure import Figure, FigureError, Input, Output
from engine.quantity import Kind
from engine.trade.altitude import SEA_LEVEL_PSIA, atmosphere
from engine.trade.refuse import unless_above_zero, unless_between, unless_zero_or_more
from engine.trade.verdict import ACCURACY, RESOLUTION, VERDICTS, judge

SENSIBLE = 1.08
"""Btu/h per cfm and °F: 0.075 lb/ft³ x 60 min/h x 0.24 Btu/lb °F."""
TOTAL = 4.5
"""lb/h per cfm: 0.075 lb/ft³ x 60 min/h."""
BTUH_PER_KILOWATT = 3412
BTUH_PER_TON = 12000
LEAST_CFM_PER_TON = 350
MOST_CFM_PER_TON = 450


@dataclass(frozen=True, slots=True)
class SensibleHeat:
    """Heat that a thermometer shows, Btu/h."""

    btuh: float


def sensible_heat(cfm: float, rise: float, feet: float = 0.0) -> SensibleHeat:
    """Return the sensible heat in Btu/h of ``cfm`` of air changed by ``rise`` °F.

    Formula: 1.08 cfm rise, times the air pressure at ``feet`` over that at sea level.
    Source: physics, 0.075 lb/ft³ x 60 x 0.24; the 1.08 is the trade's everyday constant.
    Limits: standard air at 70 °F, corrected for altitude only; not for wet coils, where
    ``total_heat`` belongs. A fall is given as a negative rise and answers negative heat.
    Raises FigureError for negative cfm, or feet outside -1,500 to 20,000.
    """
    unless_zero_or_more(cfm=cfm)
    return SensibleHeat(SENSIBLE * cfm * rise * atmosphere(feet) / SEA_LEVEL_PSIA)


@dataclass(frozen=True, slots=True)
class TotalHeat:
    """Heat taken out of moist air, Btu/h and tons; negative where heat was added."""

    btuh: float
    tons: float


def total_heat(cfm: float, entering: Sequence[float], leaving: Sequence[float]) -> TotalHeat:
    """Return what a coil takes out of ``cfm`` of moist air, in Btu/h and tons.

    ``entering`` and ``leaving`` are (dry bulb, wet bulb) in °F.
    Formula: 4.5 cfm (h entering - h leaving), h the enthalpy in Btu/lb of dry air at 14.696 psia.
    Source: physics, 0.075 lb/ft³ x 60; enthalpy by psychrolib from the ASHRAE Handbook
    Fundamentals, chapter 1.
    Limits: sea level, standard air; 0 to 150 °F. Wet-bulb error counts: 1 °F is about 0.7 Btu/lb.
    Raises FigureError for negative cfm, a pair that is not two values, a wet bulb above its dry
    bulb or too low for any real air, or temperatures outside the range.
    """
    unless_zero_or_more(cfm=cfm)
    btuh = TOTAL * cfm * (_enthalpy("in", entering) - _enthalpy("out", leaving))
    return TotalHeat(btuh, btuh / BTUH_PER_TON)


def _enthalpy(key: str, pair: Sequence[float]) -> float:
    """Return Btu per lb of dry air at sea level for (dry bulb, wet bulb) in °F."""
    if len(pair) != 2:
        raise FigureError(
            f"{key} wants dry bulb and wet bulb as 80/67; it has {len(pair)} values.", key
        )
    dry_bulb, wet_bulb = pair
    for value in pair:
        unless_between(0, 150, "F", **{key: value})
    if wet_bulb > dry_bulb:
        raise FigureError(
            f"{key}={dry_bulb:g}/{wet_bulb:g}: the wet bulb can't be above the dry bulb; "
            "dry bulb comes first.",
            key,
        )
    # Imported here: it takes longer than all other figures together, and numba with numpy
    # comes along where numba is installed.
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.IP)
    ratio = psychrolib.GetHumRatioFromTWetBulb(dry_bulb, wet_bulb, SEA_LEVEL_PSIA)
    if ratio <= psychrolib.MIN_HUM_RATIO:
        raise FigureError(
            f"{key}={dry_bulb:g}/{wet_bulb:g}: no air is that dry; wet the sock and read again.",
            key,
        )
    return float(psychrolib.GetMoistAirEnthalpy(dry_bulb, ratio))


@dataclass(frozen=True, slots=True)
class AirflowByHeat:
    """Airflow found from a known heat, cfm."""

    cfm: float


def airflow_by_heat(kilowatts: float, rise: float) -> AirflowByHeat:
    """Return cfm from the electric heat in kW and the rise of the air in °F.

    Formula: 3412 kW / (1.08 rise).
    Source: physics, 3412 Btu/h per kW and the 1.08 of ``sensible_heat``.
    Limits: sea level; kW measured (volts x amps), not the plate's; thermometers out of sight of
    the elements; the blower's own heat left out (0.5 to 1 °F).
    Raises FigureError unless kilowatts and rise are above zero.
    """
    unless_above_zero(kilowatts=kilowatts, rise=rise)
    return AirflowByHeat(BTUH_PER_KILOWATT * kilowatts / (SENSIBLE * rise))


@dataclass(frozen=True, slots=True)
class AirflowPerTon:
    """Airflow against the unit's size, cfm per ton, and where that falls."""

    cfm_per_ton: float
    verdict: str


def airflow_per_ton(
    cfm: float, tons: float, accuracy: float = 0.0, resolution: float = 0.0
) -> AirflowPerTon:
    """Return cfm per ton of cooling; good from 350 to 450.

    ``accuracy`` is in percent of the cfm, ``resolution`` in cfm.
    Formula: cfm / tons.
    Source: common practice: 350 to 400 cfm per ton, up to 450 in a dry climate.
    Limits: comfort cooling; not heat pumps in heating, nor units for outdoor air.
    Raises FigureError for negative cfm, accuracy or resolution, or tons not above zero.
    """
    unless_zero_or_more(cfm=cfm, resolution=resolution)
    unless_above_zero(tons=tons)
    ratio = cfm / tons
    verdict = judge(
        ratio, LEAST_CFM_PER_TON, MOST_CFM_PER_TON, accuracy=accuracy, resolution=resolution / tons
    )
    return AirflowPerTon(ratio, verdict)


def _total_heat(**given: Any) -> TotalHeat:
    """Take the command line's `in` and `out`; `in` can't be an argument's name in Python."""
    return total_heat(given["cfm"], given["in"], given["out"])


_CFM = Input("cfm", Kind.AIRFLOW, "cfm", "Airflow.")

FIGURES = (
    Figure(
        name="sensible_heat",
        title="Sensible heat of an airflow",
        inputs=(
            _CFM,
            Input("rise", Kind.TEMPERATURE_DIFFERENCE, "F apart", "Leaving less entering air."),
            Input(
                "feet",
                Kind.LENGTH,
                "ft",
                "Altitude above sea level.",
                optional=True,
                default="0",
            ),
        ),
        outputs=(Output("btuh", Kind.HEAT, "Btu/h"),),
        principal="btuh",
        function=sensible_heat,
        formula="1.08 cfm rise, times air pressure at the altitude over that at sea level",
        source="physics: 0.075 lb/ft³ x 60 x 0.24",
        limits="Standard air, corrected for altitude only; not for a wet coil.",
        example="cfm=2000 rise=20",
    ),
    Figure(
        name="total_heat",
        title="Total heat a coil takes out of moist air",
        inputs=(
            _CFM,
            Input("in", Kind.TEMPERATURE, "F", "Dry bulb/wet bulb going in, as 80/67.", many=True),
            Input("out", Kind.TEMPERATURE, "F", "Dry bulb/wet bulb coming out.", many=True),
        ),
        outputs=(Output("btuh", Kind.HEAT, "Btu/h"), Output("tons", Kind.HEAT, "ton")),
        principal="btuh",
        function=_total_heat,
        formula="4.5 cfm (enthalpy in - enthalpy out)",
        source="physics: 0.075 lb/ft³ x 60; moist air by psychrolib (ASHRAE Fundamentals ch. 1)",
        limits="Sea level, standard air; 0 to 150 °F.",
        example="cfm=2000 in=80/67 out=58/57",
    ),
    Figure(
        name="airflow_by_heat",
        title="Airflow by electric heat",
        inputs=(
            Input("kilowatts", Kind.POWER, "kW", "Heat measured as volts x amps."),
            Input("rise", Kind.TEMPERATURE_DIFFERENCE, "F apart", "Leaving less entering air."),
        ),
        outputs=(Output("cfm", Kind.AIRFLOW, "cfm"),),
        principal="cfm",
        function=airflow_by_heat,
        formula="3412 kilowatts / (1.08 rise)",
        source="physics: 3412 Btu/h to the kilowatt, standard air",
        limits="Sea level; thermometers out of sight of the elements.",
        example="kilowatts=10 rise=26",
    ),
    Figure(
        name="airflow_per_ton",
        title="Airflow per ton of cooling",
        inputs=(
            _CFM,
            Input("tons", Kind.HEAT, "ton", "Nominal cooling capacity."),
            ACCURACY,
            replace(RESOLUTION, kind=Kind.AIRFLOW, unit="cfm"),
        ),
        outputs=(
            Output("cfm_per_ton", Kind.COUNT, "times"),
            Output("verdict", None, words=VERDICTS),
        ),
        principal="cfm_per_ton",
        function=airflow_per_ton,
        formula="cfm / tons; good from 350 to 450",
        source="practice: 350 to 400 cfm per ton, up to 450 in a dry climate",
        limits="Comfort cooling; not heat pumps in heating, nor units for outdoor air.",
        example="cfm=2800 tons=7.5",
    ),
)
"""The figures of this subject."""

"""The figures of `engine.trade.air` against what stands outside the project."""

from __future__ import annotations

import psychrolib
import pytest

from engine.trade.air import sensible_heat, total_heat
from engine.trade.altitude import atmosphere
from tests.oracle.rows import Row, check, name_of, rows

SEA_LEVEL = 14.696


@pytest.mark.parametrize("row", rows("air"), ids=name_of)
def test_figure_answers_what_its_source_says(row: Row) -> None:
    check(row)


@pytest.mark.parametrize("feet", [-1000, 0, 1500, 5280, 7000, 12000])
def test_atmosphere_is_that_of_the_psychrometrics_library(feet: float) -> None:
    psychrolib.SetUnitSystem(psychrolib.IP)
    expected = psychrolib.GetStandardAtmPressure(feet)
    assert atmosphere(feet) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("feet", [0, 2500, 5000, 9000])
def test_sensible_heat_falls_with_altitude_as_the_pressure_does(feet: float) -> None:
    psychrolib.SetUnitSystem(psychrolib.IP)
    expected = 1.08 * 1600 * 18 * psychrolib.GetStandardAtmPressure(feet) / SEA_LEVEL
    assert sensible_heat(1600, 18, feet).btuh == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("entering", "leaving"),
    [((80, 67), (58, 57)), ((75, 62.5), (55, 53)), ((95, 75), (60, 58)), ((70, 58), (105, 70))],
)
def test_total_heat_is_that_of_the_psychrometrics_library(
    entering: tuple[float, float], leaving: tuple[float, float]
) -> None:
    """Asked of psychrolib in its other unit system, so that no unit is taken on trust."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    kilojoules = []
    for dry, wet in (entering, leaving):
        celsius, wet_celsius = ((value - 32) / 1.8 for value in (dry, wet))
        ratio = psychrolib.GetHumRatioFromTWetBulb(celsius, wet_celsius, 101325)
        kilojoules.append(psychrolib.GetMoistAirEnthalpy(celsius, ratio) / 1000)
    expected = 4.5 * 1800 * (kilojoules[0] - kilojoules[1]) / 2.326
    got = total_heat(1800, entering, leaving)
    assert got.btuh == pytest.approx(expected, rel=0.002, abs=30)
    assert got.tons == pytest.approx(expected / 12000, rel=0.002, abs=0.003)

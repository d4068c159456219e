"""Air and moist air: signs, altitude, and pairs that can't be."""

from __future__ import annotations

import psychrolib
import pytest

from engine.figure import FigureError
from engine.trade.air import airflow_by_heat, airflow_per_ton, sensible_heat, total_heat
from engine.trade.altitude import atmosphere


def test_a_fall_answers_negative_heat_and_altitude_takes_some() -> None:
    assert sensible_heat(1000, -20).btuh == -sensible_heat(1000, 20).btuh
    assert sensible_heat(1000, 20, 5000).btuh < sensible_heat(1000, 20).btuh


def test_airflow_by_heat_is_sensible_heat_turned_round() -> None:
    cfm = airflow_by_heat(10, 26).cfm
    assert sensible_heat(cfm, 26).btuh == pytest.approx(34120)


def test_total_heat_does_not_care_which_units_the_library_was_left_in() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    metric = total_heat(2000, (80, 67), (58, 57))
    psychrolib.SetUnitSystem(psychrolib.IP)
    assert metric == total_heat(2000, (80, 67), (58, 57))
    assert metric.tons == pytest.approx(metric.btuh / 12000)


def test_heated_air_answers_negative_heat() -> None:
    assert total_heat(2000, (58, 50), (90, 63)).btuh < 0


@pytest.mark.parametrize(
    ("pair", "words"),
    [
        ((80,), "dry bulb and wet bulb"),
        ((80, 67, 60), "dry bulb and wet bulb"),
        ((67, 80), "can't be above"),
        ((100, 30), "no air is that dry"),
        ((180, 67), "between 0 and 150"),
        ((80, -5), "between 0 and 150"),
        ((float("nan"), 67), "between 0 and 150"),
    ],
)
def test_pair_that_no_air_has_is_refused(pair: tuple[float, ...], words: str) -> None:
    with pytest.raises(FigureError, match=words) as refused:
        total_heat(2000, (80, 67), pair)
    assert refused.value.key == "out"


def test_uncertainty_of_the_airflow_reaches_the_verdict() -> None:
    assert airflow_per_ton(1760, 5).verdict == "good"
    assert airflow_per_ton(1760, 5, accuracy=3).verdict == "too close to call"
    assert airflow_per_ton(1740, 5, resolution=20).verdict == "too close to call"


@pytest.mark.parametrize(("kilowatts", "rise"), [(0, 26), (10, 0), (-10, 26), (10, -26)])
def test_heat_without_a_rise_is_refused(kilowatts: float, rise: float) -> None:
    with pytest.raises(FigureError):
        airflow_by_heat(kilowatts, rise)


@pytest.mark.parametrize("feet", [-1501, 20001, float("nan")])
def test_altitude_where_nobody_works_is_refused(feet: float) -> None:
    with pytest.raises(FigureError, match="feet"):
        atmosphere(feet)

"""Saturation between rows, at the ends of the tables, and what is refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.figure import FigureError
from engine.trade.altitude import SEA_LEVEL_PSIA, atmosphere
from engine.trade.refrigerant import (
    REFRIGERANTS,
    saturation,
    subcooling,
    superheat,
    target_superheat,
)
from engine.trade.table import table

GLIDING = {"R-407C", "R-422D", "R-454B"}


def rows(refrigerant: str) -> list[list[float]]:
    found: list[list[float]] = table(f"saturation_{refrigerant.lower().replace('-', '')}")["rows"]
    return found


@pytest.mark.parametrize("refrigerant", REFRIGERANTS)
def test_table_rows_are_met_exactly_first_and_last_included(refrigerant: str) -> None:
    for psia, bubble, dew in rows(refrigerant):
        at = saturation(refrigerant, psia - SEA_LEVEL_PSIA)
        assert at.bubble == pytest.approx(bubble, abs=1e-6)
        assert at.dew == pytest.approx(dew, abs=1e-6)


@pytest.mark.parametrize("refrigerant", REFRIGERANTS)
def test_bubble_is_never_above_dew_and_only_blends_glide(refrigerant: str) -> None:
    glides = [dew - bubble for _, bubble, dew in rows(refrigerant)]
    assert min(glides) >= 0
    assert (max(glides) > 1.8) is (refrigerant in GLIDING)


@given(
    st.sampled_from(REFRIGERANTS),
    st.floats(-9, 480, allow_nan=False),
    st.floats(0.01, 20),
)
def test_higher_pressure_is_always_hotter(refrigerant: str, psig: float, more: float) -> None:
    low, high = saturation(refrigerant, psig), saturation(refrigerant, psig + more)
    assert low.bubble < high.bubble
    assert low.dew < high.dew


@pytest.mark.parametrize(
    ("refrigerant", "psig", "words"),
    [
        ("R-22", 709.1, "critical point"),
        ("R-22", 700.0, "outside the table"),
        ("R-22", -9.8, "outside the table"),
        ("R-22", -15.0, "vacuum"),
        ("R-22", float("nan"), "vacuum"),
        ("R-22", float("inf"), "vacuum"),
        ("R-422D", 540.0, "critical point"),
        ("R-12", 30.0, "no table"),
    ],
)
def test_pressure_or_refrigerant_without_an_answer_is_refused(
    refrigerant: str, psig: float, words: str
) -> None:
    with pytest.raises(FigureError, match=words):
        saturation(refrigerant, psig)


def test_range_in_the_sentence_moves_with_the_altitude() -> None:
    with pytest.raises(FigureError, match=r"-7\.2 to"):
        saturation("R-22", -8, feet=5000)


def test_gauge_zeroed_on_a_mountain_reads_less_for_the_same_temperature() -> None:
    lower = SEA_LEVEL_PSIA - atmosphere(5000)
    there = saturation("R-410A", 120, feet=5000)
    assert there.dew == pytest.approx(saturation("R-410A", 120 - lower).dew)


def test_superheat_counts_from_dew_and_subcooling_from_bubble() -> None:
    at = saturation("R-407C", 60)
    assert superheat("R-407C", 60, 50).saturation == at.dew
    assert superheat("R-407C", 60, 50).superheat == pytest.approx(50 - at.dew)
    assert subcooling("R-407C", 60, 20).saturation == at.bubble
    assert subcooling("R-407C", 60, 20).subcooling == pytest.approx(at.bubble - 20)


def test_impossible_superheat_is_shown_with_its_sign() -> None:
    assert superheat("R-22", 68, 30).superheat < 0


def test_temperature_no_line_has_is_refused() -> None:
    with pytest.raises(FigureError, match="temperature"):
        superheat("R-22", 68, 500)


def test_charge_by_weight_below_five_degrees() -> None:
    assert target_superheat(62, 96).charge_by_weight is False
    assert target_superheat(62, 96.1).charge_by_weight is True


@pytest.mark.parametrize(("wet_bulb", "outdoor"), [(49, 95), (77, 95), (67, 64), (67, 116)])
def test_charging_rule_is_refused_where_it_does_not_hold(wet_bulb: float, outdoor: float) -> None:
    with pytest.raises(FigureError):
        target_superheat(wet_bulb, outdoor)

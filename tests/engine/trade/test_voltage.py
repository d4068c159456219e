"""Volts at the load at their edges: nameplate ranges, loads, legs that a system has not."""

from __future__ import annotations

from typing import Any

import pytest

from engine.figure import FigureError
from engine.trade.voltage import nameplate_voltage, open_leg, resistive_load


@pytest.mark.parametrize("rated", [(208.0, 230.0), (230.0, 208.0)])
def test_the_ends_of_a_range_may_come_in_either_order(rated: tuple[float, ...]) -> None:
    told = nameplate_voltage(rated, 187.2)
    assert told.low == pytest.approx(187.2)
    assert told.high == pytest.approx(253)
    assert told.verdict == "good"


@pytest.mark.parametrize(
    ("rated", "measured", "key", "words"),
    [
        ((), 208.0, "rated", "one voltage or a range"),
        ((200.0, 230.0, 460.0), 208.0, "rated", "one voltage or a range"),
        ((230.0, 460.0), 230.0, "rated", "two connections"),
        ((0.0,), 208.0, "rated", "above zero"),
        ((230.0,), -1.0, "measured", "negative"),
        ((230.0,), float("inf"), "measured", "needs a number"),
    ],
)
def test_nameplate_refuses_by_name(
    rated: tuple[float, ...], measured: float, key: str, words: str
) -> None:
    with pytest.raises(FigureError, match=words) as caught:
        nameplate_voltage(rated, measured)
    assert caught.value.key == key


def test_nameplate_verdicts() -> None:
    assert nameplate_voltage((460,), 413.9).verdict == "low"
    assert nameplate_voltage((460,), 506.1).verdict == "high"
    assert nameplate_voltage((460,), 0).verdict == "low"
    assert nameplate_voltage((460,), 414.5, resolution=1).verdict == "too close to call"


def test_no_volts_make_no_watts() -> None:
    assert resistive_load(5000, 240, 0).watts == 0
    with pytest.raises(FigureError) as caught:
        resistive_load(5000, 0, 240)
    assert caught.value.key == "rated"


def test_high_and_grounded_leg_may_be_any() -> None:
    high_lost = open_leg("240/120 high-leg delta", 240, "L3", high_leg="L3")
    assert high_lost.to_ground == pytest.approx(0, abs=1e-9)
    grounded_lost = open_leg("240 corner-grounded delta", 240, "L1", grounded_leg="L1")
    assert grounded_lost.to_ground == pytest.approx(207.8, abs=0.1)


def test_two_legs_float_to_each_other() -> None:
    told = open_leg("120/240 single-phase", 236, "L2")
    assert told.to_good_legs == pytest.approx(0)
    assert told.to_ground == pytest.approx(118)
    assert told.across_pole == pytest.approx(236)


@pytest.mark.parametrize(
    ("changes", "key"),
    [
        ({"system": "unknown"}, "system"),
        ({"system": "600Y/347"}, "system"),
        ({"ll": 0.0}, "ll"),
        ({"leg": "L4"}, "leg"),
        ({"leg": "L3", "system": "120/240 single-phase"}, "leg"),
        ({"high_leg": "B", "system": "240/120 high-leg delta"}, "high_leg"),
        ({"grounded_leg": "B"}, "grounded_leg"),
    ],
)
def test_open_leg_refuses_by_name(changes: dict[str, Any], key: str) -> None:
    base: dict[str, Any] = {"system": "208Y/120", "ll": 208.0, "leg": "L1"}
    with pytest.raises(FigureError) as caught:
        open_leg(**(base | changes))
    assert caught.value.key == key

"""Capacitors at their edges: no mark, open, at the limit, nothing stored."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.figure import FigureError
from engine.trade.capacitors import capacitor, capacitor_current, capacitor_energy


def test_without_a_mark_there_is_no_verdict() -> None:
    told = capacitor(3.9, 345, tolerance=6, accuracy=3)
    assert told.deviation_percent is None
    assert told.verdict is None


def test_an_open_capacitor_draws_nothing() -> None:
    told = capacitor(0, 345, rated=35)
    assert told.microfarads == 0
    assert told.deviation_percent == -100
    assert told.verdict == "low"


def test_tolerance_is_six_percent_unless_given() -> None:
    amps = capacitor_current(35 * 0.93, 345).amps
    assert capacitor(amps, 345, rated=35).verdict == "low"
    assert capacitor(amps, 345, rated=35, tolerance=10).verdict == "good"


@pytest.mark.parametrize(
    ("given_", "key"),
    [
        ({"amps": -1, "volts": 345}, "amps"),
        ({"amps": 1, "volts": 0}, "volts"),
        ({"amps": 1, "volts": 345, "hertz": 0}, "hertz"),
        ({"amps": 1, "volts": 345, "rated": 0}, "rated"),
        ({"amps": 1, "volts": 345, "tolerance": -6}, "tolerance"),
        ({"amps": 1, "volts": 345, "rated": 35, "accuracy": -1}, "accuracy"),
        ({"amps": float("inf"), "volts": 345}, "amps"),
    ],
)
def test_impossible_values_are_refused_by_name(given_: dict[str, Any], key: str) -> None:
    with pytest.raises(FigureError) as caught:
        capacitor(**given_)
    assert caught.value.key == key


@pytest.mark.parametrize("key", ["microfarads", "volts", "ohms"])
def test_energy_needs_all_three(key: str) -> None:
    values = {"microfarads": 45.0, "volts": 370.0, "ohms": 20000.0} | {key: 0.0}
    with pytest.raises(FigureError) as caught:
        capacitor_energy(**values)
    assert caught.value.key == key


@given(st.floats(1, 500), st.floats(24, 600), st.sampled_from([50.0, 60.0]))
def test_microfarads_come_back_from_the_amps(rated: float, volts: float, hertz: float) -> None:
    amps = capacitor_current(rated, volts, hertz).amps
    told = capacitor(amps, volts, hertz, rated=rated)
    assert told.microfarads == pytest.approx(rated)
    assert told.verdict == "good"

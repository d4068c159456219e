"""Halving a string, and the transformer and coil at their edges."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.figure import FigureError
from engine.trade.control_circuit import coil, control_transformer, series_string


@given(st.data())
def test_halving_finds_the_open_device_in_the_checks_promised(data: st.DataObject) -> None:
    devices = data.draw(st.integers(1, 60))
    open_device = data.draw(st.integers(1, devices))
    good, bad, checks = 0, devices, 0
    promised = series_string(devices).checks_at_most
    while bad - good > 1:
        node = (good + bad) // 2
        checks += 1
        if node < open_device:
            good = node
        else:
            bad = node
        left = series_string(devices, good, bad)
        assert left.open_between[0] <= open_device <= left.open_between[1]
        assert checks + left.checks_at_most <= promised
    assert series_string(devices, good, bad).open_between == (open_device, open_device)
    assert checks <= promised


@pytest.mark.parametrize(
    ("devices", "good", "bad", "key"),
    [
        (0, None, None, "devices"),
        (7.5, None, None, "devices"),
        (7, 7, None, "good_node"),
        (7, None, 8, "bad_node"),
        (7, None, 0, "bad_node"),
        (7, 9, None, "good_node"),
        (7, -1, None, "good_node"),
        (7, 5, 5, "good_node"),
        (7, 6, 5, "good_node"),
    ],
)
def test_nodes_that_contradict_are_refused(
    devices: float, good: float | None, bad: float | None, key: str
) -> None:
    with pytest.raises(FigureError) as refused:
        series_string(devices, good, bad)
    assert refused.value.key == key


def test_volts_are_nothing_without_tap_and_supply() -> None:
    assert control_transformer(40, 24).volts is None
    with pytest.raises(FigureError, match="tap"):
        control_transformer(40, 24, supply=208)
    with pytest.raises(FigureError, match="supply"):
        control_transformer(40, 24, tap=208)


def test_dead_primary_gives_a_dead_secondary() -> None:
    assert control_transformer(40, 24, tap=240, supply=0).volts == 0


def test_both_limits_of_a_coil_are_good_and_the_uncertainty_counts() -> None:
    assert coil(0.85 * 24, 24).verdict == "good"
    assert coil(1.1 * 24, 24).verdict == "good"
    assert coil(20.39, 24).verdict == "low"
    assert coil(20.39, 24, resolution=0.1).verdict == "too close to call"
    assert coil(26.5, 24, accuracy=1).verdict == "too close to call"
    assert coil(0, 24).verdict == "low"


@pytest.mark.parametrize("name", ["volts", "rated", "accuracy", "resolution"])
def test_negative_values_are_refused(name: str) -> None:
    with pytest.raises(FigureError) as refused:
        coil(**{"volts": 24.0, "rated": 24.0, name: -1.0})
    assert refused.value.key == name

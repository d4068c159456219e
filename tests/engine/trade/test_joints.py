"""Joints and poles at their edges."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.figure import FigureError
from engine.trade.joints import hot_joint, joint, poles


@given(st.floats(0.1, 2000), st.floats(0.1, 600))
def test_watts_are_amps_squared_times_ohms(millivolts: float, amps: float) -> None:
    told = joint(millivolts, amps)
    assert told.watts == pytest.approx(amps * amps * told.milliohms / 1000)


@pytest.mark.parametrize(
    ("millivolts", "amps", "key"), [(-1.0, 40.0, "millivolts"), (50.0, 0.0, "amps")]
)
def test_joint_refuses_by_name(millivolts: float, amps: float, key: str) -> None:
    with pytest.raises(FigureError) as caught:
        joint(millivolts, amps)
    assert caught.value.key == key


@pytest.mark.parametrize(
    "millivolts", [(40.0,), (40.0, 41.0, 42.0, 43.0), (0.0, 40.0, 41.0), (-40.0, 41.0, 42.0)]
)
def test_poles_that_can_not_be_compared_are_refused(millivolts: tuple[float, ...]) -> None:
    with pytest.raises(FigureError) as caught:
        poles(millivolts)
    assert caught.value.key == "millivolts"


def test_two_poles_are_compared_too() -> None:
    assert poles((40, 80)).percent_above_lowest == 100
    assert poles((40, 80)).verdict == "high"


def test_a_step_as_large_as_the_drop_is_too_close() -> None:
    assert poles((1, 2, 3), resolution=1).verdict == "too close to call"
    assert poles((40, 42, 80), resolution=1).verdict == "high"
    assert poles((40, 42, 44), resolution=1).verdict == "good"
    assert poles((40, 42, 59), accuracy=10).verdict == "too close to call"


def test_class_is_that_of_the_load_it_must_carry() -> None:
    assert hot_joint(12, 35, 35).class_ == "probable"
    assert hot_joint(12, 35, 60).class_ == "major"
    assert hot_joint(0, 35, 60).class_ == "none"
    assert hot_joint(12, 35, 0).class_ == "none"


@pytest.mark.parametrize(
    ("kelvin", "amps", "at_amps", "key"),
    [(-1.0, 35.0, 60.0, "kelvin"), (12.0, 0.0, 60.0, "amps"), (12.0, 35.0, -60.0, "at_amps")],
)
def test_hot_joint_refuses_by_name(kelvin: float, amps: float, at_amps: float, key: str) -> None:
    with pytest.raises(FigureError) as caught:
        hot_joint(kelvin, amps, at_amps)
    assert caught.value.key == key

"""Locked or starting, overloaded or idle; and the readings nobody can have."""

from __future__ import annotations

import pytest

from engine.figure import FigureError
from engine.trade.compressor import locked_rotor, running_amps


@pytest.mark.parametrize(
    ("fraction", "seconds", "verdict"),
    [
        (1.0, 0.3, "good"),
        (1.0, 1.0, "good"),
        (1.0, 1.01, "too close to call"),
        (1.0, 2.0, "high"),
        (0.7, 2.0, "high"),
        (0.699, 30, "good"),
        (0.0, 30, "good"),
    ],
)
def test_locked_means_near_lra_for_longer_than_a_start(
    fraction: float, seconds: float, verdict: str
) -> None:
    assert locked_rotor(100, 230, 230, 100 * fraction, seconds).verdict == verdict


def test_expected_amps_follow_the_volts() -> None:
    assert locked_rotor(112, 230, 115, 50, 3).expected == pytest.approx(56)


def test_uncertainty_of_the_clamp_reaches_the_verdicts() -> None:
    assert locked_rotor(100, 230, 230, 71, 3, accuracy=2.5).verdict == "too close to call"
    assert locked_rotor(100, 230, 230, 69.5, 3, resolution=1).verdict == "too close to call"
    assert running_amps(20, 21.9, accuracy=2.5).verdict == "too close to call"
    assert running_amps(20, 10.05, resolution=0.1).verdict == "too close to call"


@pytest.mark.parametrize("name", ["lra", "rated", "volts", "amps", "seconds", "resolution"])
def test_negative_values_are_refused(name: str) -> None:
    given = {"lra": 112.0, "rated": 230.0, "volts": 205.0, "amps": 95.0, "seconds": 3.0}
    with pytest.raises(FigureError) as refused:
        locked_rotor(**{**given, name: -1.0})
    assert refused.value.key == name


def test_nameplate_of_zero_amps_is_refused() -> None:
    with pytest.raises(FigureError, match="rla"):
        running_amps(0, 5)

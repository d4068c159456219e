"""Insulation at its edges: over the range, cold and hot windings, a shop's own floor."""

from __future__ import annotations

from math import inf

import pytest

from engine.figure import FigureError
from engine.trade.insulation import insulation


def test_over_the_range_is_good_at_any_temperature() -> None:
    told = insulation(inf, 460, celsius=70)
    assert told.at_40_celsius is None
    assert told.verdict == "good"


def test_a_cold_winding_is_judged_at_40_and_a_hot_one_as_read() -> None:
    cold = insulation(0.5, 230, celsius=20)
    assert cold.at_40_celsius == pytest.approx(0.125)
    assert cold.verdict == "low"
    hot = insulation(0.2, 230, celsius=60)
    assert hot.at_40_celsius == pytest.approx(0.8)
    assert hot.verdict == "low"


def test_the_floor_itself_is_good_and_doubt_makes_it_too_close() -> None:
    assert insulation(0.23, 230).verdict == "good"
    assert insulation(0.23, 230, resolution=0.01).verdict == "too close to call"
    assert insulation(0.0, 230).verdict == "low"


@pytest.mark.parametrize(
    ("megohms", "volts", "celsius", "key"),
    [
        (-1.0, 230.0, None, "megohms"),
        (float("nan"), 230.0, None, "megohms"),
        (1.0, 0.0, None, "volts"),
        (1.0, 230.0, 400.0, "celsius"),
        (1.0, 230.0, inf, "celsius"),
    ],
)
def test_impossible_values_are_refused_by_name(
    megohms: float, volts: float, celsius: float | None, key: str
) -> None:
    with pytest.raises(FigureError) as caught:
        insulation(megohms, volts, celsius)
    assert caught.value.key == key

"""Unbalance of three legs at its edges, and what it costs between the rows of the table."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.figure import FigureError
from engine.trade.unbalance import unbalance, unbalance_effect


@pytest.mark.parametrize(
    "values",
    [(), (208.0,), (208.0, 209.0), (1.0, 2.0, 3.0, 4.0), (0.0, 0.0, 0.0), (208.0, -209.0, 207.0)],
)
def test_what_is_no_set_of_three_is_refused(values: tuple[float, ...]) -> None:
    with pytest.raises(FigureError) as caught:
        unbalance(values)
    assert caught.value.key == "values"


@pytest.mark.parametrize("bad", [float("nan"), float("inf")])
def test_no_number_is_refused(bad: float) -> None:
    with pytest.raises(FigureError, match="values needs a number"):
        unbalance((208.0, bad, 208.0))


def test_kind_is_one_of_two() -> None:
    with pytest.raises(FigureError, match="voltage or current") as caught:
        unbalance((1, 2, 3), kind="watts")
    assert caught.value.key == "kind"


def test_kind_chooses_the_limit() -> None:
    values = (29.0, 30.0, 31.0)
    assert unbalance(values, "voltage").verdict == "high"
    assert unbalance(values, "current").verdict == "good"


def test_one_leg_without_amps_is_an_answer() -> None:
    assert unbalance((0.0, 30.0, 30.0), "current").percent == pytest.approx(100)


def test_the_limit_itself_is_good_and_doubt_makes_it_too_close() -> None:
    at_limit = (98.0, 101.0, 101.0)
    assert unbalance(at_limit).percent == pytest.approx(2)
    assert unbalance(at_limit).verdict == "good"
    assert unbalance(at_limit, accuracy=1).verdict == "too close to call"
    assert unbalance(at_limit, resolution=0.1).verdict == "too close to call"


_VOLTS = st.floats(100, 500)


@given(_VOLTS, _VOLTS, _VOLTS, st.floats(0.1, 10))
def test_order_and_scale_do_not_matter(one: float, two: float, three: float, scale: float) -> None:
    percent = unbalance((one, two, three)).percent
    assert unbalance((three, one, two)).percent == pytest.approx(percent)
    scaled = unbalance((one * scale, two * scale, three * scale)).percent
    assert scaled == pytest.approx(percent, abs=1e-9)
    assert 0 <= percent <= 200


@given(_VOLTS, _VOLTS, _VOLTS, st.floats(0, 3), st.data())
def test_what_the_resolution_hides_does_not_change_a_verdict(
    one: float, two: float, three: float, step: float, data: st.DataObject
) -> None:
    verdict = unbalance((one, two, three), resolution=step).verdict
    rounding = st.floats(-step / 2, step / 2)
    moved = [value + data.draw(rounding) for value in (one, two, three)]
    if verdict != "too close to call":
        assert unbalance(moved).verdict == verdict


def test_effect_rises_between_rows_and_ends_at_five_percent() -> None:
    assert unbalance_effect(1.25).derating_factor == pytest.approx(0.985)
    assert unbalance_effect(5).derating_factor == pytest.approx(0.76)
    beyond = unbalance_effect(5.01)
    assert beyond.derating_factor is None
    assert beyond.extra_temperature_rise_percent == pytest.approx(50.2, abs=0.01)
    with pytest.raises(FigureError) as caught:
        unbalance_effect(-1)
    assert caught.value.key == "percent"


@given(st.floats(0, 5), st.floats(0, 5))
def test_more_unbalance_never_derates_less(one: float, other: float) -> None:
    low, high = sorted((one, other))
    first, second = unbalance_effect(low), unbalance_effect(high)
    assert first.derating_factor is not None
    assert second.derating_factor is not None
    assert first.derating_factor >= second.derating_factor

"""Breakers at their edges: how a marking is written, sags and swells, sizes, trip times."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.figure import FigureError
from engine.trade.breakers import branch_circuit, breaker_rating, trip_time
from engine.trade.table import table


@pytest.mark.parametrize("marking", ["480Y/277", "480y/277V", "277/480", " 480Y / 277 V AC"])
def test_a_marking_may_be_written_in_several_ways(marking: str) -> None:
    assert breaker_rating(marking, 480, (277, 277)).permitted is True
    assert breaker_rating(marking, 480, (480, 0)).permitted is False


@pytest.mark.parametrize("marking", ["", "volts", "240/", "1/2/3", "24000", "-240"])
def test_what_is_no_marking_is_refused(marking: str) -> None:
    with pytest.raises(FigureError, match="write it as on the breaker") as caught:
        breaker_rating(marking, 240, (120, 120))
    assert caught.value.key == "marking"


def test_a_swell_does_not_outdo_a_rating_but_another_system_does() -> None:
    assert breaker_rating("120/240", 252, (126, 126)).permitted is True
    assert breaker_rating("240", 250, (125, 217)).permitted is True
    assert breaker_rating("208Y/120", 225, (113, 112)).permitted is False
    assert breaker_rating("120/240", 240, (139, 139)).permitted is False


@pytest.mark.parametrize(
    ("ll", "lg", "key"),
    [
        (0.0, (120.0,), "ll"),
        (240.0, (), "lg"),
        (240.0, (1.0, 2.0, 3.0, 4.0), "lg"),
        (240.0, (-120.0, 120.0), "lg"),
        (240.0, (float("nan"), 120.0), "lg"),
    ],
)
def test_impossible_volts_are_refused_by_name(ll: float, lg: tuple[float, ...], key: str) -> None:
    with pytest.raises(FigureError) as caught:
        breaker_rating("240", ll, lg)
    assert caught.value.key == key


def test_small_circuits_are_never_required_below_15() -> None:
    told = branch_circuit([4.0])
    assert told.max_175 == 7
    assert told.size_175 == 15


def test_a_motor_larger_than_the_compressor_takes_the_quarter() -> None:
    told = branch_circuit([6.0], [10.0])
    assert told.mca == pytest.approx(18.5)
    assert told.max_175 == pytest.approx(20.5)


def test_binary_rounding_costs_no_size() -> None:
    assert branch_circuit([14.2], [0.05, 0.05, 0.05]).size_175 == 25
    assert branch_circuit([19.2], [1.4]).size_175 == 35
    assert branch_circuit([0.1] * 200).size_175 == 20


@pytest.mark.parametrize(
    ("compressors", "motors", "key"),
    [
        ((), (5.0,), "compressors"),
        ((0.0,), (), "compressors"),
        ((-5.0,), (), "compressors"),
        ((20.0,), (-1.0,), "motors"),
        ((1e5,), (), "compressors"),
        ((float("inf"),), (), "compressors"),
    ],
)
def test_impossible_amps_are_refused_by_name(
    compressors: tuple[float, ...], motors: tuple[float, ...], key: str
) -> None:
    with pytest.raises(FigureError) as caught:
        branch_circuit(compressors, motors)
    assert caught.value.key == key


_AMPS = st.lists(st.floats(0.5, 120), min_size=1, max_size=4)


@given(_AMPS, st.lists(st.floats(0.2, 20), max_size=4))
def test_sizes_are_standard_and_not_above_what_is_allowed(
    compressors: list[float], motors: list[float]
) -> None:
    told = branch_circuit(compressors, motors)
    sizes = table("breaker_sizes")["rows"]
    for size, most in ((told.size_175, told.max_175), (told.size_225, told.max_225)):
        assert size in sizes
        assert size <= max(most + 1e-6, 15)
        larger = [one for one in sizes if one > size]
        assert not larger or larger[0] > most
    assert told.max_175 < told.max_225
    assert told.mca >= sum(compressors) + sum(motors)


@given(st.sampled_from([15, 20, 30, 40, 50, 60, 100, 400]), st.floats(0, 5), st.floats(0, 5))
def test_more_amps_never_hold_longer(rating: int, one: float, other: float) -> None:
    low, high = sorted((one, other))
    longer = trip_time(rating, low * rating).seconds_at_most
    shorter = trip_time(rating, high * rating).seconds_at_most
    assert longer is None or (shorter is not None and shorter <= longer)


@pytest.mark.parametrize(
    ("changes", "key"),
    [({"rating": 0.0}, "rating"), ({"rating": 700.0}, "rating"), ({"amps": -1.0}, "amps")],
)
def test_trip_time_refuses_by_name(changes: dict[str, Any], key: str) -> None:
    with pytest.raises(FigureError) as caught:
        trip_time(**({"rating": 40.0, "amps": 80.0} | changes))
    assert caught.value.key == key

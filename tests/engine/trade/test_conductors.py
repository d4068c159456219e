"""Conductors at their edges: beyond the tables, unknown sizes, how a size is written."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.figure import FigureError
from engine.trade.conductors import ampacity, conductor, sizes, takes, voltage_drop

BASE: dict[str, Any] = {"awg": "10", "insulation": "90", "terminals": "75"}


@pytest.mark.parametrize("awg", ["1/0", "1/0 AWG", "#1/0", " 1/0 awg"])
def test_a_size_may_be_written_as_on_the_jacket(awg: str) -> None:
    assert ampacity(awg, "75", "75").amps == 150


@pytest.mark.parametrize(
    ("changes", "key"),
    [
        ({"awg": "7"}, "awg"),
        ({"awg": "250"}, "awg"),
        ({"awg": ""}, "awg"),
        ({"insulation": "105"}, "insulation"),
        ({"terminals": "90"}, "terminals"),
        ({"ambient": 180.0}, "ambient"),
        ({"ambient": 400.0}, "ambient"),
        ({"insulation": "60", "ambient": 140.0}, "ambient"),
        ({"conductors": 0.0}, "conductors"),
        ({"conductors": 3.5}, "conductors"),
        ({"conductors": 41.0}, "conductors"),
    ],
)
def test_what_the_tables_do_not_have_is_refused_by_name(changes: dict[str, Any], key: str) -> None:
    with pytest.raises(FigureError) as caught:
        ampacity(**(BASE | changes))
    assert caught.value.key == key


def test_cold_gains_nothing_and_a_hot_roof_still_has_an_answer() -> None:
    assert ampacity("10", "90", "75", ambient=20.0).amps == 35
    assert ampacity("10", "90", "75", ambient=95.0 + 60.0).amps == pytest.approx(40 * 0.58)


def test_whole_degrees_celsius_stay_in_their_row() -> None:
    for celsius, factor in ((30, 1.0), (31, 0.94), (35, 0.94), (36, 0.88), (40, 0.88)):
        amps = ampacity("8", "75", "75", ambient=celsius * 1.8 + 32).amps
        assert amps == pytest.approx(50 * factor), celsius


def test_conductor_takes_the_insulation_like_the_terminals_unless_given() -> None:
    hot = {"terminals": "75", "ambient": 113.0}
    assert conductor(32.1, **hot).awg == "8"  # type: ignore[arg-type]
    assert conductor(32.1, insulation="90", **hot).awg == "10"  # type: ignore[arg-type]


@pytest.mark.parametrize(("amps", "key"), [(0.0, "amps"), (231.0, "amps"), (float("inf"), "amps")])
def test_no_conductor_for_no_amps_or_too_many(amps: float, key: str) -> None:
    with pytest.raises(FigureError) as caught:
        conductor(amps, "75")
    assert caught.value.key == key


@given(st.floats(0.5, 190), st.sampled_from(["60", "75"]), st.floats(20, 113), st.integers(1, 6))
def test_the_conductor_is_the_smallest_that_carries(
    amps: float, terminals: str, ambient: float, conductors: int
) -> None:
    try:
        told = conductor(amps, terminals, ambient, conductors)
    except FigureError:
        assert ampacity("4/0", terminals, terminals, ambient, conductors).amps < amps
        return
    assert told.ampacity >= amps
    place = sizes().index(told.awg)
    if place:
        smaller = ampacity(sizes()[place - 1], terminals, terminals, ambient, conductors)
        assert smaller.amps < amps


def test_connector_range_needs_sizes_of_the_table() -> None:
    with pytest.raises(FigureError) as caught:
        takes(("3/0", "6"), "250")
    assert caught.value.key == "awg"


@pytest.mark.parametrize(
    ("changes", "key"),
    [
        ({"phases": "2"}, "phases"),
        ({"amps": -1.0}, "amps"),
        ({"feet": -1.0}, "feet"),
        ({"volts": 0.0}, "volts"),
        ({"awg": "5/0"}, "awg"),
    ],
)
def test_voltage_drop_refuses_by_name(changes: dict[str, Any], key: str) -> None:
    base: dict[str, Any] = {"awg": "10", "phases": "3", "amps": 32.0, "feet": 120.0, "volts": 208.0}
    with pytest.raises(FigureError) as caught:
        voltage_drop(**(base | changes))
    assert caught.value.key == key


def test_no_amps_and_no_length_lose_nothing() -> None:
    assert voltage_drop("10", "1", 0, 100, 240).volts == 0
    assert voltage_drop("10", "1", 20, 0, 240).percent == 0

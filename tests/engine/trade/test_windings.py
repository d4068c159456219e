"""Windings at their edges: ties, steps of the meter, marks that contradict, missing pairs."""

from __future__ import annotations

from itertools import permutations
from math import inf
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.figure import FigureError
from engine.trade.windings import CONDITIONS, winding_balance, winding_temperature, windings


@pytest.mark.parametrize(
    ("given_", "key"),
    [
        ({}, "r12"),
        ({"r12": 1, "r23": 2}, "r13"),
        ({"cr": 1, "sr": 2}, "cs"),
        ({"r12": 1, "r23": 2, "r13": 3, "cr": 1}, "r12"),
        ({"r12": -1, "r23": 2, "r13": 3}, "r12"),
        ({"cr": 1, "cs": float("nan"), "sr": 3}, "cs"),
        ({"cr": 1, "cs": 2, "sr": 3, "resolution": -1}, "resolution"),
    ],
)
def test_what_is_no_set_of_three_pairs_is_refused(given_: dict[str, Any], key: str) -> None:
    with pytest.raises(FigureError) as caught:
        windings(**given_)
    assert caught.value.key == key


@given(
    run=st.floats(0.3, 10),
    more=st.floats(0.3, 30),
    leads=st.floats(0, 0.45),
    order=st.permutations("123"),
)
def test_terminals_are_found_wherever_they_are(
    run: float, more: float, leads: float, order: list[str]
) -> None:
    common, at_run, at_start = order
    ohms = {
        frozenset((common, at_run)): run + leads,
        frozenset((common, at_start)): run + more + leads,
        frozenset((at_run, at_start)): 2 * run + more + leads,
    }
    told = windings(*(ohms[frozenset(pair)] for pair in ("12", "23", "13")))
    assert (told.common, told.run, told.start) == (common, at_run, at_start)
    assert told.condition == "good"
    assert told.lead_resistance == pytest.approx(leads, abs=1e-9)


def test_steps_of_the_meter_that_hide_the_difference_name_no_terminal() -> None:
    told = windings(1.1, 1.1, 2.2, resolution=0.1)
    assert (told.common, told.run, told.start) == ("2", None, None)
    close = windings(0.1, 3.6, 3.6, resolution=0.1)
    assert (close.common, close.run, close.start) == (None, None, None)


def test_marks_that_contradict_the_ohms_are_told_by_the_ohms() -> None:
    told = windings(cr=3.6, cs=1.1, sr=4.7)
    assert (told.common, told.run, told.start) == ("C", "S", "R")
    assert told.condition == "good"


def test_marked_pairs_are_not_reshuffled_to_make_them_add_up() -> None:
    """Shorted start turns: S-R below C-S would add up, were another terminal common."""
    told = windings(cr=1.1, cs=3.6, sr=3.0)
    assert told.condition == "does not add up"
    assert told.lead_resistance == pytest.approx(1.7)
    assert (told.common, told.run, told.start) == ("C", "R", "S")


@pytest.mark.parametrize("pairs", [(0.0, 3.6, 3.6), (0.0, 0.0, 0.0)])
def test_a_pair_at_zero_is_shorted(pairs: tuple[float, float, float]) -> None:
    assert windings(*pairs).condition == "shorted turns"


def test_a_zero_beside_open_pairs_is_shorted_not_an_overload() -> None:
    assert windings(cr=inf, cs=inf, sr=0).condition == "shorted turns"


def test_ten_percent_of_a_large_winding_is_not_more_than_a_fault() -> None:
    assert windings(cr=25, cs=34, sr=60).condition == "good"
    assert windings(cr=25, cs=34, sr=66).condition == "does not add up"


_OHMS = st.one_of(st.just(inf), st.just(0.0), st.floats(0, 1e6))


@given(_OHMS, _OHMS, _OHMS, st.sampled_from([0.0, 0.1, 0.01]))
def test_any_three_readings_have_an_answer(
    one: float, two: float, three: float, step: float
) -> None:
    told = windings(one, two, three, resolution=step)
    assert told.condition in CONDITIONS
    assert (told.lead_resistance is None) == (inf in (one, two, three))
    marked = windings(cr=one, cs=two, sr=three, resolution=step)
    assert marked.condition in CONDITIONS
    assert {marked.common, marked.run, marked.start} == {"C", "R", "S"}


@pytest.mark.parametrize("ohms", list(permutations((1.00, 1.03, 1.06))))
def test_balance_does_not_depend_on_order(ohms: tuple[float, float, float]) -> None:
    assert winding_balance(ohms, resolution=0.001).percent == pytest.approx(2.9126, abs=1e-4)


def test_balance_and_the_step_of_the_meter() -> None:
    assert winding_balance((2.0, 2.0, 2.0), resolution=0.1).verdict == "good"
    assert winding_balance((1.9, 1.9, 1.9), resolution=0.1).verdict == "too close to call"
    assert winding_balance((2.0, 2.0, 4.0), resolution=0.1).verdict == "high"
    assert winding_balance((10.0, 10.0, 10.6), resolution=0.1).verdict == "good"
    assert winding_balance((10.0, 10.0, 10.7), resolution=0.1).verdict == "too close to call"
    assert winding_balance((0.0, 2.0, 2.0), resolution=0.001).verdict == "too close to call"


@pytest.mark.parametrize(
    ("ohms", "key"), [((1.0, 1.0), "ohms"), ((1.0, -1.0, 1.0), "ohms"), ((1.0, inf, 1.0), "ohms")]
)
def test_balance_wants_three_readings(ohms: tuple[float, ...], key: str) -> None:
    with pytest.raises(FigureError) as caught:
        winding_balance(ohms, resolution=0.01)
    assert caught.value.key == key


@pytest.mark.parametrize(
    ("given_", "key"),
    [
        ({"ohms": 1, "at": 75}, "to"),
        ({"ohms": 1, "at": 75, "to": 160, "hot_ohms": 2}, "to"),
        ({"ohms": 0, "at": 75, "to": 160}, "ohms"),
        ({"ohms": 1, "at": -500, "to": 160}, "at"),
        ({"ohms": 1, "at": 75, "to": -500}, "to"),
        ({"ohms": 1, "at": 75, "hot_ohms": 0}, "hot_ohms"),
        ({"ohms": 1, "at": inf, "to": 75}, "at"),
    ],
)
def test_temperature_wants_one_or_the_other(given_: dict[str, Any], key: str) -> None:
    with pytest.raises(FigureError) as caught:
        winding_temperature(**given_)
    assert caught.value.key == key


@given(st.floats(0.1, 100), st.floats(-20, 250), st.floats(-20, 250))
def test_ohms_and_temperature_go_both_ways(ohms: float, at: float, to: float) -> None:
    hot = winding_temperature(ohms, at, to=to).ohms
    assert hot is not None
    back = winding_temperature(ohms, at, hot_ohms=hot).temperature
    assert back == pytest.approx(to, abs=1e-6)

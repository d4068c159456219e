"""Supplies at their edges: what is refused, what stays unproven, what the sentences say."""

from __future__ import annotations

import re
from itertools import product
from typing import Any

import pytest

from engine.figure import FigureError
from engine.trade.supply import CONDITIONS, SYSTEMS, supply


@pytest.mark.parametrize(
    ("given", "key"),
    [
        ({"ll": (208, 208), "ln": (120, 120)}, "ll"),
        ({"ll": (208, 208, 208), "ln": (120, 120)}, "ln"),
        ({"ll": (208,), "ln": (120, 120, 120)}, "ln"),
        ({"ll": (), "ln": ()}, "ll"),
        ({"ll": (208,), "ln": (120, 120), "low_z": (120,)}, "low_z"),
        ({"ll": (-208,), "ln": (120, 120)}, "ll"),
        ({"ll": (208,), "ln": (120, float("nan"))}, "ln"),
        ({"ll": (208,), "ln": (120, 120), "low_z": (120, float("inf"))}, "low_z"),
        ({"ll": (4160,), "ln": (2400, 2400)}, "ll"),
        ({"ll": (208,), "ln": (120, 120), "load_side": "maybe"}, "load_side"),
    ],
)
def test_what_is_no_set_of_readings_is_refused(given: dict[str, Any], key: str) -> None:
    with pytest.raises(FigureError) as caught:
        supply(**given)
    assert caught.value.key == key
    assert caught.value.sentence.endswith(".")


@pytest.mark.parametrize("load_side", ["yes", "no"])
@pytest.mark.parametrize("volts", [0.0, 3.0, 9.9])
def test_no_volts_are_an_answer_that_proves_nothing(volts: float, load_side: str) -> None:
    for legs in (1, 3):
        found = supply((volts,) * legs, (volts,) * max(2, legs), load_side=load_side)
        assert (found.system, found.condition) == ("unknown", "not provable")
        assert "Prove the meter" in found.explanation


@pytest.mark.parametrize(
    ("ll", "ln"),
    [
        ((10, 30, 20), (40, 30, 20)),
        ((600, 600, 600), (346, 346, 346)),
        ((208, 300, 300), (120, 120, 200)),
        ((240,), (120, 41)),
        ((60,), (40, 20)),
        ((380,), (220, 220)),
    ],
)
def test_readings_that_fit_nothing_are_unknown(
    ll: tuple[float, ...], ln: tuple[float, ...]
) -> None:
    found = supply(ll, ln)
    assert (found.system, found.condition) == ("unknown", "not provable")
    assert "Read all of them again" in found.explanation


def test_pairs_of_legs_of_three_phase_systems_are_known() -> None:
    high = supply((240,), (208, 120))
    assert (high.system, high.high_leg) == ("240/120 high-leg delta", "L1")
    corner = supply((240,), (240, 0))
    assert (corner.system, corner.grounded_leg) == ("240 corner-grounded delta", "L2")
    assert "neutral that has gone open" in corner.explanation
    third = supply((480,), (480, 480))
    assert (third.system, third.grounded_leg) == ("480 corner-grounded delta", None)
    assert supply((480,), (277, 277)).system == "480Y/277"


@pytest.mark.parametrize(
    ("ll", "ln", "condition", "system"),
    [
        ((240,), (113, 127), "open neutral", "120/240 single-phase"),
        ((240,), (115, 125), "normal", "120/240 single-phase"),
        ((208,), (78, 130), "open neutral", "208 single-phase"),
        ((240, 240, 240), (85, 212, 157), "open neutral", "240/120 high-leg delta"),
        ((240, 240, 240), (108, 208, 132), "open neutral", "240/120 high-leg delta"),
        ((208, 208, 208), (85, 150, 130), "open neutral", "208Y/120"),
    ],
)
def test_a_neutral_adrift(
    ll: tuple[float, ...], ln: tuple[float, ...], condition: str, system: str
) -> None:
    found = supply(ll, ln)
    assert (found.condition, found.system) == (condition, system)
    if condition == "open neutral":
        assert "open or loose neutral" in found.explanation.lower()


@pytest.mark.parametrize(
    ("ll", "ln", "low_z"),
    [
        ((208, 208, 208), (85, 150, 130), (20, 30, 25)),
        ((208, 208, 208), (208, 0, 208), None),
        ((208, 208, 208), (120, 30, 20), None),
        ((480, 480, 480), (200, 300, 330), None),
        ((240, 240, 240), (139, 139, 139), (139, 139, 139)),
    ],
)
def test_whole_legs_with_an_unproven_ground(
    ll: tuple[float, ...], ln: tuple[float, ...], low_z: tuple[float, ...] | None
) -> None:
    found = supply(ll, ln, low_z)
    assert (found.system, found.condition) == ("ungrounded or unproven", "not provable")


def test_low_impedance_must_hold_within_a_tenth() -> None:
    volts = ((480, 480, 480), (277, 277, 277))
    assert supply(*volts, low_z=(277, 250, 277)).system == "480Y/277"
    assert supply(*volts, low_z=(277, 249, 277)).system == "ungrounded or unproven"
    assert supply((240, 240, 240), (240, 0, 240), low_z=(239, 0, 238)).grounded_leg == "L2"
    assert "A low-impedance meter still reads" in supply(*volts, low_z=(277, 277, 277)).explanation


def test_a_lost_leg_that_collapses_is_stray_and_keeps_the_system() -> None:
    stray = supply((208, 150, 150), (120, 120, 95), (120, 120, 5))
    assert (stray.system, stray.lost_leg) == ("208Y/120", "L3")
    assert "stray volts of a wire that nothing feeds" in stray.explanation
    fed = supply((208, 104, 104), (120, 120, 60), (120, 120, 59), load_side="yes")
    assert "they come through a winding" in fed.explanation


def test_a_good_leg_that_collapses_leaves_the_lost_leg_but_not_the_system() -> None:
    found = supply((208, 104, 104), (120, 120, 60), (20, 20, 60))
    assert (found.system, found.condition, found.lost_leg) == (
        "ungrounded or unproven",
        "lost leg",
        "L3",
    )
    pair = supply((120,), (120, 0), (20, 0))
    assert (pair.system, pair.lost_leg) == ("ungrounded or unproven", "L2")
    twins = supply((208, 208, 0), (120, 120, 120), (20, 120, 20))
    assert (twins.system, twins.condition) == ("ungrounded or unproven", "lost leg")


@pytest.mark.parametrize(
    ("ll", "ln", "lost"),
    [
        ((480, 240, 240), (300, 190, 90), "L3"),
        ((240, 120, 120), (20, 220, 100), "L3"),
        ((480, 480, 0), (190, 300, 190), None),
    ],
)
def test_a_lost_leg_of_an_ungrounded_system(
    ll: tuple[float, ...], ln: tuple[float, ...], lost: str | None
) -> None:
    found = supply(ll, ln)
    assert (found.system, found.condition) == ("ungrounded or unproven", "lost leg")
    assert found.lost_leg == lost


@pytest.mark.parametrize(
    ("ll", "ln", "system", "high"),
    [
        ((120, 0, 120), (120, 0, 0), "unknown", None),
        ((208, 0, 208), (208, 0, 0), "240/120 high-leg delta", "L1"),
        ((237, 20, 257), (277, 40, 20), "480Y/277", None),
        ((0, 0, 0), (277, 277, 277), "480Y/277", None),
    ],
)
def test_one_leg_left_of_three(
    ll: tuple[float, ...], ln: tuple[float, ...], system: str, high: str | None
) -> None:
    found = supply(ll, ln)
    assert (found.system, found.condition) == (system, "lost leg")
    assert (found.lost_leg, found.high_leg) == (None, high)


def test_one_leg_left_of_two() -> None:
    found = supply((120,), (0, 120))
    assert (found.system, found.condition, found.lost_leg) == ("unknown", "lost leg", "L1")
    assert "120/240 single-phase, 208Y/120 or a high-leg delta alike" in found.explanation
    assert supply((277,), (277, 0)).system == "480Y/277"


def test_a_leg_a_little_low_matters_on_the_load_side_only() -> None:
    volts = ((208, 199.6, 199.6), (120, 120, 110.4))
    assert supply(*volts).condition == "normal"
    on_load = supply(*volts, load_side="yes")
    assert (on_load.condition, on_load.lost_leg) == ("not provable", "L3")
    assert supply((208, 206, 206), (120, 120, 117), load_side="yes").condition == "normal"


def test_the_range_of_the_volts_is_told() -> None:
    wye = (120, 120, 120)
    assert "within range A" in supply((208, 207, 209), wye).explanation
    assert "within range B" in supply((193, 193, 193), (111, 111, 111)).explanation
    assert "outside range B" in supply((188, 188, 188), (108, 108, 108)).explanation
    used = supply((188, 188, 188), (108, 108, 108), load_side="yes")
    assert "within range B" in used.explanation


NEVER = re.compile(
    r"\b(is dead|are dead|is safe|safe to|isolated|de-energi[sz]ed)\b", re.IGNORECASE
)


def test_every_answer_is_of_the_words_listed_and_never_calls_anything_dead_or_safe() -> None:
    volts = (0.0, 60.0, 120.0, 208.0)
    for ll in product((0.0, 104.0, 208.0), repeat=3):
        for ln in product(volts, repeat=3):
            found = supply(ll, ln, load_side="yes")
            assert found.system in SYSTEMS
            assert found.condition in CONDITIONS
            assert found.explanation[0].isupper() or found.explanation[0].isdigit()
            assert found.explanation.endswith(".")
            assert not NEVER.search(found.explanation)

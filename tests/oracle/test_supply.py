"""`engine.trade.supply` and `engine.trade.voltage` against the world and against circuits.

Beside the rows with their sources, the patterns of a lost leg are worked out anew: the circuit's
node equations are solved with numpy for real loads, and what a meter would read is handed in.
"""

from __future__ import annotations

from cmath import exp, pi

import numpy as np
import pytest

from engine.trade.supply import supply
from engine.trade.voltage import open_leg
from tests.oracle.rows import Row, check, name_of, rows

LEGS = ("L1", "L2", "L3")


def turned(volts: float, degrees: float) -> complex:
    return volts * exp(1j * pi * degrees / 180)


SOURCES = {
    "208Y/120": (turned(120, 0), turned(120, -120), turned(120, 120)),
    "480Y/277": (turned(277.1, 0), turned(277.1, -120), turned(277.1, 120)),
    # L1 and L3 from a winding tapped in its middle, the high leg at a right angle to it.
    "240/120 high-leg delta": (turned(120, 0), turned(207.85, 90), turned(120, 180)),
    # L2 bonded to ground.
    "240 corner-grounded delta": (turned(240, 0), 0j, turned(240, -60)),
    "480 corner-grounded delta": (turned(480, 0), 0j, turned(480, -60)),
}
"""Volts of L1, L2, L3 against neutral or ground."""

DELTA = {(0, 1): 1 / 10, (1, 2): 1 / 10, (2, 0): 1 / 10}
"""A balanced load, siemens between legs."""


def floated(source: tuple[complex, ...], lost: int, load: dict[tuple[int, int], float]) -> complex:
    """Return the volts of an open leg that only the load holds, by its node equation."""
    matrix = np.zeros((3, 3))
    for (one, other), siemens in load.items():
        matrix[one, one] += siemens
        matrix[other, other] += siemens
        matrix[one, other] -= siemens
        matrix[other, one] -= siemens
    good = [leg for leg in range(3) if leg != lost]
    driven = -sum(matrix[lost, leg] * source[leg] for leg in good)
    return complex(driven / matrix[lost, lost])


def read(legs: tuple[complex, ...]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return what a meter reads between legs and to ground."""
    between = tuple(abs(legs[one] - legs[other]) for one, other in ((0, 1), (1, 2), (2, 0)))
    return between, tuple(abs(leg) for leg in legs)


@pytest.mark.parametrize("row", rows("supply"), ids=name_of)
def test_supply_is_what_its_source_says(row: Row) -> None:
    check(row)


@pytest.mark.parametrize("row", rows("voltage"), ids=name_of)
def test_volts_at_the_load_are_what_their_source_says(row: Row) -> None:
    check(row)


@pytest.mark.parametrize("lost", range(3))
@pytest.mark.parametrize("system", SOURCES)
def test_lost_leg_of_a_real_circuit_is_found(system: str, lost: int) -> None:
    source = SOURCES[system]
    legs = tuple(floated(source, lost, DELTA) if leg == lost else source[leg] for leg in range(3))
    found = supply(*read(legs), load_side="yes")
    assert (found.system, found.condition, found.lost_leg) == (system, "lost leg", LEGS[lost])


@pytest.mark.parametrize("lost", range(3))
@pytest.mark.parametrize("system", SOURCES)
def test_open_leg_reads_what_the_circuit_gives(system: str, lost: int) -> None:
    source = SOURCES[system]
    floats = floated(source, lost, DELTA)
    told = open_leg(system, abs(source[0] - source[1]), LEGS[lost])
    good = source[(lost + 1) % 3]
    assert told.to_good_legs == pytest.approx(abs(floats - good), rel=2e-3)
    assert told.to_ground == pytest.approx(abs(floats), rel=2e-3, abs=0.5)
    assert told.across_pole == pytest.approx(abs(floats - source[lost]), rel=2e-3)


@pytest.mark.parametrize("lost", range(3))
def test_an_unbalanced_load_does_not_hide_the_lost_leg(lost: int) -> None:
    source = SOURCES["208Y/120"]
    load = {(0, 1): 1 / 6, (1, 2): 1 / 14, (2, 0): 1 / 9}
    legs = tuple(floated(source, lost, load) if leg == lost else source[leg] for leg in range(3))
    assert supply(*read(legs), load_side="yes").lost_leg == LEGS[lost]


@pytest.mark.parametrize("lost", range(3))
@pytest.mark.parametrize("system", SOURCES)
def test_one_winding_alone_leaves_two_legs_that_read_the_same(system: str, lost: int) -> None:
    source = SOURCES[system]
    twin = (lost + 1) % 3
    load = {(lost, twin): 1 / 10}
    legs = tuple(floated(source, lost, load) if leg == lost else source[leg] for leg in range(3))
    found = supply(*read(legs), load_side="yes")
    assert (found.system, found.condition, found.lost_leg) == (system, "lost leg", None)
    assert LEGS[lost] in found.explanation
    assert LEGS[twin] in found.explanation


@pytest.mark.parametrize("dark", range(3))
@pytest.mark.parametrize("system", ["208Y/120", "480Y/277"])
def test_one_primary_line_of_a_delta_wye_transformer(system: str, dark: int) -> None:
    """Two primary windings end on the dark line; in series, they share the volts of the third."""
    windings = list(SOURCES[system])
    whole = (dark + 1) % 3
    for leg in range(3):
        if leg != whole:
            windings[leg] = -windings[whole] / 2
    ll, ln = read(tuple(windings))
    assert sorted(ln)[0] == pytest.approx(sorted(ln)[2] / 2)
    found = supply(ll, ln)
    assert (found.system, found.condition) == (system, "upstream line lost")
    assert f"{LEGS[whole]} has its full volts" in found.explanation


@pytest.mark.parametrize("lost", range(3))
def test_a_running_motor_that_lost_a_leg_is_not_called_normal(lost: int) -> None:
    """The motor's own field holds the leg at 92 % of its volts and its angle (kele.com)."""
    source = SOURCES["208Y/120"]
    legs = tuple(0.92 * source[leg] if leg == lost else source[leg] for leg in range(3))
    found = supply(*read(legs), load_side="yes")
    assert (found.condition, found.lost_leg) == ("not provable", LEGS[lost])

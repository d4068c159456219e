"""Stages: entered and left by the tree's own procedures, anew where the work was left."""

from __future__ import annotations

import pytest

from engine.power import Position, Proof
from tests.engine.session.walking import USUAL, begin, come_back, enter, is_at, lead, line_for
from tests.technician import Technician

SHORTED = {"r-to-c-unit": "0.3", "short": "1 ohm", "cable-short": "1 ohm"}


def on_the_way(technician: Technician, to: str) -> list[str]:
    """Return the last names of the steps that are asked before a step is reached."""
    asked = []
    while not is_at(technician.shown, to):
        asked.append(technician.shown.step.rsplit("/", 1)[-1])
        technician.enter(line_for(technician.shown, USUAL))
    return asked


def test_a_step_in_a_stage_is_reached_by_the_stage() -> None:
    technician = lead(begin(), "r-to-c")
    assert technician.done.state.stage == "at the thermostat"
    assert [one.step for one in technician.done.state.passed][-1] == (
        "enter at the thermostat/cover-off"
    )


def test_one_stage_is_left_before_the_next_is_entered() -> None:
    technician = lead(begin(), "r-to-c-unit")
    assert technician.done.state.stage == "unit live"
    assert on_the_way(enter(technician, "24.1"), "string")[:2] == [
        "cover-on",
        "before-the-lock",
    ]
    assert technician.done.state.stage == "unit dead"


def test_after_coming_back_the_dead_stage_is_proven_again_before_the_step() -> None:
    technician = lead(begin(), "string")
    come_back(technician)
    assert on_the_way(technician, "string") == [
        "before-the-lock",
        "lock",
        "try-it",
        "volts-gone",
        "dc-gone",
    ]


def test_a_stage_that_stands_on_another_is_left_and_the_other_proven_again() -> None:
    technician = lead(begin(), "cable-or-thermostat", SHORTED)
    come_back(technician)
    assert on_the_way(technician, "cable-or-thermostat") == [
        "cover-on",
        "before-the-lock",
        "lock",
        "try-it",
        "volts-gone",
        "dc-gone",
        "cover-off",
    ]


def test_a_live_test_is_gone_back_to_dead_once_and_not_proven_twice() -> None:
    technician = lead(begin(), "r-leaves", {"string": "0.4 ohm"})
    come_back(technician)
    asked = on_the_way(technician, "r-leaves")
    assert asked.count("volts-gone") == 1
    assert asked[-1] == "switch-on"


def test_a_change_that_failed_leads_where_the_tree_says_and_stays_there() -> None:
    technician = lead(begin(), "volts-gone")
    enter(technician, "120 208 208 208 120 120 120 120", "still runs")
    assert technician.shown.step.endswith("/cover-on"), "it is not shown to be off"
    enter(technician, "1")
    assert is_at(technician.shown, "leave/all-clear")
    assert technician.done.state.failed
    lead(technician, "leave/tell")
    assert technician.done.state.power.position[2] is Position.TAGGED


@pytest.mark.parametrize("reason", ["1", "5"])
def test_cant_in_the_middle_of_a_change_of_stage_leads_out_of_it(reason: str) -> None:
    technician = enter(lead(begin(), "lock"), f"c {reason}")
    state = technician.done.state
    assert state.changing == ""
    assert state.step.startswith("leave-at-breaker/"), "the tree says where"


def test_proofs_are_gone_and_the_lock_is_not() -> None:
    technician = lead(begin(), "string")
    come_back(technician)
    power = technician.done.state.power
    assert set(power.proof) == {Proof.NONE}
    assert power.position[2] is Position.LOCKED

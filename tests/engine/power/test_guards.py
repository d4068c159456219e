"""Each act with one thing missing at a time, and the rule that stands against it then."""

from __future__ import annotations

import pytest

from engine.power import State
from tests.sequences import TOLD_ON, after, rules_against

RTU = TOLD_ON["rtu"]
RTU2 = TOLD_ON["rtu2"]

LOCKED = "switch off disconnect; lock out disconnect"
BOX = "open up @control box"
READY = f"look over -> fit; {LOCKED}; try unit -> stopped; {BOX}"
PROVEN = f"{READY}; prove dead unit @control box -> dead"
DEAD = f"{PROVEN}; discharge unit @control box -> below limit"
SHUT = f"{DEAD}; close up @control box"
BARE = (
    f"look over -> fit; {LOCKED}; try unit -> stopped; open up @bare disconnect; "
    "prove dead unit @bare disconnect -> dead"
)
LOW = "look over -> fit; open up @thermostat; read live control @thermostat -> under 50"
AWAY_LOW = "away; look over -> fit"

MISSING = [
    ("look @control box", BOX, "away", "R10"),
    ("look @fan", BOX, "", "R6"),
    ("open up @panel", "", "away", "R10"),
    ("prove dead unit @control box -> dead", f"{LOCKED}; try unit -> stopped", "", "R6"),
    ("prove dead unit @control box -> dead", READY, "away; try unit -> stopped", "R10"),
    ("read live unit @control box", BOX, "away", "R10"),
    ("read live unit @control box", "", "", "R6"),
    ("discharge unit @control box -> below limit", f"{SHUT}", "", "R4"),
    ("hands on unit @control box", SHUT, "", "R4"),
    ("repair unit @control box", SHUT, "", "R4"),
    ("put on unit @control box: lead", SHUT, "", "R4"),
    ("take off unit @control box: lead", SHUT, "", "R4"),
    ("take off unit @control box: lead", PROVEN, "", "R3"),
    ("take off unit @control box: lead", READY, "", "R1"),
    ("take off control @control box: jumper", "open up @control box", "", "R1"),
    ("read dead unit @control box", SHUT, "", "R6"),
    ("check unit @control box -> clear", SHUT, "", "R6"),
    ("insulation test unit @control box -> clear", SHUT, "", "R6"),
    ("hands in unit @fan", f"{LOCKED}; try unit -> stopped", "", "R4"),
    ("run unit: for test", "", "away", "R10"),
    ("run unit: for test", "switch off disconnect", "", "R7"),
    ("verify unit -> good", "", "away", "R10"),
    ("verify unit -> good", "switch off disconnect", "", "R9"),
    ("switch on disconnect: for test -> holds", "switch off disconnect", "away", "R10"),
]


@pytest.mark.parametrize(("deed", "done", "undone", "rule"), MISSING)
def test_one_thing_missing_is_refused_by_its_rule(
    deed: str, done: str, undone: str, rule: str
) -> None:
    begun = done if done.startswith("look over") else f"look over -> fit; {done}"
    state = after(RTU, "; ".join(part for part in (begun, undone) if part))
    assert rule in rules_against(RTU, state, deed)


@pytest.mark.parametrize(
    "deed", ["read dead", "check", "insulation test", "hands on", "repair", "discharge"]
)
def test_what_is_beside_counts_for_every_hand_and_every_dead_reading(deed: str) -> None:
    """The feeder's lugs are bare in that box and live."""
    state = after(RTU, BARE)
    if deed != "discharge":
        unit = RTU.zone_at["unit"]
        charged = (*state.charged[:unit], False, *state.charged[unit + 1 :])
        state = state._replace(charged=charged)
    assert rules_against(RTU, state, f"{deed} unit @bare disconnect") == ("R4",)


def test_a_neighbour_proven_and_still_charged_is_in_reach_too() -> None:
    layout = TOLD_ON["rtu"]
    state = after(
        layout,
        "look over -> fit; switch off breaker; lock out breaker; try feeder -> stopped; "
        "open up @bare disconnect; prove dead feeder @bare disconnect -> dead; "
        "prove dead unit @bare disconnect -> dead",
    )
    assert rules_against(layout, state, "hands on feeder @bare disconnect") == ("R3",)


def test_hands_in_beside_a_live_outlet_are_refused() -> None:
    state = after(RTU2, f"look over -> fit; {LOCKED}; try unit -> stopped; {BOX}")
    assert rules_against(RTU2, state, "hands in unit @control box") == ("R4",)


def test_hands_in_need_the_lock_and_the_try() -> None:
    stopped = after(RTU, f"look over -> fit; {LOCKED}; try unit -> stopped; open up @fan")
    assert rules_against(RTU, stopped, "hands in unit @fan") == ()
    assert rules_against(RTU, _unlocked(stopped), "hands in unit @fan") == ("R13",)
    assert rules_against(RTU, after(RTU, "away", stopped), "hands in unit @fan") == ("R13",)


def _unlocked(state: State) -> State:
    return after(RTU, "all clear; unlock disconnect", state)


def test_a_control_circuit_drives_no_machine() -> None:
    """A reading under 50 V is no lock: found by a second judge of the log."""
    state = after(RTU, f"{LOW}; {LOCKED}")
    assert rules_against(RTU, state, "put on control: open gas") == ("R13",)


@pytest.mark.parametrize("deed", ["hands on", "repair", "put on"])
def test_a_control_circuit_read_low_is_forgotten_when_away(deed: str) -> None:
    item = ": jumper" if deed == "put on" else ""
    state = after(RTU, f"{LOW}; {LOCKED}; {AWAY_LOW}")
    assert rules_against(RTU, state, f"{deed} control @thermostat{item}") == ("R1",)


@pytest.mark.parametrize("deed", ["read dead", "check", "insulation test"])
def test_dead_readings_need_the_look_over(deed: str) -> None:
    state = after(RTU, f"{LOW}; {LOCKED}; away")
    assert rules_against(RTU, state, f"{deed} control @thermostat") == ("R10",)


def test_nothing_in_this_table_is_refused_when_nothing_is_missing() -> None:
    dead = after(RTU, f"{DEAD}; put on unit @control box: lead")
    for deed in (
        "look @control box",
        "read live unit @control box",
        "prove dead unit @control box -> dead",
        "discharge unit @control box -> below limit",
        "hands on unit @control box",
        "repair unit @control box",
        "take off unit @control box: lead",
        "read dead unit @control box",
        "check unit @control box -> clear",
        "insulation test unit @control box -> clear",
        "hands in unit @control box",
        "open up @panel",
    ):
        assert rules_against(RTU, dead, deed) == (), deed


@pytest.mark.parametrize(
    "deed",
    [
        "read dead unit @control box",
        "check unit @control box -> clear",
        "hands on unit @control box",
        "repair unit @control box",
        "put on unit @control box: grounds",
        "take off unit @control box: gauges",
    ],
)
def test_after_hands_or_leads_in_a_box_people_and_tools_are_not_clear(deed: str) -> None:
    state = after(RTU, f"{DEAD}; all clear; {deed}")
    assert rules_against(RTU, state, "unlock disconnect") == ("R7",)

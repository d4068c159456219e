"""Reports, reasons to stop, and the three ends of a walk."""

from __future__ import annotations

import pytest

from engine.power import (
    REPORTS,
    STOPS,
    Act,
    Deed,
    Insulation,
    Position,
    Proof,
    apply,
    begin,
    is_on,
    refusals,
)
from tests.sequences import (
    TOLD_ON,
    after,
    rules_against,
)

RTU = TOLD_ON["rtu"]
RTU2 = TOLD_ON["rtu2"]
BAS = TOLD_ON["bas"]
ISOLATED = "ISOLATE(unit, disconnect, control box)"
HUNG_UP = f"{ISOLATED}; close up @control box; all clear"


def test_an_act_that_ends_in_a_report_has_its_worst_effect_as_well() -> None:
    state = after(RTU, ISOLATED)
    proof = Deed(Act.PROVE_DEAD, zone="unit", box="control box", on="disconnect")
    seen = apply(RTU, state, proof, "damaged")
    assert seen.proof[RTU.zone_at["unit"]] is Proof.NONE
    assert seen.position[RTU.device_at["disconnect"]] is Position.DAMAGED


def test_reports_of_nothing_in_the_layout_change_no_device() -> None:
    state = begin(RTU)
    for word in REPORTS:
        told = apply(RTU, state, Deed(Act.ASK), word)
        assert (told.position, told.trips) == (state.position, state.trips)


@pytest.mark.parametrize("stop", [one for one in STOPS if one != "their lock"])
def test_after_a_stop_only_making_safe_and_withdrawing_are_left(stop: str) -> None:
    state = after(RTU, f"look over -> fit; ask: {stop}")
    leave_only = stop in ("gas", "smoke")
    permitted = {
        act
        for act in Act
        if "R11" not in {one.rule for one in refusals(RTU, state, _anything(act, "withdrawn"))}
    }
    leaving = {Act.ASK, Act.TELL, Act.AWAY, Act.END}
    making_safe = {
        Act.SWITCH_OFF, Act.LOCK_OUT, Act.TAKE_OFF, Act.CLOSE_UP, Act.ALL_CLEAR, Act.UNLOCK,
        Act.TAG_OUT,
    }  # fmt: skip
    assert permitted == (leaving if leave_only else leaving | making_safe)
    assert "R11" in rules_against(RTU, state, "end: in service")
    assert ("R11" in rules_against(RTU, state, "end: made safe")) is leave_only
    assert rules_against(RTU, after(RTU, "tell", state), "end: withdrawn") == ()


def _anything(act: Act, end: str) -> Deed:
    mode = end if act is Act.END else "for test"
    return Deed(act, "control", "disconnect", "thermostat", "jumper", mode)


def test_the_graver_of_two_stops_is_kept() -> None:
    assert after(RTU, "ask: gas; ask: weather").stop == "gas"
    assert after(RTU, "ask: weather; ask: gas").stop == "gas"


def test_not_fit_is_a_stop() -> None:
    state = after(RTU, "look over -> not fit")
    assert (state.stop, state.looked_over) == ("unfit", False)


def test_nobody_withdraws_without_a_reason_or_without_a_word() -> None:
    assert rules_against(RTU, begin(RTU), "end: withdrawn") == ("R9",)
    assert rules_against(RTU, after(RTU, "tell"), "end: withdrawn") == ("R9",)
    assert rules_against(RTU, after(RTU, "ask: smoke"), "end: withdrawn") == ("R9",)


def test_their_lock_is_a_reason_to_withdraw_and_stops_no_other_work() -> None:
    state = after(RTU, "look over -> fit; ask disconnect: their lock; tell")
    assert rules_against(RTU, state, "end: withdrawn") == ()
    assert rules_against(RTU, state, "open up @control box") == ()


def test_my_own_lock_is_not_left_behind() -> None:
    state = after(RTU, f"{HUNG_UP}; tell")
    assert "R12" in rules_against(RTU, state, "end: made safe")


def test_made_safe_means_cut_from_every_source() -> None:
    told = after(
        BAS,
        "look over -> fit; switch off disconnect; lock out disconnect; switch off bas plug; "
        "all clear; tag out disconnect; tell",
    )
    assert rules_against(BAS, told, "end: made safe") == ("R9",), "building controls can feed it"
    assert rules_against(BAS, after(BAS, "tag out bas plug", told), "end: made safe") == ()


def test_made_safe_means_that_a_fault_is_cut_off_too_not_only_the_unit() -> None:
    """A feeder with a fault stays live behind a tag that hangs after it."""
    state = after(RTU, "look over -> fit; switch off breaker; lock out breaker")
    state = after(
        RTU, "switch off disconnect; try unit -> stopped; open up @bare disconnect", state
    )
    for zone in ("feeder", "unit"):
        state = after(RTU, f"prove dead {zone} @bare disconnect -> dead", state)
    state = after(RTU, "discharge unit @bare disconnect -> below limit", state)
    state = after(RTU, "check feeder @bare disconnect -> fault", state)
    state = after(RTU, "close up @bare disconnect; all clear; unlock breaker; tell", state)
    behind = after(RTU, "tag out disconnect", state)
    assert rules_against(RTU, behind, "end: made safe") == ("R9",)
    assert rules_against(RTU, after(RTU, "tag out breaker", behind), "end: made safe") == ()


def test_their_lock_counts_as_a_tag_when_leaving() -> None:
    state = after(RTU, "ask disconnect: their lock; tell")
    assert rules_against(RTU, state, "end: made safe") == ()


def test_a_device_left_open_and_untagged_is_not_in_service() -> None:
    state = after(RTU2, "look over -> fit; switch off heat disconnect; verify unit -> good; tell")
    assert rules_against(RTU2, state, "end: in service") == ("R9",)


def test_work_after_verifying_asks_for_verifying_again() -> None:
    state = after(RTU, "look over -> fit; verify unit -> good; open up @thermostat")
    state = after(RTU, "read live control @thermostat -> under 50", state)
    state = after(RTU, "hands on control @thermostat; close up @thermostat; tell", state)
    assert rules_against(RTU, state, "end: in service") == ("R9",)


def test_a_trip_that_somebody_reset_counts_and_leaves_the_device_on() -> None:
    breaker = RTU.device_at["breaker"]
    for word in ("tripped and reset", "found tripped but on now"):
        state = after(RTU, f"ask breaker: {word}")
        assert (state.trips[breaker], is_on(RTU, state, "unit")) == (1, True)
    once = after(RTU, "ask breaker: tripped; ask breaker: found tripped but on now")
    assert once.trips[breaker] == 1, "the same trip, told twice"
    again = after(RTU, "ask breaker: tripped and reset; ask breaker: tripped")
    assert again.trips[breaker] == 2


def test_a_trip_makes_old_checks_stale() -> None:
    state = after(RTU, f"{ISOLATED}; check unit @control box -> clear; ask breaker: tripped")
    assert state.insulation[RTU.zone_at["unit"]] is Insulation.UNKNOWN


def test_a_jumper_found_on_has_to_come_off() -> None:
    found = Deed(Act.ASK, zone="control", item="bypass")
    state = apply(RTU, after(RTU, "look over -> fit; tell"), found, "found jumper")
    assert state.items == {("bypass", "control")}
    assert rules_against(RTU, state, "verify unit -> good") == ("R8",)
    plain = apply(RTU, state, Deed(Act.ASK), "found jumper")
    assert ("jumper", "unit") in plain.items

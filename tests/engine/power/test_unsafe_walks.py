"""Unsafe walks that a simpler set of rules would permit, one test each, a1 to a30.

Said in full by the model of safe work: a1 to a5, a8, a10 to a15, a17 to a27, a29. Only in part,
because the rest belongs to a tree or to a session and is tested there:

- a6: that every *switch on* has a way out for *trips* is a property of a tree;
- a7, a9: which points a proof covers, and that pairs and ground are read, is a tree's; here a
  reading at some of the points proves nothing;
- a16: that the discharge is read in DC is the step's meter setting; here a reading above the
  limit leaves the charge;
- a28: that readings given out of order perform no act is the session's; here no reading of a
  power circuit proves anything;
- a30: that a procedure has a return for *not done* is a tree's; here what was not done has no
  effect.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.layouts import LAYOUTS, Device, Source, Zone, ZoneKind
from engine.power import (
    Act,
    Deed,
    Insulation,
    Proof,
    apply,
    begin,
    held_off,
    pessimistic,
    refusals,
    worse,
)
from tests.sequences import TOLD_ON, after, first_broken, rules_against, sequences, steps_of

RTU, BAS = TOLD_ON["rtu"], TOLD_ON["bas"]
UNIT = RTU.zone_at["unit"]
ISOLATED = "ISOLATE(unit, disconnect, control box)"
UNLOCKED = "close up @control box; all clear; unlock disconnect"
ON = "switch on disconnect: for service -> holds"


def breaks(name: str) -> tuple[str, int]:
    """Return the rule that a sequence breaks and the step where it does."""
    told = sequences()[name]
    broken = first_broken(told.layout, told.steps)
    assert broken is not None
    return broken.refused[0].rule, broken.step


def test_a1_ground_check_reads_a_fault_reset_anyway() -> None:
    """The breaker alone feeds only the feeder while the disconnect is off; then comes the unit."""
    state = after(
        RTU,
        f"ask breaker: tripped; {ISOLATED}; check unit @control box -> fault; "
        f"{UNLOCKED}; ask breaker: found closed",
    )
    assert rules_against(RTU, state, ON) == ("R5",)


def test_a2_check_on_the_line_side_of_an_open_contactor() -> None:
    assert breaks("U05") == ("R5", 23)


def test_a3_fault_mended_and_never_measured_again() -> None:
    state = after(RTU, f"{ISOLATED}; check unit @control box -> fault; repair unit @control box")
    assert rules_against(RTU, after(RTU, UNLOCKED, state), ON) == ("R5",)
    checked = after(RTU, f"check unit @control box -> clear; {UNLOCKED}", state)
    assert rules_against(RTU, checked, ON) == ()


def test_a4_fault_measured_again_until_it_reads_clear() -> None:
    state = after(
        RTU,
        f"{ISOLATED}; check unit @control box -> fault; check unit @control box -> clear; "
        "insulation test unit @control box -> clear",
    )
    assert state.insulation[UNIT] is Insulation.FAULT


def test_a5_two_resets_before_arrival_and_one_more_first_reset() -> None:
    state = begin(RTU, {"breaker": 2})
    state = after(
        RTU,
        "ask breaker: found open; look over -> fit; lock out breaker; try unit -> stopped; "
        "open up @control box; prove dead unit @control box -> dead; "
        "discharge unit @control box -> below limit; check unit @control box -> clear; "
        "open up @disconnect box -> barrier missing; prove dead feeder @disconnect box -> dead; "
        "check feeder @disconnect box -> clear; close up @control box; close up @disconnect box; "
        "all clear; unlock breaker",
        state,
    )
    assert rules_against(RTU, state, "switch on breaker: for service -> holds") == ("R5",)


def test_a6_switching_on_can_trip_and_unlabelled_counts_as_tripping() -> None:
    assert pessimistic(Act.SWITCH_ON) == "trips"


def test_a7_a9_a_reading_at_some_of_the_points_proves_nothing() -> None:
    locked = "look over -> fit; switch off disconnect; lock out disconnect; try unit -> stopped"
    state = after(RTU, f"{locked}; open up @control box")
    part = "prove dead unit @control box: part -> dead"
    assert rules_against(RTU, state, part) == ("R2",)
    (stated,) = steps_of(part)
    assert apply(RTU, state, stated.deed, "dead").proof[UNIT] is Proof.TRIED


def test_a8_one_blade_of_the_disconnect_did_not_open() -> None:
    state = after(RTU, "look over -> fit; switch off disconnect; lock out disconnect")
    seen = apply(RTU, state, Deed(Act.ASK, device="disconnect"), "damaged")
    assert not held_off(RTU, seen, "unit")
    assert rules_against(RTU, seen, "try unit -> stopped") == ("R2",)


def test_a10_separate_outlet_in_the_same_compartment() -> None:
    assert breaks("U07") == ("R4", 7)


def test_a11_foreign_24_volts_drives_the_control_transformer_backwards() -> None:
    state = after(BAS, "look over -> fit; switch off disconnect; lock out disconnect")
    assert rules_against(BAS, state, "try unit -> stopped") == ("R2",)
    state = after(BAS, "switch off bas plug; lock out bas plug", state)
    assert rules_against(BAS, state, "try unit -> stopped") == ()


@pytest.mark.parametrize(("name", "step"), [("U04", 7), ("U08", 7)])
def test_a12_work_on_lugs_with_live_lugs_beside(name: str, step: int) -> None:
    assert breaks(name) == ("R4", step)


def test_a13_proven_under_somebody_elses_lock_only() -> None:
    state = after(RTU, "look over -> fit; ask disconnect: their lock; open up @control box")
    assert "R2" in rules_against(RTU, state, "prove dead unit @control box -> dead")


def test_a14_lock_on_lunch_back_to_the_open_box() -> None:
    state = after(RTU, f"{ISOLATED}; away")
    assert rules_against(RTU, state, "repair unit @control box") == ("R1",)
    assert "R10" in rules_against(RTU, state, "read dead unit @control box")


def test_a15_an_insulation_test_charges_what_it_tests() -> None:
    state = after(RTU, f"{ISOLATED}; insulation test unit @control box -> clear")
    assert rules_against(RTU, state, "hands on unit @control box") == ("R3",)


def test_a16_a_charge_above_the_limit_is_still_there() -> None:
    state = after(RTU, ISOLATED)
    state = after(RTU, "discharge unit @control box -> above limit", state)
    assert rules_against(RTU, state, "read dead unit @control box") == ("R3",)
    assert pessimistic(Act.DISCHARGE) == "above limit"


def test_a17_a_fan_that_turns_by_itself() -> None:
    locked = "look over -> fit; switch off disconnect; lock out disconnect"
    state = after(RTU, f"{locked}; try unit -> not stopped")
    assert rules_against(RTU, state, "open up @fan") == ("R13",)


@pytest.mark.parametrize("box", ["fan", "compressor terminals", "panel", "disconnect box"])
def test_a18_a_guard_off_during_a_test(box: str) -> None:
    state = after(RTU, f"{ISOLATED}; open up @{box}; all clear; unlock disconnect")
    assert rules_against(RTU, state, "switch on disconnect: for test -> holds") == ("R7",)


def test_a18_a_control_box_may_be_open_for_a_test_and_not_for_service() -> None:
    state = after(RTU, f"{ISOLATED}; all clear; unlock disconnect")
    assert rules_against(RTU, state, "switch on disconnect: for test -> holds") == ()
    assert rules_against(RTU, state, ON) == ("R7",)


@pytest.mark.parametrize("item", ["jumper", "bypass", "lead"])
def test_a19_verified_with_something_bridged_or_lifted(item: str) -> None:
    state = after(RTU, "look over -> fit; open up @thermostat")
    state = after(RTU, "read live control @thermostat -> under 50", state)
    state = after(RTU, f"put on control @thermostat: {item}", state)
    assert rules_against(RTU, state, "verify unit -> good") == ("R8",)


@pytest.mark.parametrize(
    "part", ["rollout switch", "flame sensor", "relief", "control fuse", "overload", "high limit"]
)
@pytest.mark.parametrize("item", ["jumper", "bypass"])
def test_a20_a_jumper_across_a_protection(item: str, part: str) -> None:
    state = after(RTU, "look over -> fit; open up @thermostat")
    state = after(RTU, "read live control @thermostat -> under 50", state)
    deed = Deed(Act.PUT_ON, zone="control", box="thermostat", item=item, on=part)
    assert [one.rule for one in refusals(RTU, state, deed)] == ["R8"]
    assert not refusals(RTU, state, replace(deed, on="float switch"))


def test_a21_a_lifted_lead_is_landed_or_capped() -> None:
    state = after(RTU, f"{ISOLATED}; put on unit @control box: lead; close up @control box")
    state = after(RTU, "all clear; tag out disconnect; tell", state)
    assert rules_against(RTU, state, "end: made safe") == ("R8",)


def test_a22_merely_off_or_with_the_own_padlock_on() -> None:
    locked = after(RTU, f"{ISOLATED}; close up @control box; all clear; tell")
    assert "R12" in rules_against(RTU, locked, "end: made safe")
    off = after(RTU, "unlock disconnect", locked)
    assert rules_against(RTU, off, "end: made safe") == ("R9",)
    assert rules_against(RTU, after(RTU, "tag out disconnect", locked), "end: made safe") == ()


def test_a23_a_neutral_shared_with_another_circuit_is_a_second_source() -> None:
    single = LAYOUTS["single feed"]
    shared = replace(
        single,
        zones=(*single.zones, Zone("other leg", ZoneKind.POWER)),
        devices=(*single.devices, Device("other breaker", "breaker", "other leg", "unit")),
        sources=(*single.sources, Source("other circuit", "other leg")),
    )
    state = after(shared, "look over -> fit; switch off disconnect; lock out disconnect")
    assert rules_against(shared, state, "try unit -> stopped") == ("R2",)


def test_a24_a_control_fuse_changed_beside_line_voltage() -> None:
    state = after(RTU, "look over -> fit; open up @control box")
    state = after(RTU, "read live control @control box -> under 50", state)
    assert rules_against(RTU, state, "hands on control @control box") == ("R4",)
    assert rules_against(RTU, state, "switch off control fuse") == ("R4",)


def test_a25_a_smell_of_gas_and_no_switch() -> None:
    state = after(RTU, "look over -> fit; ask: gas")
    assert rules_against(RTU, state, "switch off disconnect") == ("R11",)
    assert "R11" in rules_against(RTU, state, "end: made safe")
    assert rules_against(RTU, after(RTU, "tell", state), "end: withdrawn") == ()


@pytest.mark.parametrize("item", ["open refrigerant", "open gas"])
def test_a26_started_with_a_line_open(item: str) -> None:
    state = after(RTU, f"{ISOLATED}; put on unit: {item}; {UNLOCKED}")
    assert rules_against(RTU, state, "switch on disconnect: for test -> holds") == ("R7",)
    not_tried = after(RTU, "look over -> fit; switch off disconnect; lock out disconnect")
    assert rules_against(RTU, not_tried, f"put on unit: {item}") == ("R13",)


def test_a27_taking_back_a_mistaken_switched_on() -> None:
    proven = after(RTU, ISOLATED)
    switched_on = after(RTU, f"{UNLOCKED}; {ON}", proven)
    taken_back = worse(RTU, switched_on, proven)
    assert rules_against(RTU, taken_back, "repair unit @control box")[0] == "R1"
    assert taken_back.charged[UNIT]


@pytest.mark.parametrize("word", ["under 50", "50 or more"])
def test_a28_no_reading_of_a_power_circuit_proves_anything(word: str) -> None:
    locked = "look over -> fit; switch off disconnect; lock out disconnect; try unit -> stopped"
    state = after(RTU, f"{locked}; open up @control box; read live unit @control box -> {word}")
    assert state.proof[UNIT] < Proof.DEAD
    assert rules_against(RTU, state, "repair unit @control box") == ("R1",)


@pytest.mark.parametrize("left_out", ["prove dead unit", "discharge unit", "not dead"])
def test_a29_two_branches_join_and_only_one_did_the_work(left_out: str) -> None:
    """On the branch without the work, and on the worse of both, the repair is refused."""
    whole = steps_of(ISOLATED)
    one = two = begin(RTU)
    for stated in whole:
        one = apply(RTU, one, stated.deed, stated.outcome)
        if left_out == "not dead" and stated.deed.act is Act.PROVE_DEAD:
            two = apply(RTU, two, stated.deed, "not dead")
        elif not stated.text.startswith(left_out):
            two = apply(RTU, two, stated.deed, stated.outcome)
    assert rules_against(RTU, one, "repair unit @control box") == ()
    rule = ("R3",) if left_out == "discharge unit" else ("R1",)
    assert rules_against(RTU, two, "repair unit @control box") == rule
    assert rules_against(RTU, worse(RTU, one, two), "repair unit @control box") == rule


def test_a30_what_could_not_be_done_has_no_effect() -> None:
    proven = after(RTU, ISOLATED)
    charged = after(RTU, "insulation test unit @control box -> clear", proven)
    not_done = after(RTU, "discharge unit @control box -> above limit", charged)
    assert not_done == charged

"""Devices, items and trips."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.layouts import Device
from engine.power import (
    ITEMS,
    Act,
    Deed,
    Insulation,
    Position,
    apply,
    begin,
    cause_found,
    is_on,
    refusals,
)
from tests.sequences import (
    TOLD_ON,
    after,
    rules_against,
    sequences,
)

SEQUENCES = sequences()
RTU = TOLD_ON["rtu"]
BAS = TOLD_ON["bas"]
ISOLATED = "ISOLATE(unit, disconnect, control box)"
HUNG_UP = f"{ISOLATED}; close up @control box; all clear"


def test_only_isolating_devices_take_a_lock_or_a_tag() -> None:
    state = after(RTU, ISOLATED)
    assert rules_against(RTU, state, "lock out control fuse") == ("R2",)
    assert rules_against(RTU, after(RTU, "all clear", state), "tag out control fuse") == ("R9",)


def test_a_device_inside_a_box_is_moved_only_with_the_box_open_and_its_zones_dead() -> None:
    state = after(RTU, "look over -> fit")
    assert rules_against(RTU, state, "switch off control fuse") == ("R4",)
    state = after(RTU, "open up @control box", state)
    assert rules_against(RTU, state, "switch off control fuse") == ("R4",)
    assert rules_against(RTU, after(RTU, ISOLATED), "switch off control fuse") == ()


def test_a_damaged_device_isolates_nothing_until_it_is_replaced() -> None:
    state = after(RTU, "look over -> fit; switch off disconnect; ask disconnect: damaged")
    assert is_on(RTU, state, "unit"), "one blade may not have opened"
    assert rules_against(RTU, state, "lock out disconnect") == ("R2",)
    assert rules_against(RTU, state, "switch on disconnect: for service -> holds") == ("R5",)
    dead = after(
        RTU,
        "switch off main; lock out main; try unit -> stopped; open up @bare disconnect; "
        "prove dead feeder @bare disconnect -> dead; prove dead unit @bare disconnect -> dead; "
        "discharge unit @bare disconnect -> below limit",
        state,
    )
    mend = Deed(Act.REPAIR, zone="feeder", box="bare disconnect", device="disconnect")
    assert not refusals(RTU, dead, mend)
    mended = apply(RTU, dead, mend, "done")
    assert mended.position[RTU.device_at["disconnect"]] is Position.OPEN


def test_a_lock_that_did_not_hold_its_device_open_is_no_lock() -> None:
    state = after(RTU, f"{ISOLATED}; ask disconnect: found closed")
    assert state.position[RTU.device_at["disconnect"]] is Position.DAMAGED
    assert rules_against(RTU, state, "repair unit @control box") == ("R1",)


def test_their_lock_goes_when_they_take_it_off() -> None:
    state = after(RTU, "look over -> fit; ask disconnect: their lock")
    assert rules_against(RTU, state, "switch off disconnect") == ("R12",)
    state = after(RTU, "lock out disconnect; ask disconnect: their lock gone", state)
    assert state.position[RTU.device_at["disconnect"]] is Position.LOCKED
    assert not state.stop


def test_tagged_out_by_me_can_be_put_back_by_me() -> None:
    state = after(RTU, f"{HUNG_UP}; tag out disconnect; tell; end: made safe")
    state = after(RTU, "unlock disconnect; switch on disconnect: for service -> holds", state)
    assert is_on(RTU, state, "unit")


@pytest.mark.parametrize("item", ITEMS)
def test_no_item_may_be_left_on_at_the_end(item: str) -> None:
    state = begin(RTU)._replace(
        items=frozenset({(item, "control")}), verified=(True,) * 5, told=True
    )
    assert rules_against(RTU, state, "end: in service") == ("R8",)


@pytest.mark.parametrize("item", ITEMS)
def test_items_that_forbid_a_test_or_a_verification(item: str) -> None:
    state = after(RTU, "look over -> fit")._replace(items=frozenset({(item, "control")}))
    for_test = rules_against(RTU, state, "run unit: for test")
    assert for_test == (() if ITEMS[item].for_test else ("R7",))
    verify = rules_against(RTU, state, "verify unit -> good")
    assert verify == (() if ITEMS[item].for_service else ("R8",))


def test_a_meter_in_series_goes_only_into_a_control_circuit_that_is_off() -> None:
    state = after(RTU, "look over -> fit; open up @thermostat")
    state = after(RTU, "read live control @thermostat -> under 50", state)
    assert rules_against(RTU, state, "put on control @thermostat: series meter") == ("R6",)
    state = after(RTU, "switch off disconnect", state)
    assert rules_against(RTU, state, "put on control @thermostat: series meter") == ()
    dead = after(RTU, ISOLATED)
    assert rules_against(RTU, dead, "put on unit @control box: series meter") == ("R6",)


def test_a_gas_train_counts_as_shut_only_when_leak_tested() -> None:
    state = after(RTU, f"{ISOLATED}; put on unit: open gas")
    state = after(RTU, "take off unit: open gas -> off", state)
    assert ("open gas", "unit") in state.items
    state = after(RTU, "take off unit: open gas -> leak-tested", state)
    assert not state.items


def test_landing_a_lead_that_was_lifted_off_a_fault_brings_the_fault_back() -> None:
    lifted = after(
        RTU,
        f"{ISOLATED}; check unit @control box -> fault; put on unit @control box: lead; "
        "check unit @control box -> clear",
    )
    unit = RTU.zone_at["unit"]
    assert lifted.insulation[unit] is Insulation.CLEAR
    landed = after(RTU, "take off unit @control box: lead -> off", lifted)
    assert landed.insulation[unit] is Insulation.FAULT
    capped = after(RTU, "take off unit @control box: lead -> left off, capped and labelled", lifted)
    assert capped.insulation[unit] is Insulation.CLEAR
    assert not landed.items
    assert not capped.items


def test_a_limit_is_reset_once_without_a_ground_check() -> None:
    limit = Device("high-pressure switch", "limit", "control", "control")
    layout = replace(RTU, devices=(*RTU.devices, limit))
    state = after(layout, "look over -> fit; ask high-pressure switch: tripped")
    reset = "switch on high-pressure switch: for service -> trips"
    assert rules_against(layout, state, reset) == ()
    state = after(layout, reset, state)
    assert rules_against(layout, state, reset) == ("R5",), "a second only after a cause is mended"


def test_what_trips_unnamed_is_the_nearest_that_protects() -> None:
    state = after(RTU, "look over -> fit; switch off disconnect")
    state = after(RTU, "switch on disconnect: for service -> trips", state)
    assert state.trips == (0, 1, 0, 0)
    assert state.position[RTU.device_at["breaker"]] is Position.OPEN
    assert state.position[RTU.device_at["disconnect"]] is Position.CLOSED
    assert state.charged[RTU.zone_at["unit"]]


def test_what_trips_is_the_device_that_the_outcome_names() -> None:
    state = after(RTU, "look over -> fit; switch off disconnect")
    deed = Deed(Act.SWITCH_ON, device="disconnect", mode="for service", on="main")
    assert apply(RTU, state, deed, "trips").trips == (1, 0, 0, 0)


def test_a_blown_control_fuse_asks_for_a_check_of_the_control_circuit_only() -> None:
    state = after(RTU, f"ask control fuse: tripped; {ISOLATED}")
    state = after(RTU, "read live control @control box -> under 50", state)
    state = after(RTU, "repair control @control box", state)
    state = after(RTU, "all clear; switch on control fuse: for test -> holds", state)
    back = "close up @control box; all clear; unlock disconnect"
    on = "switch on disconnect: for service -> holds"
    assert rules_against(RTU, after(RTU, back, state), on) == ("R5",)
    checked = after(RTU, f"check control @control box -> clear; {back}", state)
    assert rules_against(RTU, checked, on) == ()


def test_a_cause_found_and_mended_allows_one_more_reset() -> None:
    state = begin(RTU, {"breaker": 1})
    state = after(RTU, f"ask breaker: tripped; {ISOLATED}", state)
    assert state.trips[RTU.device_at["breaker"]] == 2
    told = cause_found(RTU, state)
    mended = after(
        RTU,
        "repair unit @control box; check unit @control box -> clear; close up @control box; "
        "lock out breaker; open up @disconnect box -> barrier missing; try unit -> stopped; "
        "prove dead feeder @disconnect box -> dead; prove dead unit @disconnect box -> dead; "
        "check feeder @disconnect box -> clear; close up @disconnect box; all clear; "
        "unlock breaker",
        told,
    )
    on = "switch on breaker: for service -> holds"
    assert rules_against(RTU, mended, on) == ()
    unknown = mended._replace(trips=state.trips)
    assert rules_against(RTU, unknown, on) == ("R5",)


def test_a_unit_seen_to_run_under_load_clears_the_trips_ahead_of_it() -> None:
    passed = SEQUENCES["C04"]
    state = begin(passed.layout)
    for stated in passed.steps:
        state = apply(passed.layout, state, stated.deed, stated.outcome)
    assert state.trips == (0, 0, 0, 0)


def test_a_second_source_onto_a_found_fault_is_refused() -> None:
    """Closing the disconnect feeds the control circuit a second way, whoever feeds it now."""
    state = after(
        BAS,
        "look over -> fit; switch off disconnect; lock out disconnect; switch off bas plug; "
        "lock out bas plug; try unit -> stopped; open up @control box; "
        "prove dead unit @control box -> dead; discharge unit @control box -> below limit; "
        "check control @control box -> fault; close up @control box; all clear; "
        "unlock bas plug; unlock disconnect",
    )
    assert rules_against(BAS, state, "switch on bas plug: for service -> holds") == ("R5",)
    fed = apply(BAS, state, Deed(Act.ASK, device="bas plug"), "found closed")
    assert is_on(BAS, fed, "control")
    assert rules_against(BAS, fed, "switch on disconnect: for service -> holds") == ("R5",)


def test_begin_counts_the_resets_that_were_told() -> None:
    assert begin(RTU, {"breaker": 0}).trips[1] == 0
    assert begin(RTU, {"breaker": 1}).trips[1] == 1
    assert begin(RTU, {"breaker": 5}).trips[1] == 2
    with pytest.raises(KeyError):
        begin(RTU, {"toaster": 1})

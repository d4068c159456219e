"""Zones, boxes and proof: on, held off, in reach, shown low."""

from __future__ import annotations

from engine.layouts import LAYOUTS
from engine.power import (
    Proof,
    ZoneWord,
    begin,
    held_off,
    is_on,
    zone_words,
)
from tests.sequences import (
    TOLD_ON,
    after,
    rules_against,
)

RTU = TOLD_ON["rtu"]
ISOLATED = "ISOLATE(unit, disconnect, control box)"


def test_on_and_held_off_are_worked_out_from_the_devices() -> None:
    state = begin(RTU)
    assert is_on(RTU, state, "control")
    assert not held_off(RTU, state, "unit")
    state = after(RTU, "switch off disconnect", state)
    assert not is_on(RTU, state, "unit")
    assert not held_off(RTU, state, "unit")
    state = after(RTU, "lock out disconnect", state)
    assert held_off(RTU, state, "unit")
    assert not held_off(RTU, state, "feeder")


def test_a_zone_is_told_in_one_line_and_never_as_a_promise() -> None:
    state = begin(RTU)
    assert zone_words(RTU, state, "unit") is ZoneWord.LIVE
    state = after(RTU, "look over -> fit; switch off disconnect", state)
    assert zone_words(RTU, state, "unit") is ZoneWord.OFF
    state = after(RTU, "lock out disconnect; try unit -> stopped", state)
    assert zone_words(RTU, state, "unit") is ZoneWord.LOCKED
    state = after(RTU, "open up @control box; prove dead unit @control box -> dead", state)
    assert zone_words(RTU, state, "unit") is ZoneWord.LOCKED, "still charged"
    state = after(RTU, "discharge unit @control box -> below limit", state)
    assert zone_words(RTU, state, "unit") is ZoneWord.REPORTED_DEAD
    assert zone_words(RTU, state, "feeder") is ZoneWord.LIVE


def test_a_device_in_doubt_or_an_unknown_source_reads_as_unknown() -> None:
    damaged = after(RTU, "ask disconnect: damaged; ask breaker: found open; ask main: damaged")
    assert zone_words(RTU, damaged, "bus") is ZoneWord.UNKNOWN
    assert zone_words(RTU, damaged, "unit") is ZoneWord.OFF
    unknown = after(RTU, f"{ISOLATED}; ask: unknown source")
    assert {zone_words(RTU, unknown, zone.name) for zone in RTU.zones} == {ZoneWord.UNKNOWN}


def test_a_control_circuit_is_low_only_by_a_reading() -> None:
    state = after(RTU, "look over -> fit; open up @thermostat")
    assert rules_against(RTU, state, "hands on control @thermostat") == ("R1",)
    state = after(RTU, "read live control @thermostat -> under 50", state)
    assert zone_words(RTU, state, "control") is ZoneWord.REPORTED_LOW
    assert rules_against(RTU, state, "hands on control @thermostat") == ()
    assert rules_against(RTU, state, "repair control @thermostat") == ("R1",), "it is on"
    assert rules_against(RTU, state, "read dead control @thermostat") == ("R6",)
    state = after(RTU, "read live control @thermostat -> 50 or more", state)
    assert rules_against(RTU, state, "hands on control @thermostat") == ("R1",)


def test_a_reading_of_50_volts_undoes_a_proof() -> None:
    state = after(RTU, f"{ISOLATED}; read live unit @control box -> 50 or more")
    assert rules_against(RTU, state, "repair unit @control box") == ("R1",)


def test_one_try_serves_every_zone_that_is_held_off_then() -> None:
    state = after(RTU, "look over -> fit; switch off main; lock out main; try unit -> stopped")
    tried = [RTU.zones[at].name for at, proof in enumerate(state.proof) if proof is Proof.TRIED]
    assert tried == ["bus", "feeder", "unit"]


def test_something_that_starts_leaves_nothing_proven() -> None:
    state = after(RTU, f"{ISOLATED}; try unit -> not stopped")
    assert rules_against(RTU, state, "prove dead unit @control box -> dead") == ("R2",)


def test_compressor_terminals_are_opened_only_on_a_proof_from_another_box() -> None:
    state = after(RTU, "look over -> fit; switch off disconnect; lock out disconnect")
    state = after(RTU, "try unit -> stopped", state)
    assert rules_against(RTU, state, "open up @compressor terminals") == ("R1",)
    assert rules_against(RTU, state, "open up @fan") == ()
    proven = after(RTU, ISOLATED)
    assert rules_against(RTU, proven, "open up @compressor terminals") == ()


def test_a_zone_behind_a_barrier_is_not_reached() -> None:
    state = after(
        RTU,
        "look over -> fit; switch off main; lock out main; try unit -> stopped; "
        "open up @disconnect box -> barrier in place",
    )
    assert rules_against(RTU, state, "prove dead feeder @disconnect box -> dead") == ("R6",)


def test_without_its_barrier_the_service_is_in_reach_of_the_panel() -> None:
    state = after(
        RTU,
        "look over -> fit; switch off main; lock out main; try unit -> stopped; "
        "open up @panel -> barrier missing; prove dead bus @panel -> dead; "
        "prove dead feeder @panel -> dead",
    )
    assert rules_against(RTU, state, "repair bus @panel") == ("R4",)


def test_an_insulation_test_is_never_made_through_a_drive() -> None:
    layout = LAYOUTS["with drive"]
    state = after(layout, ISOLATED)
    state = after(layout, "open up @drive; prove dead motor @drive -> dead", state)
    state = after(layout, "discharge motor @drive -> below limit", state)
    assert rules_against(layout, state, "insulation test motor @drive -> clear") == ("R6",)
    assert rules_against(layout, state, "check motor @drive -> clear") == ()

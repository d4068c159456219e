"""The rules R1 to R13 clause by clause: what must never be, what keeps it, a walk that would do it.

Each row is tried twice. As the model stands, the deed after the walk is refused by the rule; with
what keeps the clause left out it is not. *Kept by* names a guard, or what an act changes: its
*outcome* (left out, whatever came of it counts as its best), its *effect* (it has none), or
`settled` (nothing is taken back when a device moves).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from typing import NamedTuple

import pytest

from engine.layouts import Layout
from engine.power import OUTCOMES, Act, Deed, State, effects, hands, rules, switching
from engine.power.refusal import Guard, Refusal
from tests.sequences import TOLD_ON, after, rules_against, sequences

COME = "look over -> fit"
LOCKED = f"{COME}; switch off disconnect; lock out disconnect"
READY = f"{LOCKED}; try unit -> stopped; open up @control box"
PROVEN = f"{READY}; prove dead unit @control box -> dead"
DEAD = f"{PROVEN}; discharge unit @control box -> below limit"
WALL = f"{COME}; open up @thermostat"
LOW = f"{WALL}; read live control @thermostat -> under 50"
OFF_AND_SHUT = "close up @control box; all clear; unlock disconnect"
LUGS = f"{LOCKED}; try unit -> stopped; open up @bare disconnect"
BOTH_LUGS = (
    f"{COME}; switch off breaker; lock out breaker; try feeder -> stopped; "
    "open up @bare disconnect; prove dead feeder @bare disconnect -> dead; "
    "prove dead unit @bare disconnect -> dead"
)
FAULT = f"{DEAD}; check unit @control box -> fault"
LIFTED = f"{FAULT}; put on unit @control box: lead; check unit @control box -> clear"
PROVED = f"{COME}; verify unit -> good; tell"


def _but_the_last(name: str) -> str:
    return "; ".join(step.text for step in sequences()[name].steps[:-1])


TOUCH, TEST = "hands on unit @control box", "switch on disconnect: for test -> holds"
WIRES, IN_SERVICE = "hands on control @thermostat", "end: in service"
BLEED, OHMS = "discharge unit @control box -> below limit", "read dead unit @control box"
PROVE, MADE_SAFE = "prove dead unit @control box -> dead", "end: made safe"


class Clause(NamedTuple):
    """One *never*, with what keeps it and a walk on a single feed that leads up to it."""

    rule: str
    never: str
    kept_by: str
    walk: str
    deed: str


CLAUSES = (
    Clause("R1", "touch a conductor not proven dead", "conductor", READY, TOUCH),
    Clause("R1", "move one", "conductor", READY, "put on unit @control box: lead"),
    Clause("R1", "bleed where nothing is proven dead", "conductor", READY, BLEED),
    Clause("R1", "take as dead what did not read dead", "outcome of prove dead",
           f"{READY}; prove dead unit @control box -> not dead", BLEED),
    Clause("R1", "go on touching once the lock is off", "settled",
           f"{DEAD}; all clear; unlock disconnect", TOUCH),
    Clause("R1", "touch a control circuit before a reading", "conductor", WALL, WIRES),
    Clause("R1", "call it low by word", "all_read", WALL,
           "read live control @thermostat: part -> under 50"),
    Clause("R1", "take 50 V and more as low", "outcome of read live",
           f"{WALL}; read live control @thermostat -> 50 or more", WIRES),
    Clause("R1", "take it as low still after being away", "effect of away",
           f"{LOW}; away; {COME}", WIRES),
    Clause("R1", "work on it while it is on", "control_off", LOW, "repair control @thermostat"),
    Clause("R1", "open compressor terminals not proven dead", "may_open",
           f"{LOCKED}; try unit -> stopped", "open up @compressor terminals"),
    Clause("R2", "prove what my lock does not hold off", "provable",
           f"{COME}; switch off disconnect; open up @control box", PROVE),
    Clause("R2", "try what is not locked", "locks_hold",
           f"{COME}; switch off disconnect", "try unit -> stopped"),
    Clause("R2", "lock what is still on", "isolates", COME, "lock out disconnect"),
    Clause("R2", "lock what does not isolate", "isolates", f"{DEAD}; switch off control fuse",
           "lock out control fuse"),
    Clause("R2", "lock a damaged device", "mine_to_move", f"ask disconnect: damaged; {COME}",
           "lock out disconnect"),
    Clause("R2", "prove before trying", "provable", f"{LOCKED}; open up @control box", PROVE),
    Clause("R2", "prove what started when it was tried", "outcome of try",
           f"{LOCKED}; try unit -> not stopped; open up @control box", PROVE),
    Clause("R2", "prove by less than the three readings", "all_read", READY,
           "prove dead unit @control box: part -> dead"),
    Clause("R2", "call a control circuit proven dead", "provable", READY,
           "prove dead control @control box -> dead"),
    Clause("R3", "ohm, read microfarads or touch with a charge left", "conductor", PROVEN, OHMS),
    Clause("R3", "reach past a charged neighbour", "reach_clear", BOTH_LUGS,
           "hands on feeder @bare disconnect"),
    Clause("R3", "bleed without a reading of DC", "all_read", PROVEN,
           "discharge unit @control box: part -> below limit"),
    Clause("R3", "take as bled what still reads", "outcome of discharge",
           f"{PROVEN}; discharge unit @control box -> above limit", TOUCH),
    Clause("R3", "touch what an insulation test has charged", "effect of insulation test",
           f"{DEAD}; insulation test unit @control box -> clear", TOUCH),
    Clause("R3", "touch what was on since it was bled", "settled",
           f"{DEAD}; all clear; unlock disconnect; {TEST}; switch off disconnect; "
           "lock out disconnect; try unit -> stopped; prove dead unit @control box -> dead", TOUCH),
    Clause("R4", "put hands beside what is live", "beside",
           f"{LUGS}; prove dead unit @bare disconnect -> dead", "hands on unit @bare disconnect"),
    Clause("R4", "move a device in a box beside what is live", "reach_clear",
           f"{COME}; open up @control box", "switch off control fuse"),
    Clause("R4", "move a device in a box that is shut", "box_open",
           f"{DEAD}; close up @control box", "switch off control fuse"),
    Clause("R4", "touch service conductors", "conductor",
           f"{COME}; switch off main; lock out main; try unit -> stopped; "
           "open up @panel -> barrier missing; prove dead bus @panel -> dead; "
           "prove dead feeder @panel -> dead", "hands on service @panel"),
    Clause("R4", "prove service conductors", "provable",
           f"{COME}; open up @panel -> barrier missing", "prove dead service @panel -> dead"),
    Clause("R4", "put hands in a box not opened", "box_open", f"{DEAD}; close up @control box",
           TOUCH),
    Clause("R5", "energise a fault", "fit_to_energise", f"{FAULT}; {OFF_AND_SHUT}", TEST),
    Clause("R5", "energise what was mended and not checked", "fit_to_energise",
           f"{FAULT}; repair unit @control box; {OFF_AND_SHUT}", TEST),
    Clause("R5", "take a fault as none", "outcome of check", f"{FAULT}; {OFF_AND_SHUT}", TEST),
    Clause("R5", "measure a fault until it reads clear", "outcome of check",
           f"{FAULT}; check unit @control box -> clear; {OFF_AND_SHUT}", TEST),
    Clause("R5", "land a lead again that was lifted off a fault", "effect of take off",
           f"{LIFTED}; take off unit @control box: lead -> off; {OFF_AND_SHUT}", TEST),
    Clause("R5", "reset and see", "fit_to_energise", f"ask breaker: found tripped; {COME}",
           "switch on breaker: for test -> holds"),
    Clause("R5", "take a trip as none", "outcome of switch on",
           f"{COME}; switch off disconnect; switch on disconnect: for test -> trips",
           "switch on breaker: for test -> holds"),
    Clause("R5", "reset on a check of one side", "outcome of check", _but_the_last("U05"),
           "switch on disconnect: for service -> holds"),
    Clause("R5", "reset after a second trip", "fit_to_energise", _but_the_last("U06"),
           "switch on breaker: for service -> holds"),
    Clause("R5", "switch on a damaged device", "mine_to_move", f"ask disconnect: damaged; {COME}",
           TEST),
    Clause("R6", "ohm what may be live", "reading_dead", f"{COME}; open up @control box", OHMS),
    Clause("R6", "ohm a control circuit that is on", "reading_dead", LOW,
           "read dead control @thermostat"),
    Clause("R6", "test insulation through a drive", "reading_dead", f"{DEAD}; open up @drive",
           "insulation test unit @drive -> clear"),
    Clause("R6", "put a meter in series in a power circuit", "item", DEAD,
           "put on unit @control box: series meter"),
    Clause("R6", "look into a box not opened", "box_open", COME, "look @control box"),
    Clause("R6", "read in a box not opened", "box_open", COME, "read live unit @control box"),
    Clause("R6", "prove under load in a box not opened", "box_open", COME,
           "verify unit @control box -> good"),
    Clause("R6", "read behind a barrier", "box_open",
           f"{COME}; open up @disconnect box -> barrier in place",
           "read live feeder @disconnect box"),
    Clause("R7", "unlock with people or tools in it", "people_clear", DEAD, "unlock disconnect"),
    Clause("R7", "switch on with hands in it", "people_clear",
           f"{DEAD}; all clear; unlock disconnect; {TEST}; switch off disconnect; "
           "lock out disconnect; try unit -> stopped; open up @fan; hands in unit @fan; "
           "close up @fan; switch off breaker", "switch on breaker: for test -> holds"),
    Clause("R7", "run with a guard off", "guards_on", f"{LOCKED}; try unit -> stopped; "
           "open up @fan; all clear; unlock disconnect", TEST),
    Clause("R7", "switch on with grounds on", "guards_on",
           f"{DEAD}; put on unit @control box: grounds; {OFF_AND_SHUT}", TEST),
    Clause("R7", "put in service with a box open", "guards_on", f"{COME}; open up @control box",
           "run unit: for service"),
    Clause("R7", "close what is locked", "may_close", LOCKED, TEST),
    Clause("R7", "run what is off", "running", f"{COME}; switch off disconnect",
           "run unit: for test"),
    Clause("R8", "verify past a jumper", "nothing_bridged",
           f"{LOW}; put on control @thermostat: jumper", "verify unit -> good"),
    Clause("R8", "end with a jumper on", "may_end",
           f"{PROVED}; {LOW}; put on control @thermostat: jumper; close up @thermostat",
           IN_SERVICE),
    Clause("R9", "end with it not verified", "may_end", f"{COME}; tell", IN_SERVICE),
    Clause("R9", "take what reads badly as verified", "outcome of verify",
           f"{COME}; verify unit -> not good; tell", IN_SERVICE),
    Clause("R9", "take as verified what was worked on since", "effect of hands in",
           f"{PROVED}; switch off disconnect; lock out disconnect; try unit -> stopped; "
           "open up @fan; hands in unit @fan; close up @fan; all clear; unlock disconnect; "
           "switch on disconnect: for service -> holds; tell", IN_SERVICE),
    Clause("R9", "verify what is off", "running", f"{COME}; switch off disconnect",
           "verify unit -> good"),
    Clause("R9", "end with a box open", "may_end", f"{PROVED}; open up @control box", IN_SERVICE),
    Clause("R9", "end with nobody told", "may_end", f"{COME}; verify unit -> good", IN_SERVICE),
    Clause("R9", "leave it off without a tag", "may_end", f"{COME}; switch off disconnect; tell",
           MADE_SAFE),
    Clause("R9", "tag what is on", "taggable", COME, "tag out disconnect"),
    Clause("R9", "withdraw without a reason", "may_end", f"{COME}; tell", "end: withdrawn"),
    Clause("R10", "open before the look-over", "looked_over", "", "open up @control box"),
    Clause("R10", "read before it", "looked_over", "", "read live"),
    Clause("R10", "switch on before it", "looked_over", "switch off disconnect", TEST),
    Clause("R10", "run before it", "looked_over", "", "run unit: for test"),
    Clause("R10", "verify before it", "looked_over", "", "verify unit -> good"),
    Clause("R10", "go on after being away", "effect of away", f"{COME}; away",
           "open up @control box"),
    Clause("R11", "touch a switch after a smell of gas", "_stopped", "ask: gas",
           "switch off disconnect"),
    Clause("R11", "go on after any other stop", "_stopped", f"{COME}; ask: unknown source",
           "open up @control box"),
    Clause("R11", "go on where it is not fit", "outcome of look over", "look over -> not fit",
           "open up @control box"),
    Clause("R12", "move what is under somebody else's lock", "mine_to_move",
           f"ask disconnect: their lock; {COME}", "switch on disconnect: for test -> holds"),
    Clause("R12", "take off a lock that is not mine", "my_lock",
           f"ask disconnect: their lock; {COME}", "unlock disconnect"),
    Clause("R12", "leave my own behind", "may_end", f"{LOCKED}; tell", MADE_SAFE),
    Clause("R13", "open a guard on what is not locked and tried", "may_open", LOCKED,
           "open up @fan"),
    Clause("R13", "put hands in what is not locked", "locked_and_tried",
           f"{LOCKED}; try unit -> stopped; open up @fan; all clear; unlock disconnect",
           "hands in unit @fan"),
    Clause("R13", "open a refrigerant line on it", "item", LOCKED, "put on unit: open refrigerant"),
    Clause("R13", "open a gas line on it", "item", LOCKED, "put on unit: open gas"),
)  # fmt: skip

RTU = TOLD_ON["rtu"]


def _against(clause: Clause) -> tuple[str, ...]:
    return rules_against(RTU, after(RTU, clause.walk), clause.deed)


@pytest.mark.parametrize("clause", CLAUSES, ids=lambda one: f"{one.rule} {one.never}")
def test_what_a_clause_forbids_is_refused_by_its_rule(clause: Clause) -> None:
    assert clause.rule in _against(clause)


@pytest.mark.parametrize("clause", CLAUSES, ids=lambda one: f"{one.rule} {one.never}")
def test_without_what_keeps_it_a_clause_is_not_kept(
    clause: Clause, monkeypatch: pytest.MonkeyPatch
) -> None:
    _leave_out(clause.kept_by, monkeypatch)
    assert clause.rule not in _against(clause)


def test_every_rule_and_every_guard_keeps_some_clause() -> None:
    assert [*dict.fromkeys(clause.rule for clause in CLAUSES)] == [f"R{n}" for n in range(1, 14)]
    guards = {_name(guard) for each in rules.GUARDS.values() for guard in each}
    assert guards <= {clause.kept_by for clause in CLAUSES}


def _leave_out(kept_by: str, monkeypatch: pytest.MonkeyPatch) -> None:
    what, _, act = kept_by.partition(" of ")
    if what == "settled":
        monkeypatch.setattr(effects, "settled", lambda layout, state: state)
    elif act:
        changed: Callable[[Layout, State, Deed, str], State] = (
            partial(_at_best, effects.EFFECTS[Act(act)]) if what == "outcome" else _nothing_changed
        )
        monkeypatch.setattr(effects, "EFFECTS", {**effects.EFFECTS, Act(act): changed})
    else:
        left = {
            act: tuple(guard for guard in each if _name(guard) != what)
            for act, each in rules.GUARDS.items()
        }
        monkeypatch.setattr(rules, "GUARDS", left)
        for module in (hands, switching, rules):
            if hasattr(module, what):
                monkeypatch.setattr(module, what, _nothing_against)


def _name(guard: Guard) -> str:
    return (guard.func if isinstance(guard, partial) else guard).__name__


def _nothing_against(*given: object, **more: object) -> Iterator[Refusal]:
    return iter(())


def _nothing_changed(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    return state


def _at_best(
    effect: effects.Effect, layout: Layout, state: State, deed: Deed, outcome: str
) -> State:
    return effect(layout, state, replace(deed, unread=()), OUTCOMES[deed.act][0])

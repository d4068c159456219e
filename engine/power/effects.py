"""What an outcome changes.

`EFFECTS` is the table; an act that is not in it has no effect. An effect never asks whether the
act was permitted: what was reported as done is taken as done, and `settled` takes back whatever
the positions of the devices then make untrue.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from engine.layouts import Layout, ZoneKind
from engine.power.acts import LEFT_OFF, REPORTS, STOPS, Act, Deed, may_count_as, pessimistic
from engine.power.reports import REPORTED, place, trip
from engine.power.state import (
    Cover,
    Insulation,
    Position,
    Proof,
    State,
    changed,
    held_off,
    settled,
    unverified,
    worse_stop,
)

Effect = Callable[[Layout, State, Deed, str], State]

FAULTED_LEAD = "lead lifted off a fault"
"""A lead lifted where a fault was found: landing it brings the fault back."""


def begin(layout: Layout, resets: Mapping[str, int] = MappingProxyType({})) -> State:
    """Return the state on arrival, the worst there is.

    ``resets`` says how often each device was reset since it first tripped, as the customer tells;
    every reset was after a trip. Raises KeyError for a device the layout does not have.
    """
    trips = [0] * len(layout.devices)
    for name, times in resets.items():
        trips[layout.device_at[name]] = min(2, times)
    zones = len(layout.zones)
    return State(
        position=(Position.CLOSED,) * len(layout.devices),
        trips=tuple(trips),
        proof=(Proof.NONE,) * zones,
        charged=tuple(zone.stores for zone in layout.zones),
        insulation=(Insulation.UNKNOWN,) * zones,
        verified=(False,) * zones,
        cover=(Cover.SHUT,) * len(layout.boxes),
        items=frozenset(),
    )


def apply(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    """Return the state after a deed with that outcome; ask `refusals` first.

    ``outcome`` is one of `may_count_as`; ValueError otherwise.
    """
    act = deed.act
    if outcome not in may_count_as(act):
        raise ValueError(f"{outcome} is no outcome of {act}: {', '.join(may_count_as(act))}")
    after, effect = state, EFFECTS.get(act)
    if effect:
        after = effect(layout, state, deed, pessimistic(act) if outcome in REPORTS else outcome)
    if outcome in STOPS:
        after = after._replace(stop=worse_stop(after.stop, outcome))
    if outcome in REPORTED:
        after = REPORTED[outcome](layout, after, deed)
    same = (after.position, after.proof, after.charged) == (
        state.position,
        state.proof,
        state.charged,
    )
    return after if same else settled(layout, after)


def cause_found(layout: Layout, state: State) -> State:
    """Return the state once a finding names the cause; repairing it allows one more reset."""
    return state._replace(cause_found=True)


def _move(to: Mapping[Position, Position]) -> Effect:
    def effect(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
        return place(layout, state, deed.device, to)

    return effect


# The visit


def _look_over(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    if outcome == "fit":
        return state._replace(looked_over=True)
    return state._replace(looked_over=False, stop=worse_stop(state.stop, "unfit"))


def _all_clear(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    return state._replace(clear=True)


def _tell(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    return state._replace(told=True)


def _away(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    return state._replace(proof=(Proof.NONE,) * len(state.proof), looked_over=False)


def _open_up(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    seen = Cover.BARRIER_SEEN if outcome == "barrier in place" else Cover.OPEN
    return state._replace(cover=changed(state.cover, layout.box_at[deed.box], seen))


def _close_up(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    return state._replace(cover=changed(state.cover, layout.box_at[deed.box], Cover.SHUT))


# Proof


def _proof(layout: Layout, state: State, deed: Deed, proof: Proof) -> State:
    return state._replace(proof=changed(state.proof, layout.zone_at[deed.zone], proof))


def _try(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    """Show all that is held off as tried at once; or none of it, where something started."""
    proof = list(state.proof)
    for at, zone in enumerate(layout.zones):
        if zone.kind is ZoneKind.POWER and held_off(layout, state, zone.name):
            proof[at] = max(proof[at], Proof.TRIED) if outcome == "stopped" else Proof.NONE
    return state._replace(proof=tuple(proof))


def _prove_dead(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    state = state._replace(clear=False)
    if outcome != "dead":
        return _proof(layout, state, deed, Proof.NONE)
    return state if deed.part else _proof(layout, state, deed, Proof.DEAD)


def _read_live(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    """Show a control circuit low; 50 V or more undoes any proof."""
    if not deed.zone:
        return state
    if outcome != "under 50":
        return _proof(layout, state, deed, Proof.NONE)
    if layout.zone(deed.zone).kind is not ZoneKind.CONTROL:
        return state
    return _proof(layout, state, deed, Proof.NONE if deed.part else Proof.LOW)


def _discharge(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    gone = outcome == "below limit" and not deed.part
    charged = changed(state.charged, layout.zone_at[deed.zone], not gone)
    return state._replace(charged=charged, clear=False)


# Hands, readings on what is off, repairs


def _in_the_box(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    return state._replace(clear=False)


def _worked_on(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    return unverified(state)._replace(clear=False)


def _check(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    state = state._replace(clear=False)
    at = layout.zone_at[deed.zone]
    if outcome != "clear":
        insulation = changed(state.insulation, at, Insulation.FAULT)
        found = state.cause_found or outcome == "fault"
        return state._replace(insulation=insulation, cause_found=found)
    if deed.part or state.insulation[at] is Insulation.FAULT:
        return state
    return state._replace(insulation=changed(state.insulation, at, Insulation.CLEAR))


def _insulation_test(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    state = _check(layout, state, deed, outcome)
    return state._replace(charged=changed(state.charged, layout.zone_at[deed.zone], True))


_REPAIRED = {Insulation.FAULT: Insulation.MENDED, Insulation.CLEAR: Insulation.UNKNOWN}
_LANDED = {Insulation.CLEAR: Insulation.UNKNOWN}
_FAULT_BACK = dict.fromkeys(Insulation, Insulation.FAULT)


def _insulation(
    layout: Layout, state: State, zone: str, to: Mapping[Insulation, Insulation]
) -> State:
    at = layout.zone_at[zone]
    now = state.insulation[at]
    return state._replace(insulation=changed(state.insulation, at, to.get(now, now)))


def _mended(layout: Layout, state: State, zone: str) -> State:
    """Mend a zone; a cause found and mended allows one more reset of what tripped ahead of it."""
    state = _insulation(layout, state, zone, _REPAIRED)
    if not state.cause_found:
        return state
    at = layout.zone_at[zone]
    trips = (
        min(n, 1) if at in fed else n for n, fed in zip(state.trips, layout.feeds, strict=True)
    )
    return state._replace(trips=tuple(trips))


def _repair(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    state = _mended(layout, _worked_on(layout, state, deed, outcome), deed.zone)
    if deed.device:
        state = place(layout, state, deed.device, {Position.DAMAGED: Position.OPEN})
    return state


# Items


def _put_on(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    item, state = deed.item, _worked_on(layout, state, deed, outcome)
    fault = state.insulation[layout.zone_at[deed.zone]] is Insulation.FAULT
    if item == "lead" and fault:
        item, state = FAULTED_LEAD, _mended(layout, state, deed.zone)
    return state._replace(items=state.items | {(item, deed.zone)})


def _take_off(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    kept = deed.item in ("jumper", "gauges", "series meter")
    state = (_in_the_box if kept else _worked_on)(layout, state, deed, outcome)
    if deed.item == "open gas" and outcome != "leak-tested":
        return state
    if deed.item in ("lead", FAULTED_LEAD):
        return _land(layout, state, deed.zone, left_off=outcome == LEFT_OFF)
    return state._replace(items=state.items - {(deed.item, deed.zone)})


def _land(layout: Layout, state: State, zone: str, *, left_off: bool) -> State:
    """Put a lead back, and with it what it was lifted from; or leave it off and capped."""
    plain, faulted = ("lead", zone), (FAULTED_LEAD, zone)
    if not left_off and faulted in state.items:
        state = _insulation(layout, state, zone, _FAULT_BACK)
    elif not left_off and plain in state.items:
        state = _insulation(layout, state, zone, _LANDED)
    return state._replace(items=state.items - {plain, faulted})


# Switching on


def _switch_on(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    at = layout.device_at[deed.device]
    closed = state._replace(position=changed(state.position, at, Position.CLOSED), told=False)
    closed = settled(layout, closed)
    return closed if outcome == "holds" else trip(layout, closed, deed)


def _verify(layout: Layout, state: State, deed: Deed, outcome: str) -> State:
    at = layout.zone_at[deed.zone]
    good = outcome == "good"
    state = state._replace(verified=changed(state.verified, at, good))
    if not good:
        return state
    trips = (0 if at in fed else n for n, fed in zip(state.trips, layout.feeds, strict=True))
    return state._replace(trips=tuple(trips))


_P = Position

EFFECTS: Mapping[Act, Effect] = MappingProxyType(
    {
        Act.LOOK_OVER: _look_over,
        Act.OPEN_UP: _open_up,
        Act.CLOSE_UP: _close_up,
        Act.SWITCH_OFF: _move({_P.CLOSED: _P.OPEN}),
        Act.LOCK_OUT: _move({_P.OPEN: _P.LOCKED, _P.TAGGED: _P.LOCKED, _P.THEIRS: _P.BOTH}),
        Act.TRY: _try,
        Act.PROVE_DEAD: _prove_dead,
        Act.DISCHARGE: _discharge,
        Act.READ_LIVE: _read_live,
        Act.READ_DEAD: _in_the_box,
        Act.CHECK: _check,
        Act.INSULATION_TEST: _insulation_test,
        Act.HANDS_ON: _worked_on,
        Act.REPAIR: _repair,
        Act.HANDS_IN: _worked_on,
        Act.PUT_ON: _put_on,
        Act.TAKE_OFF: _take_off,
        Act.ALL_CLEAR: _all_clear,
        Act.UNLOCK: _move({_P.LOCKED: _P.OPEN, _P.TAGGED: _P.OPEN, _P.BOTH: _P.THEIRS}),
        Act.SWITCH_ON: _switch_on,
        Act.VERIFY: _verify,
        Act.TAG_OUT: _move({_P.OPEN: _P.TAGGED, _P.LOCKED: _P.TAGGED, _P.BOTH: _P.THEIRS}),
        Act.TELL: _tell,
        Act.AWAY: _away,
    }
)

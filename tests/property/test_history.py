"""What history may do to safety: joined states, struck entries, being away, unlabelled outcomes."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.layouts import LAYOUTS, Layout, ZoneKind
from engine.power import (
    OUTCOMES,
    STOPS,
    Act,
    Cover,
    Deed,
    Position,
    Proof,
    State,
    apply,
    begin,
    held_off,
    is_on,
    misfit,
    pessimistic,
    refusals,
    worse,
)
from engine.power.state import worse_position
from tests.event_log import Event
from tests.random_walks import walk
from tests.sequences import TOLD_ON

LAYOUT_NAMES = st.sampled_from(sorted({*LAYOUTS, *TOLD_ON}))
SEEDS = st.integers(0, 2**32)
LENGTHS = st.integers(0, 45)

HANDS = (
    Act.DISCHARGE, Act.READ_DEAD, Act.CHECK, Act.INSULATION_TEST, Act.HANDS_ON, Act.REPAIR,
    Act.HANDS_IN, Act.OPEN_UP, Act.PROVE_DEAD, Act.READ_LIVE, Act.PUT_ON,
)  # fmt: skip


def layout_of(name: str) -> Layout:
    return TOLD_ON[name] if name in TOLD_ON else LAYOUTS[name]


def reached(layout: Layout, seed: int, length: int) -> State:
    """Return a state that permitted acts lead to."""
    return walk(Random(seed), layout, length)[1][-1]


@given(LAYOUT_NAMES, SEEDS, LENGTHS)
def test_the_worse_of_a_state_and_itself_is_that_state(name: str, seed: int, length: int) -> None:
    layout = layout_of(name)
    state = reached(layout, seed, length)
    assert worse(layout, state, state) == state


@given(LAYOUT_NAMES, SEEDS, SEEDS, SEEDS, LENGTHS)
@settings(deadline=None)
def test_the_worse_of_states_does_not_ask_in_which_order(
    name: str, one_seed: int, two_seed: int, three_seed: int, length: int
) -> None:
    layout = layout_of(name)
    one, two, three = (reached(layout, seed, length) for seed in (one_seed, two_seed, three_seed))
    assert worse(layout, one, two) == worse(layout, two, one)
    left = worse(layout, worse(layout, one, two), three)
    assert left == worse(layout, one, worse(layout, two, three))


def never_safer(layout: Layout, joined: State, one: State) -> None:
    """Fail where a variable of a joined state is better than in one of the two."""
    assert all(map(_no_better, joined.position, one.position))
    assert all(a >= b for a, b in zip(joined.trips, one.trips, strict=True))
    assert all(a <= b for a, b in zip(joined.proof, one.proof, strict=True))
    assert all(a >= b for a, b in zip(joined.charged, one.charged, strict=True))
    assert all(a <= b for a, b in zip(joined.insulation, one.insulation, strict=True))
    assert all(a <= b for a, b in zip(joined.verified, one.verified, strict=True))
    assert all(a <= b for a, b in zip(joined.cover, one.cover, strict=True))
    assert joined.items >= one.items
    assert joined.looked_over <= one.looked_over
    assert joined.clear <= one.clear
    assert joined.told <= one.told
    assert joined.cause_found <= one.cause_found
    assert not one.stop or STOPS.index(joined.stop) <= STOPS.index(one.stop)
    for zone in layout.zones:
        assert is_on(layout, joined, zone.name) >= is_on(layout, one, zone.name)
        assert held_off(layout, joined, zone.name) <= held_off(layout, one, zone.name)


def _no_better(joined: Position, one: Position) -> bool:
    return worse_position(joined, one) is joined


@given(LAYOUT_NAMES, SEEDS, SEEDS, LENGTHS)
@settings(deadline=None)
def test_the_worse_of_two_states_is_safer_than_neither(
    name: str, one_seed: int, two_seed: int, length: int
) -> None:
    layout = layout_of(name)
    one, two = reached(layout, one_seed, length), reached(layout, two_seed, length)
    joined = worse(layout, one, two)
    never_safer(layout, joined, one)
    never_safer(layout, joined, two)


@given(LAYOUT_NAMES, SEEDS, SEEDS, LENGTHS)
@settings(deadline=None, max_examples=60)
def test_no_hand_is_allowed_in_that_one_of_the_two_would_refuse(
    name: str, one_seed: int, two_seed: int, length: int
) -> None:
    """Boxes apart: a box that only one of the two opened is open in the joined state."""
    layout = layout_of(name)
    one, two = reached(layout, one_seed, length), reached(layout, two_seed, length)
    joined = worse(layout, one, two)
    opened = tuple(Cover.OPEN if cover is Cover.SHUT else cover for cover in joined.cover)
    for deed in _every_deed(layout):
        if refusals(layout, joined, deed):
            continue
        for state in (one, two):
            against = refusals(layout, state._replace(cover=opened), deed)
            assert not against, f"{deed}: {against[0]}"


def _every_deed(layout: Layout) -> list[Deed]:
    items = ("jumper", "lead", "open gas")
    deeds = [
        Deed(act, zone=zone, box=box.name, item=item)
        for act in HANDS
        for box in layout.boxes
        for zone in (*box.exposes, *box.behind)
        for item in (items if act is Act.PUT_ON else ("",))
    ]
    return [deed for deed in deeds if not misfit(layout, deed)]


@given(LAYOUT_NAMES, SEEDS, SEEDS, LENGTHS)
@settings(deadline=None)
def test_nothing_is_energised_that_one_of_the_two_would_refuse_for_a_trip_or_a_fault(
    name: str, one_seed: int, two_seed: int, length: int
) -> None:
    layout = layout_of(name)
    one, two = reached(layout, one_seed, length), reached(layout, two_seed, length)
    joined = worse(layout, one, two)
    for device in layout.devices:
        deed = Deed(Act.SWITCH_ON, device=device.name, mode="for service")
        if refusals(layout, joined, deed):
            continue
        for state in (one, two):
            rules = {refusal.rule for refusal in refusals(layout, state, deed)}
            assert not rules & {"R5", "R11", "R12"}, f"{deed}: {rules}"


def fold(layout: Layout, events: list[Event]) -> State:
    state = begin(layout)
    for deed, outcome in events:
        state = apply(layout, state, deed, outcome)
    return state


@given(LAYOUT_NAMES, SEEDS, st.integers(1, 45), st.data())
@settings(deadline=None)
def test_striking_an_entry_makes_nothing_safer(
    name: str, seed: int, length: int, data: st.DataObject
) -> None:
    layout = layout_of(name)
    events, states = walk(Random(seed), layout, length)
    if not events:
        return
    struck = data.draw(st.integers(0, len(events) - 1))
    as_if_never = fold(layout, events[:struck] + events[struck + 1 :])
    joined = worse(layout, as_if_never, states[-1])
    never_safer(layout, joined, states[-1])
    never_safer(layout, joined, as_if_never)


@given(LAYOUT_NAMES, SEEDS, LENGTHS)
@settings(deadline=None)
def test_being_away_wipes_every_proof_and_the_look_over(name: str, seed: int, length: int) -> None:
    layout = layout_of(name)
    state = reached(layout, seed, length)
    back = apply(layout, state, Deed(Act.AWAY), "done")
    assert set(back.proof) == {Proof.NONE}
    assert not back.looked_over
    assert back._replace(proof=state.proof, looked_over=state.looked_over) == state
    for deed in _every_deed(layout):
        if deed.act in (Act.OPEN_UP, Act.PROVE_DEAD, Act.READ_LIVE):
            assert "R10" in {refusal.rule for refusal in refusals(layout, back, deed)}
        elif layout.zone(deed.zone).kind is ZoneKind.POWER:
            assert refusals(layout, back, deed)


ONE_WAY = [act for act in Act if OUTCOMES[act] and act not in (Act.SWITCH_ON, Act.TAKE_OFF)]
"""Acts whose outcomes rank: holding is live and tripping is a trip, so neither is the worse."""


@pytest.mark.parametrize("act", ONE_WAY)
@given(LAYOUT_NAMES, SEEDS, LENGTHS, st.data())
@settings(deadline=None, max_examples=25)
def test_an_unlabelled_outcome_leaves_nothing_safer_than_a_labelled_one(
    act: Act, name: str, seed: int, length: int, data: st.DataObject
) -> None:
    layout = layout_of(name)
    state = reached(layout, seed, length)
    box = data.draw(st.sampled_from(layout.boxes))
    zone = data.draw(st.sampled_from(box.exposes))
    deed = Deed(act, zone=zone, box=box.name)
    unlabelled = apply(layout, state, deed, pessimistic(act))
    for outcome in OUTCOMES[act]:
        labelled = apply(layout, state, deed, outcome)
        never_safer(layout, unlabelled, labelled)


@given(st.sampled_from(Position), st.sampled_from(Position), st.sampled_from(Position))
def test_positions_join_to_what_both_promise(a: Position, b: Position, c: Position) -> None:
    assert worse_position(a, a) is a
    assert worse_position(a, b) is worse_position(b, a)
    assert worse_position(worse_position(a, b), c) is worse_position(a, worse_position(b, c))


def test_my_lock_and_theirs_join_to_neither() -> None:
    assert worse_position(Position.LOCKED, Position.THEIRS) is Position.IN_DOUBT
    assert worse_position(Position.LOCKED, Position.TAGGED) is Position.OPEN
    assert worse_position(Position.BOTH, Position.THEIRS) is Position.THEIRS


def test_a_device_in_doubt_is_looked_at_before_it_is_moved() -> None:
    layout = TOLD_ON["rtu"]
    told = apply(layout, begin(layout), Deed(Act.ASK, device="disconnect"), "their lock")
    struck = worse(layout, begin(layout), told)
    deed = Deed(Act.SWITCH_OFF, device="disconnect")
    (refusal,) = refusals(layout, struck, deed)
    assert (refusal.rule, refusal.first) == ("R12", Deed(Act.ASK, device="disconnect"))
    seen = apply(layout, struck, Deed(Act.ASK, device="disconnect"), "found closed")
    assert not refusals(layout, seen, deed)

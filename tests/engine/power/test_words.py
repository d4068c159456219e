"""Acts, outcomes, deeds that make no sense, refusals and what comes first."""

from __future__ import annotations

import pytest

from engine.power import (
    OUTCOMES,
    Act,
    Deed,
    State,
    apply,
    begin,
    comes_first,
    may_count_as,
    misfit,
    pessimistic,
    refusals,
)
from engine.power.rules import GUARDS
from engine.safe_words import RULES
from tests.sequences import (
    TOLD_ON,
    after,
    sequences,
    walked,
)

SEQUENCES = sequences()
RTU = TOLD_ON["rtu"]
ISOLATED = "ISOLATE(unit, disconnect, control box)"


def test_every_act_has_guards_outcomes_and_a_worst_outcome() -> None:
    assert set(GUARDS) == set(OUTCOMES) == set(Act)
    for act in Act:
        assert pessimistic(act) in may_count_as(act)
        assert pessimistic(act) == (OUTCOMES[act][-1] if OUTCOMES[act] else "done")


def test_a_word_that_is_no_outcome_is_refused_with_the_words_that_are() -> None:
    with pytest.raises(ValueError, match=r"holds is no outcome of prove dead: dead, not dead"):
        apply(RTU, begin(RTU), Deed(Act.PROVE_DEAD, zone="unit", box="control box"), "holds")


@pytest.mark.parametrize(
    ("deed", "sentence"),
    [
        (Deed(Act.SWITCH_ON, device="breaker"), "switch on needs a mode."),
        (Deed(Act.SWITCH_OFF), "switch off needs a device."),
        (Deed(Act.REPAIR, zone="unit"), "repair needs a box."),
        (Deed(Act.RUN, zone="unit", mode="made safe"), "run is for test or for service"),
        (Deed(Act.READ_LIVE, zone="unit"), "needs the box in which it is read"),
        (Deed(Act.PUT_ON, zone="unit", box="fan", item="tape"), "tape is no item"),
        (Deed(Act.PUT_ON, zone="unit", item="jumper"), "needs the box in which it is done"),
        (Deed(Act.TRY, zone="attic"), "has no zone attic; it has service, bus"),
        (Deed(Act.REPAIR, zone="bus", box="fan"), "bus can't be reached in the fan."),
    ],
)
def test_a_deed_that_makes_no_sense_is_named(deed: Deed, sentence: str) -> None:
    assert sentence in misfit(RTU, deed)


def test_readings_without_a_circuit_and_gauges_need_no_box() -> None:
    assert not misfit(RTU, Deed(Act.READ_LIVE))
    assert not misfit(RTU, Deed(Act.PUT_ON, zone="unit", item="gauges"))


def test_every_refusal_names_a_rule_that_is_written_down() -> None:
    seen = set()
    for one in SEQUENCES.values():
        for stated, state in walked(one.layout, one.steps):
            seen |= {refusal.rule for refusal in refusals(one.layout, state, stated.deed)}
    assert seen <= set(RULES)
    assert list(RULES) == [f"R{n}" for n in range(1, 14)]


def test_a_refusal_offers_what_comes_first() -> None:
    state = begin(RTU)
    assert comes_first(RTU, state, Deed(Act.OPEN_UP, box="panel")) == (Deed(Act.LOOK_OVER),)
    lock = Deed(Act.LOCK_OUT, device="disconnect")
    assert comes_first(RTU, state, lock) == (Deed(Act.SWITCH_OFF, device="disconnect"),)


def test_what_comes_first_before_switching_on_is_told_in_order() -> None:
    state = after(RTU, f"{ISOLATED}; hands on unit @control box")
    wanted = Deed(Act.SWITCH_ON, device="disconnect", mode="for service")
    assert comes_first(RTU, state, wanted) == (
        Deed(Act.UNLOCK, device="disconnect"),
        Deed(Act.ALL_CLEAR),
        Deed(Act.CLOSE_UP, box="control box"),
    )


def test_an_item_still_on_is_taken_off_where_the_box_is_open() -> None:
    state = after(RTU, f"{ISOLATED}; put on unit @control box: lead")
    end = Deed(Act.END, mode="made safe")
    off = Deed(Act.TAKE_OFF, zone="unit", box="control box", item="lead")
    assert off in comes_first(RTU, state, end)
    assert not refusals(RTU, state, off)


def test_doing_what_comes_first_leads_to_the_deed() -> None:
    """Each deed offered is permitted by then, and the offers run out."""
    state = after(RTU, f"{ISOLATED}; hands on unit @control box; open up @thermostat")
    wanted = Deed(Act.SWITCH_ON, device="disconnect", mode="for service")
    for _ in range(10):
        ready = [one for one in comes_first(RTU, state, wanted) if not refusals(RTU, state, one)]
        if not ready:
            break
        state = apply(RTU, state, ready[0], pessimistic(ready[0].act))
    assert not refusals(RTU, state, wanted)


def test_a_state_is_small_hashable_and_equal_by_value() -> None:
    one, other = after(RTU, ISOLATED), after(RTU, ISOLATED)
    assert one == other
    assert len({one, other}) == 1
    assert isinstance(one, State)
    assert apply(RTU, one, Deed(Act.TRY, zone="unit"), "stopped") == one

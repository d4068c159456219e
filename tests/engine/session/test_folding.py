"""Taking back, correcting, leaving and coming back, one moment at a time."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from engine.entries import Entry, EntryKind
from engine.power import Position
from engine.session.folding import AWAY_AFTER, fold, history, in_force
from tests.engine.session.walking import begin, enter, is_at, lead, small
from tests.technician import Technician, shipped

TREE = shipped()


def note(technician: Technician, minutes: float = 0, by: str = "") -> Entry:
    """Return a note that comes so long after the last entry."""
    last = technician.entries[-1]
    time = last.at() + timedelta(minutes=minutes)
    return Entry(last.n + 1, time.isoformat(), by or last.by, EntryKind.NOTE, typed="dusty")


def stands(technician: Technician) -> Position:
    """Return how the disconnect stands."""
    return technician.done.state.power.position[2]


def test_a_strike_takes_back_the_last_answer() -> None:
    technician = enter(lead(begin(), "size-up"), "u")
    assert is_at(technician.shown, "story")


def test_what_was_locked_and_taken_back_counts_as_off_and_not_locked() -> None:
    technician = lead(begin(), "try-it")
    assert stands(technician) == Position.LOCKED
    enter(technician, "u")
    assert stands(technician) == Position.OPEN
    assert is_at(technician.shown, "lock")


def test_a_lock_off_that_was_taken_back_is_passed_over_not_stuck() -> None:
    technician = lead(
        begin(),
        "put-back/switch-on",
        {"string": "OL", "string-middle": "OL"}
        | {"first-half/drain float/float": "OL", "pan": "1"},
    )
    enter(technician, "u")
    state = technician.done.state
    assert is_at(technician.shown, "switch-on")
    assert any("no lock of yours" in one.verdict for one in state.passed)


def test_a_switch_on_that_was_taken_back_is_looked_at_first() -> None:
    technician = lead(
        begin(),
        "put-back/call",
        {"string": "OL", "string-middle": "OL"}
        | {"first-half/drain float/float": "OL", "pan": "1"},
    )
    enter(technician, "u")
    assert technician.shown.step == "first/ask/disconnect"
    enter(technician, "it is off")
    assert is_at(technician.shown, "put-back/switch-on")


def test_a_correction_three_steps_back_keeps_what_still_lies_on_the_way() -> None:
    technician = lead(begin(), "at-the-unit", {"r-to-c": "0.2", "r-to-g": "1.1"})
    enter(technician, "t")
    numbered = [one.typed for one in in_force(technician.entries)]
    assert numbered[3] == "0.2"
    enter(technician, "4", "0.4")
    state = technician.done.state
    assert is_at(technician.shown, "at-the-unit")
    assert state.astray == ()
    assert [one.verdict for one in state.passed if one.step == "r-to-c"] == ["nothing"]
    assert {took.reading.words() for took in state.taken.values()} == {"0.4 V", "1.1 V"}


def test_a_correction_that_leads_elsewhere_says_from_where_and_keeps_the_rest() -> None:
    technician = lead(begin(), "at-the-unit", {"r-to-c": "0.2", "r-to-g": "1.1"})
    later = technician.entries[-3:]
    enter(technician, "t 4", "24.1")
    state = technician.done.state
    assert set(state.astray) >= {later[-1].n}
    assert is_at(technician.shown, "seated") or technician.shown.field
    assert technician.entries[-1].of == 4


def test_a_correction_can_be_taken_back_itself() -> None:
    technician = lead(begin(), "at-the-unit", {"r-to-c": "0.2", "r-to-g": "1.1"})
    before = technician.done.state
    enter(technician, "t 4", "24.1", "u")
    assert technician.done.state.step == before.step
    assert technician.done.state.verdicts == before.verdicts
    assert technician.done.state.astray == ()


def test_a_nameplate_corrected_is_what_later_windows_are_made_from() -> None:
    technician = lead(begin(small()), "capacitor", {"rated_capacitance": "45"})
    assert technician.shown.window[0].startswith("below 42.3 uF")
    number = next(
        n
        for n, one in enumerate(in_force(technician.entries), 1)
        if one.outcome == "rated_capacitance"
    )
    enter(technician, f"t {number - 1}", "35")
    assert technician.shown.window[0].startswith("below 32.9 uF")


def test_a_question_that_a_correction_raises_is_asked_and_no_reading_is_lost() -> None:
    technician = lead(begin(), "at-the-unit", {"r-to-c": "0.2", "r-to-g": "1.1"})
    enter(technician, "t")
    place = next(
        n
        for n, one in enumerate(in_force(technician.entries), 1)
        if one.outcome == "thermostat_power"
    )
    enter(technician, str(place), "batteries")
    assert technician.shown.field is not None
    assert technician.shown.field.name == "battery_volts"
    kept = {key.b for key in technician.done.state.taken}
    assert "thermostat.G" in kept, "what was read on the other way is known"


def test_a_note_does_not_begin_a_wait_anew() -> None:
    technician = lead(begin(small()), "quiet")
    left = technician.shown.wait_left
    technician.clock += timedelta(seconds=100)
    enter(technician, "n the fan hums")
    assert technician.shown.wait_left <= left - 100


@pytest.mark.parametrize(("minutes", "by"), [(31, ""), (0, "Ben")])
def test_a_long_gap_and_another_hand_count_as_having_left(minutes: int, by: str) -> None:
    technician = lead(begin(), "string")
    later = note(technician, minutes, by)
    state = fold(TREE, [*technician.entries, later])
    assert state.step.endswith("/before-the-lock")
    assert not any(state.power.proof)


def test_a_short_pause_counts_as_nothing() -> None:
    technician = lead(begin(), "string")
    state = fold(TREE, [*technician.entries, note(technician, 29)])
    assert state == technician.done.state
    assert fold(TREE, [*technician.entries, note(technician, 29)], away_after=timedelta(minutes=9))


def test_a_gap_before_an_entry_taken_back_still_counts() -> None:
    technician = lead(begin(), "string")
    late = technician.entries[-1].at() + AWAY_AFTER + timedelta(minutes=1)
    n = technician.entries[-1].n
    answer = Entry(n + 1, late.isoformat(), "Ana", EntryKind.NOTE)
    strike = replace(answer, n=n + 2, kind=EntryKind.STRIKE, of=n + 1)
    state = fold(TREE, [*technician.entries, answer, strike])
    assert not any(state.power.proof)


def test_a_stop_taken_back_with_what_led_to_it_is_still_a_stop() -> None:
    technician = lead(begin(), "size-up")
    enter(technician, "3")
    assert technician.done.state.stopped == "gas"
    enter(technician, "u")
    assert technician.done.state.power.stop == "gas"
    assert is_at(technician.shown, "withdraw/warn"), "nothing but the way out is left"


def test_an_end_is_taken_back_too() -> None:
    technician = enter(_left(), "1")
    assert technician.done.state.end == "made safe"
    enter(technician, "u")
    assert technician.done.state.end == ""
    assert is_at(technician.shown, "leave/tell")


def _left() -> Technician:
    technician = enter(lead(begin(), "handle"), "c 1")
    return lead(technician, "leave/tell")


def test_the_state_before_an_entry_is_what_was_asked_then() -> None:
    technician = lead(begin(), "at-the-unit", {"r-to-c": "0.2", "r-to-g": "1.1"})
    told = history(TREE, technician.entries)
    assert told.before(4).step == "r-to-c"
    with pytest.raises(KeyError):
        told.before(99)

"""The trail, taking back and putting right, as typed."""

from __future__ import annotations

from engine.entries import EntryKind
from engine.guide.correcting import READ_AGAIN, correctable
from engine.guide.talk import Mode
from tests.engine.session.walking import begin, enter, is_at, lead

STRING = "The whole R string, by ohms"
THERE = {"r-to-c": "0.2", "r-to-g": "1.1"}


def test_the_trail_lists_what_counts_with_what_it_came_to() -> None:
    technician = lead(begin(), "at-the-unit", THERE)
    lines = technician.enter("t").lines
    assert lines[0] == " 1 Ask what happened first: nothing special"
    assert lines[3] == " 4 R to C at the thermostat: 0.2 V: nothing"
    assert technician.talk.mode is Mode.TRAIL


def test_a_number_that_is_not_on_the_trail_is_refused_and_asked_again() -> None:
    technician = lead(begin(), "at-the-unit", THERE)
    technician.enter("t")
    assert technician.enter("44").refused[-1] == "1 to 7."
    assert technician.talk.mode is Mode.TRAIL
    assert technician.enter("").lines == ("Back to the step; nothing was entered.",)


def test_a_correction_is_asked_as_it_was_asked_then() -> None:
    technician = lead(begin(), "at-the-unit", THERE)
    reply = technician.enter("t 1")
    assert reply.lines[:2] == (
        "Ask what happened first",
        "It was 1. Enter alone leaves it so.",
    )
    assert reply.lines[3] == "2 water seen"
    enter(technician, "2")
    entry = technician.entries[-1]
    assert (entry.kind, entry.of, entry.outcome) == (EntryKind.ANSWER, 1, "water seen")


def test_a_wrong_correction_is_refused_and_asked_again() -> None:
    technician = lead(begin(), "at-the-unit", THERE)
    technician.enter("t 4")
    assert technician.enter("apples").refused
    assert technician.talk.mode is Mode.CORRECT
    enter(technician, "0.6")
    assert technician.entries[-1].of == 4
    assert is_at(technician.shown, "at-the-unit")


def test_cant_can_take_the_place_of_an_answer() -> None:
    technician = lead(begin(), "at-the-unit", THERE)
    enter(technician, "t 4", "c", "1")
    entry = technician.entries[-1]
    assert (entry.kind, entry.of, entry.outcome) == (EntryKind.CANNOT, 4, "reach")


def test_an_answer_can_take_the_place_of_a_cant() -> None:
    technician = enter(lead(begin(), "r-to-c"), "c 1")
    number = len(correctable(technician.view))
    enter(technician, f"t {number}", "24.1")
    assert technician.done.state.verdicts["r-to-c"] == "good"


def test_all_readings_of_an_entry_are_put_right_together() -> None:
    technician = lead(begin(), "dc-gone")
    enter(technician, f"t {len(correctable(technician.view))}")
    reply = technician.enter("120 0")
    assert reply.refused[-1] == "All 8 are wanted, as in the entry that is put right."
    enter(technician, "120 0 0 0 0 0 0 120")


def test_a_nameplate_is_put_right_by_its_question() -> None:
    technician = lead(begin(), "dc-gone")
    number = next(
        n for n, one in enumerate(correctable(technician.view), 1) if one.outcome == "phases"
    )
    reply = technician.enter(f"t {number}")
    assert reply.lines[0] == "Phases on the nameplate"
    assert technician.enter("2").refused
    enter(technician, "1")
    assert technician.done.state.words["phases"] == "1"


def test_taking_back_twice_takes_back_two() -> None:
    technician = lead(begin(), "at-the-unit", THERE)
    enter(technician, "u", "u")
    strikes = [one.of for one in technician.entries if one.kind is EntryKind.STRIKE]
    assert strikes == [7, 6]


def test_nothing_is_taken_back_at_the_beginning() -> None:
    technician = begin()
    assert technician.enter("u").lines == ("Nothing to take back.",)
    assert technician.enter("t").lines == ("Nothing entered yet.",)


def test_read_again_is_for_readings() -> None:
    technician = lead(begin(), "size-up")
    assert "was not a reading" in technician.enter("r").lines[0]
    technician = enter(lead(begin(), "r-to-g", {"r-to-c": "0.2"}), "0.1")
    enter(technician, "r")
    assert is_at(technician.shown, "r-to-g")
    assert technician.entries[-1].outcome == READ_AGAIN


def test_a_known_reading_is_put_right_as_one() -> None:
    technician = lead(begin(), "handle")
    listed = technician.enter("k").lines
    number = next(
        line.split()[0] for line in listed if line.endswith("The whole R string, by ohms")
    )
    enter(technician, number, "0.4 ohm", "1")
    assert technician.entries[-1].kind is EntryKind.KNOWN
    enter(technician, f"t {len(correctable(technician.view))}", "OL")
    entry = technician.entries[-1]
    assert entry.kind is EntryKind.KNOWN
    assert entry.of == technician.entries[-2].n


def test_what_was_moved_since_is_kept_as_a_note() -> None:
    technician = lead(begin(), "handle")
    listed = technician.enter("k").lines
    number = next(
        line.split()[0] for line in listed if line.endswith("The whole R string, by ohms")
    )
    enter(technician, number, "0.4 ohm", "2")
    assert technician.entries[-1].kind is EntryKind.NOTE
    assert technician.done.state.taken.keys().isdisjoint(
        key for key in technician.done.state.taken if key.b == "string.end"
    )

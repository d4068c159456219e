"""A wrong entry at each kind of question: shown back with a caret, and the question stays."""

from __future__ import annotations

import pytest

from engine import power
from engine.entries import EntryKind
from engine.guide.prompt import Now
from engine.guide.talk import Mode
from engine.power import Position
from engine.session.folding import History
from engine.session.moving import go
from engine.session.state import State
from engine.session.steps import layout_of
from tests.engine.session.walking import begin, enter, is_at, lead, small
from tests.technician import Technician

BLOWN = {"r-to-c-unit": "0.2", "fuse": "OL", "short": "300 ohm"}


def at(step: str) -> Technician:
    """Return a technician at a step of the shipped tree, or at a nameplate question."""
    if step in ("rated_capacitance", "tolerance"):
        technician = lead(begin(small()), "quiet")
        enter(technician, "over", "1")
        return enter(technician, "45") if step == "tolerance" else technician
    if step == "wait":
        return lead(begin(small()), "quiet")
    if step == "fitted":
        return enter(lead(begin(), "handle"), "1", "3", "208-230")
    if step == "rated_volts":
        return enter(lead(begin(), "handle"), "1", "3")
    if step == "refused":
        technician = lead(begin(), "switch-off")
        return enter(technician, "will not move")
    return lead(begin(), step, BLOWN)


@pytest.mark.parametrize(
    ("step", "typed", "says"),
    [
        ("story", "", "1 to 5 is wanted; Enter alone is no answer here."),
        ("story", "9", "The answer is one of 1 to 5."),
        ("story", "water sen", "Did you mean water seen?"),
        ("story", "a watr seen", "The answer is one of 1 to 5."),
        ("lock", "", "1 when it is done, c if it can't be."),
        ("lock", "2", "1 when it is done, c if it can't be."),
        ("r-to-c", "", "Nothing was typed."),
        ("r-to-c", "24 ohm", "voltage is asked here"),
        ("r-to-c", "1,250", "type it with a point, or without the comma"),
        ("r-to-c", "24 26", "One reading is asked for here"),
        ("r-to-c", "-24", "AC has no minus sign"),
        ("r-to-c", "24 V DC", "set the meter to AC and read again"),
        ("r-to-c", "about 24", "is not a reading"),
        ("volts-gone", "120 0 0 0 0 0 0 120 0", "8 readings are asked for here"),
        ("volts-gone", "120,0 0", "Put a space between readings"),
        ("fitted", "", "c if it can't be read"),
        ("fitted", "1 99", "Several with a space between; 0 for none."),
        ("rated_volts", "208Y/120", ""),
        ("rated_volts", "12", "outside what a nameplate can say here"),
        ("rated_volts", "460 ohm", "voltage is asked here"),
        ("rated_capacitance", "4000", "outside what a nameplate can say here (5 uF to 100 uF)"),
        ("rated_capacitance", "OL", "No meter is read here"),
        ("wait", "", "to go. 1 if that long has passed already."),
        ("wait", "yes", "to go. 1 if that long has passed already."),
    ],
)
def test_a_wrong_entry_is_shown_back_and_the_question_stays(
    step: str, typed: str, says: str
) -> None:
    technician = at(step)
    shown, entries = technician.shown, len(technician.entries)
    reply = technician.enter(typed)
    assert not reply.entries
    text, caret, sentence = reply.refused
    assert text == typed
    assert caret.strip() == "^"
    assert says in sentence
    assert len(technician.entries) == entries
    assert (technician.shown.step, technician.shown.field) == (shown.step, shown.field)


@pytest.mark.parametrize(
    ("step", "typed", "kept"),
    [
        ("story", "2", "water seen"),
        ("story", "WATER SEEN", "water seen"),
        ("story", "wat", "water seen"),
        ("lock", "1", "done"),
        ("lock", "done", "done"),
    ],
)
def test_a_choice_is_its_number_its_words_or_their_beginning(
    step: str, typed: str, kept: str
) -> None:
    technician = enter(at(step), typed)
    assert technician.entries[-1].outcome == kept


def test_what_is_only_done_is_never_reported_by_enter_alone() -> None:
    """Enter alone is never an outcome that counts for safety (design of the entry line)."""
    technician = begin()
    for _ in range(60):
        shown = technician.shown
        if shown.now is Now.ENDED:
            break
        before = technician.done.state.power
        technician.enter("")
        assert technician.done.state.power == before
        technician.enter(technician.plain())


def test_several_readings_are_taken_on_one_line_or_one_by_one() -> None:
    one_line = enter(at("volts-gone"), "120 0.2 0.2 0.2 0 0 0 119")
    by_one = enter(at("volts-gone"), "120", "0.2 0.2", "0.2", "0 0 0", "119")
    for technician in (one_line, by_one):
        assert is_at(technician.shown, "dc-gone")
    assert one_line.done.state.power == by_one.done.state.power


def test_a_number_whose_prefix_is_not_sure_is_asked_about() -> None:
    technician = at("fuse")
    reply = technician.enter("2.2")
    assert reply.lines == ("2.2 what? 1 ohm 2 kohm 3 Mohm",)
    assert technician.talk.mode is Mode.UNCLEAR
    assert technician.enter("7").refused
    assert technician.talk.mode is Mode.UNCLEAR
    enter(technician, "2")
    (said,) = technician.entries[-1].said
    assert (said.value, said.unit) == ("2200", "kohm")
    assert technician.entries[-1].typed == "2.2"


def test_a_number_whose_prefix_is_not_sure_can_be_read_anew() -> None:
    technician = enter(at("fuse"), "2.2", "0.4 ohm")
    assert technician.entries[-1].typed == "0.4 ohm"


def test_a_value_out_of_the_ordinary_is_asked_about_once() -> None:
    technician = at("r-to-c")
    reply = technician.enter("999")
    assert "is outside what is usual here" in reply.lines[0]
    assert technician.enter("perhaps").refused
    enter(technician, "2")
    assert technician.talk.mode is Mode.STEP
    assert not technician.entries[-1].said
    enter(technician, "999", "1")
    assert technician.entries[-1].typed == "999"


def test_a_nameplate_out_of_the_ordinary_is_asked_about_too() -> None:
    technician = enter(lead(begin(), "r-to-c"), "0.2", "1")
    assert technician.shown.field is not None
    reply = technician.enter("9")
    assert reply.lines == ("9 V is outside what is usual here, 3 V to 6 V. Is it so?",)
    enter(technician, "2")
    assert technician.shown.field is not None
    enter(technician, "9", "1")
    assert technician.entries[-1].typed == "9"


def test_enter_takes_a_default_that_is_marked() -> None:
    technician = at("tolerance")
    assert technician.shown.enter == "take 6 %"
    enter(technician, "")
    assert technician.entries[-1].typed == "6 %"


def test_a_nameplate_that_cant_be_read_is_its_default_or_leads_on() -> None:
    technician = enter(at("tolerance"), "c")
    assert technician.entries[-1].kind is EntryKind.NAMEPLATE
    technician = enter(at("rated_capacitance"), "c")
    assert technician.entries[-1].kind is EntryKind.CANNOT
    assert technician.entries[-1].outcome == "no nameplate"
    assert technician.shown.field is None


def test_what_is_refused_by_the_safety_model_says_why_and_what_leads_on() -> None:
    technician = begin()
    off = (Position.CLOSED, Position.CLOSED, Position.OPEN, Position.CLOSED)
    tripped = power.begin(layout_of(technician.walk), {"breaker": 1})
    state = State(tripped._replace(position=off, looked_over=True))
    there = go(technician.walk, state, "put-back/switch-on")
    technician.done = History(technician.walk, [there])
    assert technician.shown.now is Now.REFUSED
    assert technician.shown.choices == ()
    reply = technician.enter("1")
    assert reply.refused[-1].startswith("Not yet. R")
    assert "c goes on without it" in reply.refused[-1]
    enter(technician, "c 5")
    assert is_at(technician.shown, "leave/all-clear")


@pytest.mark.parametrize("reason", ["3", "no meter", "no meter for it", "NO METER"])
def test_cant_takes_a_number_or_words(reason: str) -> None:
    technician = enter(at("r-to-c"), f"c {reason}")
    entry = technician.entries[-1]
    assert (entry.kind, entry.outcome, entry.verdict) == (
        EntryKind.CANNOT,
        "no meter",
        "no meter for it",
    )


def test_a_letter_with_other_words_after_it_is_no_action() -> None:
    technician = at("r-to-c")
    for typed in ("l don't know", "u r sure", "b flat", "m 3"):
        reply = technician.enter(typed)
        assert reply.refused[0] == typed
        assert "stands" in reply.refused[-1] or "alone" in reply.refused[-1]


def test_a_note_may_begin_with_any_letter() -> None:
    technician = enter(at("r-to-c"), "n", "x marks on the base")
    assert technician.entries[-1].typed == "x marks on the base"
    technician.enter("n")
    assert technician.enter("x").lines[0] == "STOP. What is it?", "alone it is STOP, anywhere"

"""The entry line: what a letter is, what a reading is, and what is neither."""

from __future__ import annotations

import pytest

from engine.guide.line import MENU, WORDS, Action, read_line
from engine.guide.talk import STOP_WORDS
from engine.power import STOPS
from engine.safe_words import STOP_FIRST


@pytest.mark.parametrize("action", Action)
def test_a_letter_alone_is_an_action_in_either_case(action: Action) -> None:
    for typed in (action.value, action.value.upper(), f"  {action.value} "):
        line = read_line(typed)
        assert line.action is action
        assert line.rest == ""


@pytest.mark.parametrize("typed", ["OL", "ol", "0L", "open", "208", ".6", "-0.5", "yes", "other"])
def test_what_is_read_off_a_meter_is_no_action(typed: str) -> None:
    assert read_line(typed).action is None


def test_no_letter_begins_what_a_meter_shows() -> None:
    assert "o" not in {one.value for one in Action}
    assert not any(one.value.isdigit() for one in Action)


def test_what_follows_a_letter_is_kept_as_it_was_typed() -> None:
    line = read_line("n  Two  spaces,  µF and  ½ ")
    assert (line.action, line.rest) == (Action.NOTE, "Two  spaces,  µF and  ½")


@pytest.mark.parametrize("typed", ["", "  ", "\t", "\x00", "\x1b\r\n"])
def test_nothing_to_see_is_nothing(typed: str) -> None:
    assert read_line(typed).empty


def test_what_a_terminal_sends_besides_letters_is_left_out() -> None:
    assert read_line("24\x1b[A").text == "24 [A"


def test_everything_lists_every_letter_once_the_two_for_trouble_first() -> None:
    assert sorted(MENU) == sorted(Action)
    assert MENU[:2] == (Action.STOP, Action.LEAVE)
    assert set(WORDS) == set(Action)


def test_stop_knows_every_reason_of_the_safety_model_and_what_to_do_first() -> None:
    assert set(STOP_WORDS) == set(STOPS) == set(STOP_FIRST)

"""An interview: lines that are not taken, gone on with, taken back, kept as a file."""

from __future__ import annotations

import pytest

from engine.starter import Interview, from_text, to_text
from tests.engine.starter.answering import fan_lines, known


def test_the_answers_beside_the_tests_are_all_taken() -> None:
    done = Interview.begun(known(), fan_lines())
    assert done.question is None
    assert done.beginning is not None
    assert [cause.name for cause in done.beginning.causes] == [
        "fan-blocked",
        "no-call-reaches-the-unit",
        "fan-capacitor",
        "contactor-coil",
    ]
    assert done.beginning.name == "outdoor-fan-stands-still"


@pytest.mark.parametrize("stop", [0, 11, 33, 50])
def test_broken_off_anywhere_it_goes_on_where_it_was(stop: int) -> None:
    lines = fan_lines()
    before = Interview.begun(known(), lines[:stop])
    again = Interview.begun(known(), from_text(to_text(before.lines)))
    assert again == before
    for line in lines[stop:]:
        again = again.entered(line)
    assert again.beginning == Interview.begun(known(), lines).beginning


def test_the_last_line_is_taken_back() -> None:
    lines = fan_lines()
    before, after = (Interview.begun(known(), lines[:n]) for n in (12, 13))
    assert after.taken_back() == before
    assert Interview.begun(known()).taken_back() == Interview.begun(known())


def at(question: str) -> Interview:
    """Return the interview where that is asked for the first time."""
    done = Interview.begun(known(), fan_lines())
    first = next(n for n, line in enumerate(done.lines) if question in line.question)
    return Interview.begun(known(), fan_lines()[:first])


@pytest.mark.parametrize(
    ("question", "line", "why"),
    [
        ("customer say", "", "A few words are wanted"),
        ("customer say", "x" * 61, "1 too many"),
        ("as a title", "say\u202eit", "cannot be seen"),
        ("how do you tell", "7", "1 to 3"),
        ("of the ten", "0", "0.5 for one in twenty"),
        ("of the ten", "11", "10 are left"),
        ("look at, or ask", "Open the panel and look.", "The tree opens and shuts boxes by itself"),
        ("look at, or ask", "The panel is safe to touch.", "Say what was reported"),
        ("look at, or ask", "Is {colour} there?", "Nothing is called colour"),
        ("look at, or ask", "Is {it there?", "A brace"),
        ("if it is not", "something is in it", "the same answer"),
        ("do to mend it", "Reset the breaker.", "no word of a repair"),
        ("One lead", "line side of the moon", "Near it: Disconnect L1, line side;"),
        ("One lead", "fan motor", "Near it: Run capacitor, FAN; Outdoor fan, first lead;"),
        ("One lead", "?", "There are: disconnect, contactor, run cap, compressor,"),
        ("One lead", "side", "Say first what part it is on."),
        ("One lead", "panel bus L1", "That is in the panel"),
        ("at least what", "20.4 ohm", "gives a voltage"),
        ("at least what", "20.4", "has no unit"),
        ("at least what", "20,4 V", "Write 204, or 20.4 with a point."),
        ("at least what", "rated", "No nameplate value is called rated"),
        ("at least what", "rated", "rest on rated_volts, capacitor_volts, control_volts, "),
        ("at most what", "3 V", "does not lie above 20.4 V"),
    ],
)
def test_what_is_not_taken_is_asked_again_with_the_reason(
    question: str, line: str, why: str
) -> None:
    before = at(question)
    after = before.entered(line)
    assert after.lines == before.lines
    assert after.question is not None
    assert why in after.question.refused


def test_where_several_points_are_meant_they_are_offered() -> None:
    after = at("One lead").entered("contactor coil").question
    assert after is not None
    assert after.choices == (
        "Contactor coil, Y side (contactor.coil.1)",
        "Contactor coil, C side (contactor.coil.2)",
    )


def test_a_name_that_is_taken_is_not_offered() -> None:
    interview = Interview.begun(known("outdoor-fan-stands-still"), fan_lines()[:2])
    assert interview.question is not None
    assert interview.question.enter == "outdoor-fan-stands-still-2"
    refused = interview.entered("outdoor-fan-stands-still").question
    assert refused is not None
    assert "already" in refused.refused


def test_a_cause_that_other_trees_know_is_offered_under_its_own_name() -> None:
    interview = Interview.begun(known(), (*fan_lines()[:3], "Run capacitor weak"))
    assert interview.question is not None
    assert "Run capacitor weak or failed" in interview.question.choices


def test_a_window_that_crosses_for_some_unit_is_not_taken() -> None:
    leads = ("disconnect L1, load side", "disconnect L2, load side")
    lines = ("it hums", "", "", "Odd thing", "10", "1", "1", *leads)
    interview = Interview.begun(known(), lines)
    after = interview.entered("90 % of low of rated_volts").entered("264 V")
    assert after.question is not None
    assert "for every unit. With rated_volts 600 V" in after.question.refused
    taken = after.entered("110 % of high of rated_volts").question
    assert taken is not None
    assert taken.words == "Where does that come from?"

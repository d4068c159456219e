"""Any line at any moment: never an exception, never lost, never taken without being said.

The moments are those of walks by dice; the lines are any text at all, and the letters of the
entry line with anything behind them.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.entries import EntryKind
from engine.guide.line import Action
from engine.guide.prompt import Now
from engine.guide.talk import QUIET, Mode, Reply, Talk
from engine.reading.refusal import WIDTH, visible
from engine.session.folding import fold
from tests.technician import CLUMSY, STEADY, Technician, shipped

TREE = shipped()

LETTERS = st.sampled_from([one.value for one in Action])
SHORT = st.text(st.sampled_from("0123456789 .,-OLopenkuVohmµ½²'can't yes"), max_size=14)
LINES = st.one_of(
    st.text(max_size=60),
    SHORT,
    LETTERS,
    st.builds("{} {}".format, LETTERS, SHORT),
    st.integers(0, 30).map(str),
    st.text(st.characters(categories=["Cc", "Cs", "Cf", "Zs", "Nd"]), max_size=8),
)
"""Any text, what looks like a reading, letters with anything behind them, numbers, no text."""

MODES = st.deferred(lambda: st.sampled_from(list(OPENERS)))
OPENERS: dict[Mode, tuple[str, ...]] = {
    Mode.CANNOT: ("c",),
    Mode.KNOWN_STEP: ("k",),
    Mode.KNOWN_READING: ("k 1",),
    Mode.KNOWN_MOVED: ("k 1", "24 V"),
    Mode.TRAIL: ("t",),
    Mode.CORRECT: ("t 1",),
    Mode.NOTE: ("n",),
    Mode.PHOTO: ("p",),
    Mode.REMARK: ("f",),
    Mode.STOP: ("x",),
    Mode.MENU: ("m",),
    Mode.WORD: ("g",),
    Mode.SURE: ("999 V",),
    Mode.UNCLEAR: ("2.2",),
}
"""What brings the entry line into each of its own questions, where it can be had."""


@cache
def on_the_way(seed: int) -> Technician:
    """Return a technician in the middle of a walk."""
    random = Random(seed)
    technician = Technician(TREE, random, CLUMSY if seed % 2 else STEADY)
    technician.walk_on(random.randint(0, 45))
    technician.talk = QUIET
    return technician


def at_place(seed: int) -> Technician:
    """Return a technician of one's own at that place."""
    there = on_the_way(seed)
    mine = Technician(TREE, Random(seed))
    mine.done = replace(there.done, states=[*there.done.states], places=[*there.done.places])
    mine.entries, mine.clock = [*there.entries], there.clock
    return mine


PLACES = st.integers(0, 120)


def fair(technician: Technician, talk: Talk, text: str, reply: Reply) -> None:
    """Fail where a line was lost, taken without a word, or ignored by the fold."""
    said = reply.lines or reply.talk.mode or reply.leave or reply.sun
    if reply.refused:
        assert not reply.entries
        typed, caret, *sentences = reply.refused
        assert caret.strip() == "^"
        assert sentences
        assert sentences[-1].strip()
        assert len(typed) <= WIDTH
        if len(text) <= WIDTH and text.isprintable():
            assert _plain(visible(text)).endswith(_plain(typed))
        assert reply.talk.mode is talk.mode or talk.mode is not Mode.STEP
        return
    assert reply.entries or said, f"{text!r} went without a word"
    astray = set(technician.done.state.astray)
    for entry in reply.entries:
        if entry.kind in (EntryKind.ANSWER, EntryKind.REPAIR, EntryKind.CANNOT, EntryKind.SKIP):
            assert entry.n not in astray, f"{text!r} was written down and came to nothing"


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())


@given(PLACES, LINES)
@settings(max_examples=200, deadline=None)
def test_any_line_at_a_step_is_taken_or_shown_back(place: int, text: str) -> None:
    technician = at_place(place)
    reply = technician.enter(text)
    fair(technician, QUIET, text, reply)
    assert fold(TREE, technician.entries) == technician.done.state


@given(PLACES, MODES, LINES, LINES)
@settings(max_examples=200, deadline=None)
def test_any_line_at_a_question_of_its_own_is_taken_or_shown_back(
    place: int, mode: Mode, first: str, second: str
) -> None:
    technician = at_place(place)
    for opener in OPENERS[mode]:
        technician.enter(opener)
    for text in (first, second):
        talk = technician.talk
        fair(technician, talk, text, technician.enter(text))


@given(PLACES)
@settings(max_examples=120, deadline=None)
def test_every_prompt_offers_a_way_on(place: int) -> None:
    technician = at_place(place)
    shown = technician.shown
    if shown.now is Now.ENDED:
        return
    entries = len(technician.entries)
    answered = technician.enter("c" if shown.field or not shown.stuck else "c 1")
    if shown.stuck:
        assert len(technician.entries) == entries + 1, answered
        assert not set(technician.done.state.astray) & {technician.entries[-1].n}
        return
    assert len(technician.entries) == entries
    technician.enter("1")
    assert len(technician.entries) == entries + 1


@given(PLACES, st.sampled_from(range(1, 11)))
@settings(max_examples=60, deadline=None)
def test_stop_leads_out_from_anywhere(place: int, reason: int) -> None:
    technician = at_place(place)
    if technician.ended:
        return
    technician.enter(f"x {reason}")
    for _ in range(6):
        technician.enter("1")
    assert technician.done.state.end == "withdrawn"

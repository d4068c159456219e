"""The guide's door: one typed line in, one `Reply` out, whatever the line is."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from engine.guide import actions, answering, correcting, from_walk, measured, wordbook
from engine.guide.choices import chosen
from engine.guide.line import Action, Line, read_line
from engine.guide.prompt import Prompt, prompt_at, question
from engine.guide.talk import QUIET, Mode, Reply, Talk, View
from engine.guide.working_out import take

ALWAYS = (Action.STOP, Action.LEAVE)
"""Actions that count even while the entry line asks something of its own."""


_IN_WORDS = (Mode.NOTE, Mode.PHOTO, Mode.REMARK)
"""What is typed as it comes: only a letter that stands alone is an action."""


def typed(view: View, talk: Talk, text: str, now: datetime, shown: Prompt | None = None) -> Reply:
    """Return what a typed line comes to.

    Nothing is changed: the door writes the reply's entries down first, then folds and shows.
    While ``talk`` asks something of its own, Enter alone goes back to the step. ``shown`` is what
    is asked now, where the door has it already.
    """
    line = read_line(text)
    shown = shown or question(view.walk, view.state, now)
    if talk.working is not None and line.action is not Action.STOP:
        turn = take(talk.working, text)
        return _stop(view, now) if turn.stop else from_walk.reply(talk.working, turn)
    if talk.mode is not Mode.STEP:
        if line.empty:
            return Reply(lines=("Back to the step; nothing was entered.",))
        if line.action not in ALWAYS or (line.rest and not _is_stop(talk, line)):
            return _asked(view, talk, line, now)
    elif line.rest and shown.choices and line.action not in actions.TAKE_WORDS:
        # An answer may begin with a word of one letter: "a breaker tripped".
        return answering.answer(view, shown, QUIET, line.text, now)
    elif line.rest and chosen(shown.choices, line.text):
        return answering.answer(view, shown, QUIET, line.text, now)
    if line.action is not None:
        return actions.act(view, line.action, line.rest, now)
    return answering.answer(view, shown, QUIET, line.text, now)


def _stop(view: View, now: datetime) -> Reply:
    return actions.act(view, Action.STOP, "", now)


def _is_stop(talk: Talk, line: Line) -> bool:
    """Return whether a line with words after its letter still means STOP."""
    return line.action is Action.STOP and talk.mode not in _IN_WORDS


def _asked(view: View, talk: Talk, line: Line, now: datetime) -> Reply:
    """Return what a line comes to as the answer to the entry line's own question."""
    text = line.text
    match talk.mode:
        case Mode.KNOWN_STEP:
            return measured.pick(view, talk, text, now)
        case Mode.TRAIL:
            return correcting.pick(view, talk, text, now)
        case Mode.STOP:
            return actions.stop(view, talk, text, now)
        case Mode.WORD:
            return wordbook.pick(view, talk, text)
        case Mode.NOTE | Mode.PHOTO | Mode.REMARK:
            return actions.noted(view, talk, text, now)
    shown = _about(view, talk, now)
    match talk.mode:
        case Mode.UNCLEAR:
            return answering.settle(view, shown, talk, text, now)
        case Mode.SURE:
            return answering.sure(view, shown, talk, text, now)
        case Mode.CANNOT:
            return actions.cannot(view, shown, talk, text, now)
        case Mode.KNOWN_READING:
            reply = answering.read(view, shown, talk, text, now)
            return reply if reply.taken else replace(reply, talk=talk, asks=shown.wanted)
        case Mode.KNOWN_MOVED:
            return answering.known(view, shown, talk, text, now)
        case Mode.CORRECT if line.action is Action.CANNOT:
            return actions.corrected_cannot(view, shown, talk, line.rest, now)
        case Mode.CORRECT:
            return correcting.correct(view, shown, talk, text, now)
        case _:
            return actions.menu(view, talk, text, now)


def _about(view: View, talk: Talk, now: datetime) -> Prompt:
    """Return the prompt that a question of the entry line is about."""
    if talk.of:
        return correcting.asked_before(view, talk.of, now)
    if talk.known:
        return prompt_at(view.walk, view.state, talk.step, now)
    return question(view.walk, view.state, now)

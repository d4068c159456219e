"""The guide's door: one typed line in, one `Reply` out, whatever the line is."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from engine.guide import actions, answering
from engine.guide.line import Action, read_line
from engine.guide.prompt import Now, prompt
from engine.guide.talk import QUIET, Mode, Reply, Talk, View

ALWAYS = (Action.STOP, Action.LEAVE)
"""Actions that count even while the entry line asks something of its own."""


_OF_A_STEP = (Mode.UNCLEAR, Mode.SURE, Mode.KNOWN_READING, Mode.KNOWN_MOVED)
"""Questions about the readings of the step in `Talk.step`, wherever the walk stands."""


def typed(view: View, talk: Talk, text: str, now: datetime) -> Reply:
    """Return what a typed line comes to.

    Nothing is changed: the door writes the reply's entries down first, then folds and shows.
    While ``talk`` asks something of its own, Enter alone goes back to the step.
    """
    line = read_line(text)
    shown = prompt(view.walk, view.state, now)
    if talk.mode is not Mode.STEP:
        if line.empty:
            return Reply(lines=("Back to the step; nothing was entered.",))
        if line.action not in ALWAYS:
            return _asked(view, talk, line.text, now)
    if line.action is not None:
        return actions.act(view, shown, line.action, line.rest, now)
    return answering.answer(view, shown, QUIET, line.text, now)


def _asked(view: View, talk: Talk, text: str, now: datetime) -> Reply:
    """Return what a line comes to as the answer to the entry line's own question."""
    shown = prompt(view.walk, view.state, now)
    about = shown
    if talk.mode in _OF_A_STEP:
        about = replace(actions.prompt_at(view, talk.step, now), now=Now.STEP)
    same = shown if talk.step == shown.step and not talk.of and not talk.known else about
    match talk.mode:
        case Mode.UNCLEAR:
            return answering.settle(view, same, talk, text, now)
        case Mode.SURE:
            return answering.sure(view, same, talk, text, now)
        case Mode.CANNOT:
            return actions.cannot(view, shown, text, now)
        case Mode.KNOWN_STEP:
            return actions.known_step(view, talk, text, now)
        case Mode.KNOWN_READING:
            reply = answering.read(view, about, talk, text, now)
            return reply if reply.taken else replace(reply, talk=talk, asks=about.wanted)
        case Mode.KNOWN_MOVED:
            return answering.known(view, about, talk, text, now)
        case Mode.TRAIL:
            return actions.trail_pick(view, talk, text, now)
        case Mode.CORRECT:
            return actions.correct(view, talk, text, now)
        case Mode.STOP:
            return actions.stop(view, talk, text, now)
        case Mode.MENU:
            return actions.menu(view, shown, talk, text, now)
        case _:
            return actions.noted(view, talk, text, now)

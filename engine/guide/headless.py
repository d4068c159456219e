"""A walk that nobody is asked in: answers given beforehand go in as if they were typed.

Readings from a file and the cases beside a tree both come through here, and from here through
the same guide as a person at the entry line; so what passes here passes there.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import NamedTuple

from engine.cases import Answer, Words, answer_for, names_of
from engine.guide import actions
from engine.guide.answering import OVER
from engine.guide.judged_entry import judged
from engine.guide.prompt import Now, Prompt, question
from engine.guide.talk import QUIET, Mode, Reply, View
from engine.guide.typed import typed
from engine.session.advancing import advance, begin
from engine.tree import DONE, REPAIR, STUCK_REASONS, WalkTree

SECONDS_A_STEP = 1
"""The record's clock moves on this much with every answer; waits are taken as over."""

MOST = 2_000
"""Answers after which a walk is taken to go in a circle."""


@dataclass(frozen=True)
class Walked:
    """How far the answers led."""

    view: View
    missing: str = ""
    """The step, or nameplate field, that no answer was given for."""
    refused: str = ""
    """Why an answer was not taken, in a sentence."""
    unused: tuple[str, ...] = ()
    """Answers that the walk never came by."""


class Came(NamedTuple):
    """What came of a line, and what is asked then."""

    before: View
    after: View | Reply
    asked: Prompt | None
    """None where the line was not taken."""


class Alike:
    """Walks of one tree, of which those that begin alike are walked once."""

    def __init__(self, walk: WalkTree) -> None:
        self.walk = walk
        self.seen: dict[tuple[int, str], Came] = {}
        """What came of a line, from a view: that is named by its identity, and kept."""

    def begun(self, by: str, meter: str, now: datetime) -> Came:
        """Return what is asked first."""
        if (0, "") not in self.seen:
            view = View(self.walk, begin(self.walk), (), by, meter)
            self.seen[0, ""] = Came(view, view, question(self.walk, view.state, now))
        return self.seen[0, ""]

    def came(self, view: View, shown: Prompt, text: str, now: datetime) -> Came:
        """Return what comes of a line, from a view that was come to before."""
        known = self.seen.get((id(view), text))
        if known is None:
            known = self.seen[id(view), text] = self._looked(view, shown, text, now)
        return known

    def _looked(self, view: View, shown: Prompt, text: str, now: datetime) -> Came:
        """Return what comes of a line that was not typed there before."""
        after = _after(view, shown, text, now)
        asked = None if isinstance(after, Reply) else question(view.walk, after.state, now)
        return Came(view, after, asked)


def walk_through(
    walk: WalkTree,
    nameplate: Mapping[str, Words],
    answers: Mapping[str, Answer],
    *,
    start: datetime,
    by: str = "",
    meter: str = "",
    alike: Alike | None = None,
) -> Walked:
    """Return the walk that the answers lead through, to its end or to the first one missing.

    ``alike`` may be shared by walks of one tree that are given the same start, name and meter.
    """
    seen = Alike(walk) if alike is None else alike
    now = start
    began = seen.begun(by, meter, now)
    view, shown = began.before, began.asked
    assert shown is not None
    times: Counter[str] = Counter()
    for _ in range(MOST):
        if shown.now is Now.ENDED:
            return Walked(view, unused=_unused(answers, times))
        if shown.now is Now.REFUSED:
            return Walked(view, refused=shown.refusals[0], missing=shown.step)
        text = _text(shown, view, nameplate, answers, times)
        if text is None:
            return Walked(view, missing=shown.field.name if shown.field else shown.step)
        now += timedelta(seconds=SECONDS_A_STEP)
        came = seen.came(view, shown, text, now)
        after = came.after
        if isinstance(after, Reply) or came.asked is None:
            return Walked(view, refused=_why_not(shown, text, after), missing=shown.step)
        view, shown = after, came.asked
    return Walked(view, refused=f"The walk goes in a circle at {view.state.step}.")


def _why_not(shown: Prompt, text: str, after: View | Reply) -> str:
    said = (after.refused[2:] or after.lines) if isinstance(after, Reply) else ()
    return f"{shown.title}: '{text}': {' '.join(said) or 'it says nothing here'}"


def _after(view: View, shown: Prompt, text: str, now: datetime) -> View | Reply:
    """Return the view after a line, or the reply to one that came to nothing."""
    reply = _said(view, shown, text, now)
    for entry in reply.entries:
        state = advance(view.walk, view.state, entry)
        kept = judged(view.walk, entry, state)
        view = replace(view, state=state, entries=(*view.entries, kept))
    return view if reply.entries else reply


def _said(view: View, shown: Prompt, text: str, now: datetime) -> Reply:
    """Return what an answer comes to; what a person would be asked back about is meant as it is."""
    reason = text.removeprefix("can't ").removeprefix("can't: ")
    if text.startswith("can't") and reason in STUCK_REASONS:
        if shown.now is Now.NAMEPLATE:
            return typed(view, QUIET, "c", now)
        return actions.cannot_entry(view, shown, reason, 0, now)
    # What is asked hangs on the time only while something is waited for.
    reply = typed(view, QUIET, text, now, None if shown.wait_left else shown)
    return typed(view, reply.talk, "1", now) if reply.talk.mode is Mode.SURE else reply


def _text(
    shown: Prompt,
    view: View,
    nameplate: Mapping[str, Words],
    answers: Mapping[str, Answer],
    times: Counter[str],
) -> str | None:
    """Return what to type at a prompt; None where no answer was given for it."""
    if shown.now is Now.WAIT:
        return OVER
    if shown.field is not None:
        words = nameplate.get(shown.field.name, shown.field.default or None)
        return words if isinstance(words, str) or words is None else ", ".join(words) or "none"
    if not view.state.gathered:
        times[shown.step] += 1
    try:
        answer = answer_for(answers, shown.step, max(times[shown.step] - 1, 0))
    except KeyError:
        return _by_itself(shown)
    if isinstance(answer, str):
        return answer
    return answer.get(shown.asked[0][0].reading) if shown.asked else None


def _by_itself(shown: Prompt) -> str | None:
    """Return what answers without being told: Enter, and what is simply done."""
    if shown.enter:
        return ""
    only_done = [one.key for one in shown.choices] == [DONE]
    return DONE if only_done or (shown.step.startswith(REPAIR) and shown.choices) else None


def _unused(answers: Mapping[str, Answer], times: Counter[str]) -> tuple[str, ...]:
    met = {name for step in times for name in names_of(step)}
    return tuple(name for name in answers if name not in met)

"""A walk with pretend readings: the same guide answers as on a job, and nothing is written down."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from engine.authoring.study import Study
from engine.guide.casework import NOON, walk_case
from engine.guide.echo import echo
from engine.guide.headless import SECONDS_A_STEP
from engine.guide.prompt import Now, Prompt, prompt
from engine.guide.talk import QUIET, Reply, Talk, View
from engine.guide.typed import typed
from engine.session.advancing import begin
from engine.session.folding import fold
from engine.tree import WalkTree


@dataclass(frozen=True)
class Pretend:
    """How far a pretend walk has come."""

    view: View
    talk: Talk = QUIET
    asks: str = ""
    lines: tuple[str, ...] = ()
    """What the last line came to."""
    refused: tuple[str, ...] = ()
    """Why the last line was not taken: text, caret, sentence."""
    left: bool = False

    @property
    def now(self) -> datetime:
        """The hour that the walk pretends it is."""
        return _clock(self.view)

    @property
    def prompt(self) -> Prompt:
        """What is wanted now."""
        return prompt(self.view.walk, self.view.state, self.now)

    @property
    def wanted(self) -> str:
        """What stands before the entry line."""
        return self.asks or self.prompt.wanted

    @property
    def ended(self) -> bool:
        """Whether the walk is at its end."""
        return self.prompt.now is Now.ENDED

    def entered(self, text: str) -> Pretend:
        """Return the walk after a typed line; a wait is taken as over by Enter."""
        reply = typed(self.view, self.talk, text, self.now)
        if not reply.entries:
            return _answered(self, reply)
        entries = (*self.view.entries, *reply.entries)
        after = replace(self.view, state=fold(self.view.walk, entries), entries=entries)
        lines = (*reply.lines, *echo(self.view.walk, self.view.state, after.state))
        return Pretend(after, reply.talk, reply.asks, lines, left=reply.leave)


def _answered(before: Pretend, reply: Reply) -> Pretend:
    return replace(
        before,
        talk=reply.talk,
        asks=reply.asks,
        lines=reply.lines,
        refused=reply.refused,
        left=reply.leave,
    )


def _clock(view: View) -> datetime:
    return NOON + timedelta(seconds=SECONDS_A_STEP * (len(view.entries) + 1))


def pretend(walk: WalkTree) -> Pretend:
    """Return a pretend walk at its beginning."""
    return Pretend(View(walk, begin(walk), (), ""))


def pretend_to(study: Study, step: str) -> tuple[Pretend, str]:
    """Return a pretend walk that stands before a step, and the case that led there.

    Of a procedure that is used, before its first step that asks. The answers of the first case
    that answers the step are given up to there; without one the walk stands at its beginning, and
    no case is named. The study has a tree.
    """
    assert study.walk is not None
    inside = (one for one in study.answered if one.startswith(f"{step}/"))
    asks = step if step in study.answered else next(inside, "")
    name = study.answered.get(asks, "")
    if not name or study.cases is None:
        return pretend(study.walk), ""
    view = walk_case(study.walk, study.cases.cases[name]).view
    at = next(n for n, entry in enumerate(view.entries) if entry.step == asks)
    before = view.entries[:at]
    return Pretend(replace(view, state=fold(study.walk, before), entries=before)), name

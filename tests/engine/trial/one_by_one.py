"""One row walked as a person would: every answer typed at the prompt, every display read off.

The other way of the both-ways test. It asks the same simulated unit, a row of its own, and goes
through the guide line by line; nothing of the walk in batches has a part in it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import numpy as np

from engine.guide.answering import OVER
from engine.guide.judged_entry import judged
from engine.guide.prompt import Now, Prompt, question
from engine.guide.talk import QUIET, Mode, View
from engine.guide.typed import typed
from engine.power import Act
from engine.session.advancing import advance, begin
from engine.session.judging import Spot
from engine.session.state import State
from engine.session.steps import step_named
from engine.tree import DONE, REPAIR, ActHead, Step, WalkTree
from engine.trial.answering import Choosing
from engine.trial.bridge import has_point, points_of, wanted, when_of
from engine.trial.site import Site, Work
from engine.trial.walking import done
from engine.unit.faults import Row
from engine.unit.unit import Unit

_START = datetime(2026, 1, 1, 12, tzinfo=UTC)
_MOST = 600
_ONE = np.array([0])


@dataclass
class OneByOne:
    """One technician at one unit."""

    walk: WalkTree
    unit: Unit
    row: Row
    seed: int

    def __post_init__(self) -> None:
        self.site = Site(self.unit, [self.row], self.seed)
        self.choosing = Choosing(self.site)
        self.work = Work()

    def walked(self) -> State:
        """Return where the walk ends, or where it was refused."""
        now, view = _START, View(self.walk, begin(self.walk), (), "")
        for _ in range(_MOST):
            shown = question(self.walk, view.state, now)
            if shown.now in (Now.ENDED, Now.REFUSED):
                break
            now += timedelta(seconds=1)
            text = self._text(shown, view.state)
            if not text and not shown.field:
                break
            view = self._typed(view, text, now)
        return view.state

    def _typed(self, view: View, text: str, now: datetime) -> View:
        reply = typed(view, QUIET, text, now)
        if reply.talk.mode is Mode.SURE:
            reply = typed(view, reply.talk, "1", now)
        assert reply.entries, (view.state.step, text, reply)
        for entry in reply.entries:
            state = advance(view.walk, view.state, entry)
            kept = judged(view.walk, entry, state)
            view = replace(view, state=state, entries=(*view.entries, kept))
        return view

    def _text(self, shown: Prompt, state: State) -> str:
        if shown.now is Now.WAIT:
            return OVER
        if shown.field is not None:
            plate = dict(self.unit.nameplate)
            for fault in self.row.faults:
                plate.update(fault.nameplate)
            said = plate.get(shown.field.name)
            return shown.field.default if said is None else ", ".join(said) or "none"
        step = step_named(self.walk, shown.step)
        assert isinstance(step.head, ActHead)
        if shown.asked:
            return self._read(step, shown.asked[0][0])
        return self._chosen(step, step.head)

    def _read(self, step: Step, spot: Spot) -> str:
        """Return one display as somebody reads it off; empty where the meter is refused."""
        points = points_of(spot)
        if not all(has_point(self.unit, point) for point in points):
            return "not there" if spot.may_be_missing else ""
        when = when_of(spot)
        need = wanted(self.walk, self.unit, step, when)
        shown = self.site.read(self.work, _ONE, need, spot.function, points, when)
        reading = shown.reading(0)
        return reading.typed if reading else ""

    def _chosen(self, step: Step, head: ActHead) -> str:
        self.work = done(self.work, head)
        if head.act is Act.SWITCH_ON:
            self.site.reset(_ONE, head.device)
        ((key, _),) = self.choosing.answers(step, head, self.work, _ONE)
        if head.act in (Act.RUN, Act.SWITCH_ON, Act.VERIFY):
            self.site.happened(self.work, _ONE)
        mends = head.act in (Act.REPAIR, Act.HANDS_ON, Act.HANDS_IN)
        if step.name.startswith(REPAIR) and mends and key == DONE:
            finding = self.walk.tree.findings[step.name.removeprefix(REPAIR)]
            self.site.replaced(_ONE, finding.device)
            self.work = self.work._replace(repaired=self.work.repaired | {finding.suspect})
        return key

"""In which stage the work is, at every place of a walk, by the session's own rules."""

from __future__ import annotations

from typing import NamedTuple

from engine import power
from engine.session.stages import change_stage, stage_changed, stage_failed
from engine.session.state import State
from engine.session.steps import layout_of
from engine.tree import CHANGING, LEAVE, PassHead, SortHead, Step, WalkTree


class Where(NamedTuple):
    """The stage the work is in, and how it came to be there."""

    stage: str
    """Empty outside."""
    failed: bool = False
    """A change of stage did not succeed; ``any`` steps take things as they stand."""
    during: str = ""
    """``enter STAGE`` or ``leave STAGE`` while that is under way."""
    stopped: bool = False
    """A reason to stop was given: no stage is entered or left any more."""


class Change(NamedTuple):
    """What comes before a step can be done: a change of stage, or nothing."""

    call: str
    """The procedure to go through; empty where none is needed."""
    to: Where
    """Where the work is then."""


class Stages:
    """The changes of stage of one tree; each is asked of the session once."""

    def __init__(self, walk: WalkTree) -> None:
        self._walk = walk
        self._power = power.begin(layout_of(walk))
        self._known: dict[tuple[Where, str, bool], Change] = {}
        self.outside = Where("")
        self.stopped = Where("", stopped=True)

    def change(self, where: Where, step: Step) -> Change:
        """Return the change of stage that a step needs next."""
        silent = isinstance(step.head, SortHead | PassHead)
        key = (where, step.stage, silent)
        if key not in self._known:
            self._known[key] = self._asked(where, step)
        return self._known[key]

    def _asked(self, where: Where, step: Step) -> Change:
        if where.stopped:
            return Change("", where)
        before = self._state(where)
        after, elsewhere = change_stage(self._walk, before, step)
        while elsewhere == step.name and not after.changing and after.stage != before.stage:
            # A stage that takes no work to leave or enter.
            before = after
            after, elsewhere = change_stage(self._walk, before, step)
        if not elsewhere:
            return Change("", Where(after.stage, after.failed, after.changing))
        return Change(elsewhere, _where(stage_changed(self._walk, after)[0]))

    def _state(self, where: Where) -> State:
        return State(
            power=self._power,
            stage=where.stage,
            failed=where.failed,
            changing=where.during,
            heading="-" if where.during else "",
        )

    def during(self, change: str) -> Where:
        """Return where the work is while a change of stage is under way."""
        verb, stage = change.split(" ", 1)
        left = stage if f"{verb} " == LEAVE else self._walk.tree.stages[stage].from_
        return Where(left, during=change)

    def failed(self, where: Where) -> Where:
        """Return where the work is after a change of stage that was not made."""
        return _where(stage_failed(self._state(where)))

    def changing(self, step: Step) -> bool:
        """Return whether a step belongs to a change of stage."""
        return step.stage == CHANGING


def _where(state: State) -> Where:
    return Where(state.stage, state.failed, state.changing)

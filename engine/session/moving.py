"""Moving through a tree: from a target to the next step that a person has to do.

Everything silent happens here: steps that don't apply are passed over, sorts decide, procedures
are entered and left, and a reading that is known and still counts is used and not asked again.
A move never performs an act, and it never fails: where a tree leads nowhere, or the safety model
refuses what is next and nothing puts it right, the walk stands there and *can't* leads on.
"""

from __future__ import annotations

from engine.power.state import Cover
from engine.session.first import WAY_OUT, comes_first, puts_right
from engine.session.following import target_of
from engine.session.judging import holds
from engine.session.known import given_values as given_values
from engine.session.known import lookup as lookup
from engine.session.known import phases_of as phases_of
from engine.session.nameplate import decides, field_needed
from engine.session.silent import Way, already_known, nothing_to_do, sort
from engine.session.stages import change_stage, leaves_first, stage_failed
from engine.session.state import Passed, State
from engine.session.steps import deed_of, refusals, step_named
from engine.session.steps import layout_of as layout_of
from engine.tree import (
    ANY_STAGE,
    CHANGING,
    ENTER,
    STUCK_REASONS,
    ActHead,
    HandOverHead,
    PassHead,
    SortHead,
    Step,
    UseHead,
    WalkTree,
)

LONGEST = 2000
"""Silent moves in a row after which a tree is taken to run in a circle."""

CIRCLE = "the tree runs in a circle here"

DEFAULT = "default"
"""Of a nameplate that can't be read: its default is taken, which the guide does."""

WITHDRAW = "withdraw"
"""The shared procedure that a reason to stop leads to."""


def go(walk: WalkTree, state: State, target: str) -> State:
    """Return the state at the next step that somebody has to do, beginning at ``target``.

    A tree that runs in a circle is left by its *if stuck*, or if that is in the circle withdrawn
    from.
    """
    for way in (target, walk.tree.if_stuck, WAY_OUT):
        state, target = _go(walk, state, way)
        if not target:
            return state
        passed = Passed(0, target, CIRCLE, CIRCLE, silent=True)
        state = stage_failed(state._replace(passed=(*state.passed, passed)))
    raise AssertionError("the engine's own way out asks something at once")


def _go(walk: WalkTree, state: State, target: str) -> Way:
    for _ in range(LONGEST):
        step = step_named(walk, target)
        if state.changing and step.stage != CHANGING:
            # The way out of a change of stage that no return of it led to.
            state = stage_failed(state)
        needs = "" if state.stopped else _asks(walk, state, step)
        if needs in state.unread:
            state, target = not_readable(walk, state, step, needs)
            continue
        if needs:
            return _stand(state, target)._replace(needs=needs), ""
        if not holds(step.condition, state.words):
            state, target = target_of(walk, state, step.name, step.if_not)
            continue
        known = not _waits(walk, state, step) or not field_needed(walk, state, step)
        if known and (passed := already_known(walk, state, step)):
            # Before the stage is changed: nobody opens a box for what is known.
            state, target = passed
            continue
        state, elsewhere = change_stage(walk, state, step)
        state, target = (state, elsewhere) if elsewhere else _reach(walk, state, step)
        if not target:
            return state, ""
    return state, target


def _asks(walk: WalkTree, state: State, step: Step) -> str:
    """Return the nameplate field to ask before a step; empty for none.

    Who comes back looks round first, and a box that is left is shut first. What the step wants
    that they are heading for is asked on the way to it, before the next box is opened.
    """
    if _waits(walk, state, step):
        return decides(walk, state, step)
    needs = field_needed(walk, state, step)
    on_the_way = isinstance(step.head, ActHead) and state.changing.startswith(ENTER)
    all_shut = all(cover is Cover.SHUT for cover in state.power.cover)
    if needs or not (on_the_way and all_shut and state.power.looked_over):
        return needs
    needs = field_needed(walk, state, step_named(walk, state.heading))
    return "" if needs in state.unread else needs


def _waits(walk: WalkTree, state: State, step: Step) -> bool:
    """Return whether something comes before the questions that a step rests on."""
    looks_first = isinstance(step.head, ActHead | UseHead) and step.stage not in _NO_STAGE
    came_back = state.stale and not state.power.looked_over and looks_first
    return came_back or leaves_first(walk, state, step)


_NO_STAGE = ("", ANY_STAGE, CHANGING)
"""Of steps before which no stage is entered."""


def not_readable(walk: WalkTree, state: State, step: Step, field: str) -> Way:
    """Return the way on from a step whose nameplate can't be read."""
    unreadable = walk.fields[field].if_unreadable
    target = step.cannot.get(STUCK_REASONS[-1], "") if unreadable in ("", DEFAULT) else unreadable
    return target_of(walk, state, step.name, target or walk.tree.if_stuck)


def _reach(walk: WalkTree, state: State, step: Step) -> Way:
    """Return the state and the step to go on to; empty where the walk stops at this step."""
    match step.head:
        case PassHead():
            return target_of(walk, state, step.name, step.then)
        case UseHead():
            return state, walk.begins[step.name]
        case SortHead() as head:
            return sort(walk, state, step, head)
        case HandOverHead() as head:
            return _stand(state, "")._replace(handed_to=head.tree), ""
        case ActHead() as head:
            return _reach_act(walk, state, step, head)
        case _:
            # A list is written out when the tree is expanded; nothing else is left.
            return state, walk.tree.if_stuck


def _reach_act(walk: WalkTree, state: State, step: Step, head: ActHead) -> Way:
    if passed := nothing_to_do(walk, state, step, head):
        return passed
    if refusals(walk, state.power, step):
        return _refused(walk, state, step)
    if head.end:
        return _stand(state, "")._replace(end=head.end, ending=step.name), ""
    return _stand(state, step.name), ""


def _stand(state: State, name: str) -> State:
    return state._replace(step=name, needs="", gathered={}, close=False, waited=False)


def _refused(walk: WalkTree, state: State, step: Step) -> Way:
    """Return the way to what the safety model wants before the step, where there is one.

    A step of the engine's own where that is enough; else in a stage the stage is entered anew,
    and a change of stage begun anew, once each. Where nothing helps the walk stands at the step,
    and the guide says why it is refused.
    """
    layout, deed = layout_of(walk), deed_of(step)
    first = comes_first(layout, state.power, deed, state.helped)
    inside = step.stage == state.stage and bool(state.stage) and not state.changing
    inside = inside and not state.stopped and not state.helped
    if not (first and puts_right(layout, state.power, deed)):
        if inside and step.name not in state.retried:
            return state._replace(stale=True, retried=(*state.retried, step.name)), step.name
        if not first and state.changing and state.changing not in state.retried:
            retried = (*state.retried, state.changing)
            return state._replace(retried=retried), walk.begins[state.changing]
    if not first:
        return _stand(state, step.name), ""
    return _stand(state._replace(first=step.name), first), ""


def stand_again(walk: WalkTree, state: State) -> State:
    """Return the state at its step anew: what was permitted there may not be any more.

    Also what has ended ends anew, if it may.
    """
    if state.needs or state.handed_to:
        return state
    place = state.first or state.step or state.ending
    again = go(walk, state._replace(first="", helped=(), end="", ending=""), place)
    if again.step != state.step or again.needs:
        return again
    return again._replace(gathered=state.gathered, close=state.close, waited=state.waited)


def stop(walk: WalkTree, state: State, reason: str) -> State:
    """Return the state on the tree's way out, or the engine's own, for a reason to stop."""
    return go(walk, off_the_way(state._replace(stopped=reason)), _way_out(walk))


def withdraw(walk: WalkTree, state: State) -> State:
    """Return the state on the engine's own way out: nothing is left that can be done."""
    return go(walk, off_the_way(state), WAY_OUT)


def off_the_way(state: State) -> State:
    """Return the state with everything dropped that was on its way to something."""
    return stage_failed(state)._replace(first="", helped=(), retried=(), needs="")


def _way_out(walk: WalkTree) -> str:
    for name, step in walk.tree.steps.items():
        if isinstance(step.head, UseHead) and step.head.procedure == WITHDRAW:
            return name
    return WAY_OUT

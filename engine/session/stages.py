"""Changing the stage: which of the tree's own procedures brings the wanted stage nearer.

A change of stage is a chain of ordinary steps with the step it is made for kept in ``heading``.
It adds acts; it never stands in for one.
"""

from __future__ import annotations

from engine.session.state import State
from engine.tree import (
    ANY_STAGE,
    CHANGING,
    ENTER,
    LEAVE,
    OUTSIDE,
    PassHead,
    SortHead,
    Step,
    WalkTree,
)


def change_stage(walk: WalkTree, state: State, step: Step) -> tuple[State, str]:
    """Return the state, and the step to go to first; empty where nothing has to change.

    A sort asks nothing and has no stage; an ``any`` step stays where it is after a change that
    failed; after a reason to stop nothing is entered or left any more.
    """
    silent = isinstance(step.head, SortHead | PassHead)
    if silent or state.changing or state.stopped or step.stage == CHANGING:
        return state, ""
    if step.stage == ANY_STAGE and state.failed:
        return state, ""
    wanted = OUTSIDE if step.stage == ANY_STAGE else step.stage
    if wanted == state.stage and not (state.stale and wanted):
        if state.stale or state.failed:
            state = state._replace(stale=False, failed=False)
        return state, ""
    move = _towards(walk, state, wanted)
    state = state._replace(changing=move, heading=step.name, failed=False)
    return (state, move) if move in walk.steps else stage_changed(walk, state)


def leaves_first(walk: WalkTree, state: State, step: Step) -> bool:
    """Return whether the present stage is left before a step, and its box shut."""
    silent = isinstance(step.head, SortHead | PassHead)
    if silent or state.changing or state.stopped or step.stage == CHANGING or not state.stage:
        return False
    if step.stage == ANY_STAGE:
        return not state.failed
    return step.stage != state.stage and _towards(walk, state, step.stage).startswith(LEAVE)


def _towards(walk: WalkTree, state: State, wanted: str) -> str:
    """Return the chain that brings ``wanted`` nearer.

    A stage that went stale on the way is entered anew first; one that can only be entered from
    another is left for that, since what the other stands on is stale, too.
    """
    stages, present = walk.tree.stages, state.stage
    way = [wanted] if wanted else []
    while way and stages[way[-1]].from_:
        way.append(stages[way[-1]].from_)
    if present not in way:
        return LEAVE + present if present else ENTER + way[-1]
    if not state.stale:
        return ENTER + way[way.index(present) - 1]
    return LEAVE + present if stages[present].from_ else ENTER + present


def stage_changed(walk: WalkTree, state: State) -> tuple[State, str]:
    """Return the state after a change of stage that succeeded, and the step it was made for.

    Leaving a stage that was stale leaves the one below it stale, unless it was proven on the way.
    """
    verb, stage = state.changing.split(" ", 1)
    entered = f"{verb} " == ENTER
    now = stage if entered else walk.tree.stages[stage].back_to
    stale = state.stale and bool(now) and not entered and not state.proved
    done = state._replace(stage=now, stale=stale, failed=False, changing="", heading="")
    return done, state.heading


def stage_failed(state: State) -> State:
    """Return the state after a change of stage that did not succeed: stay, and deal with it."""
    return state._replace(failed=True, changing="", heading="")

"""Changing the stage: which of the tree's own procedures brings the wanted stage nearer.

A change of stage is a chain of ordinary steps with the step it is made for kept in ``heading``.
It adds acts; it never stands in for one.
"""

from __future__ import annotations

from dataclasses import replace

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
    """Return the state, and the step that changes the stage; empty where nothing has to change.

    A sort asks nothing and has no stage; an ``any`` step stays where it is after a change that
    failed; after a stop reason nothing is entered or left any more.
    """
    silent = isinstance(step.head, SortHead | PassHead)
    if silent or state.changing or state.stopped or step.stage == CHANGING:
        return state, ""
    if step.stage == ANY_STAGE and state.failed:
        return state, ""
    wanted = OUTSIDE if step.stage == ANY_STAGE else step.stage
    if wanted == state.stage and not (state.stale and wanted):
        return replace(state, stale=False, failed=False), ""
    move = _towards(walk, state.stage, wanted)
    if not move:
        outside = walk.tree.stages[state.stage].back_to
        return replace(state, stage=outside), step.name
    return replace(state, changing=move, heading=step.name, failed=False), move


def _towards(walk: WalkTree, present: str, wanted: str) -> str:
    """Return the chain that brings ``wanted`` nearer; empty if leaving takes no work."""
    stages = walk.tree.stages
    way = [wanted] if wanted else []
    while way and stages[way[-1]].from_:
        way.append(stages[way[-1]].from_)
    if present in way:
        return ENTER + way[max(way.index(present) - 1, 0)]
    if not present:
        return ENTER + way[-1]
    return LEAVE + present if stages[present].leave else ""


def stage_changed(walk: WalkTree, state: State) -> tuple[State, str]:
    """Return the state after a change of stage that succeeded, and the step it was made for."""
    verb, stage = state.changing.split(" ", 1)
    now = stage if f"{verb} " == ENTER else walk.tree.stages[stage].back_to
    done = replace(state, stage=now, stale=False, failed=False, changing="", heading="")
    return done, state.heading


def stage_failed(state: State) -> State:
    """Return the state after a change of stage that did not succeed: stay, and deal with it."""
    return replace(state, failed=True, changing="", heading="")

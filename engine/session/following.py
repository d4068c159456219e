"""What follows from an outcome: a finding, the step it names, what it says of the suspects."""

from __future__ import annotations

from engine import power
from engine.session.judging import Judged
from engine.session.stages import stage_changed, stage_failed
from engine.session.state import Bearing, Found, Passed, State
from engine.session.steps import layout_of
from engine.tree import DONE, GO_ON, REPAIR, RETURN, Outcome, Step, UseHead, WalkTree


def follow(walk: WalkTree, state: State, name: str, outcome: Outcome) -> tuple[State, str]:
    """Return the state and the next step after ``outcome`` of the step ``name``.

    Findings and side findings are recorded; ``go on`` and return words are looked up.
    """
    if outcome.also:
        state = state._replace(found=(*state.found, _found(state, outcome.also, name, outcome)))
    if outcome.finds:
        return _find(walk, state, name, outcome)
    return target_of(walk, state, name, outcome.then)


def target_of(walk: WalkTree, state: State, name: str, then: str) -> tuple[State, str]:
    """Return the state and the step that a target word of the step ``name`` stands for."""
    if then == GO_ON:
        return state, state.go_on or walk.tree.if_stuck
    if then.startswith(RETURN):
        return _come_back(walk, state, name, then.removeprefix(RETURN))
    return state, then


def _find(walk: WalkTree, state: State, name: str, outcome: Outcome) -> tuple[State, str]:
    found = _found(state, outcome.finds, name, outcome)
    known = power.cause_found(layout_of(walk), state.power)
    go_on = outcome.if_still_wrong or state.go_on
    state = state._replace(found=(*state.found, found), power=known, go_on=go_on)
    return state, REPAIR + outcome.finds


def _found(state: State, finding: str, step: str, outcome: Outcome) -> Found:
    last = state.passed[-1].n if state.passed else 0
    return Found(finding, step, last, outcome.verdict)


def _come_back(walk: WalkTree, state: State, name: str, word: str) -> tuple[State, str]:
    """Return the way on after a procedure's return, to the outcome of the step that used it."""
    user = walk.inside[name]
    state = state._replace(verdicts={**state.verdicts, user: word})
    if user == state.changing:
        if word == DONE:
            return stage_changed(walk, state)
        state = stage_failed(state)
    head = walk.steps[user].head
    assert isinstance(head, UseHead)
    outcome = head.returns.get(word) or Outcome(then=walk.tree.if_stuck)
    state = bear(state, user, outcome, state.passed[-1].n if state.passed else 0)
    return follow(walk, state, user, outcome)


def record(state: State, step: Step, judged: Judged, passed: Passed) -> State:
    """Return the state with a step passed and its verdict kept for the sorts to come.

    What was gathered for it is in ``passed`` now.
    """
    state = state._replace(
        verdicts={**state.verdicts, step.name: passed.verdict},
        passed=(*state.passed, passed),
        gathered={},
        close=False,
    )
    return bear(state, step.name, judged.outcome, passed.n)


def bear(state: State, step: str, outcome: Outcome, n: int) -> State:
    """Return the state with what an outcome says of the suspects."""
    said = [Bearing(one, step, outcome.verdict, True, n) for one in outcome.clears]
    said += [Bearing(one, step, outcome.verdict, False, n) for one in outcome.points_to]
    return state._replace(bearings=(*state.bearings, *said)) if said else state

"""What an answer comes to: the act is done, the step passed, the next one reached."""

from __future__ import annotations

from dataclasses import replace

from engine import power
from engine.entries import Entry
from engine.power import Act, pessimistic
from engine.session.following import follow, record, target_of
from engine.session.freshness import keep_time, make_stale
from engine.session.judging import Judged, Unplaced
from engine.session.moving import go, stop
from engine.session.state import Passed, State
from engine.session.steps import deed_of, is_repair, layout_of
from engine.tree import NOT_NOW, REPAIR, ActHead, Outcome, Step, WalkTree

THEIR_LOCK = "their lock"
"""The one reason to stop that stops no other work: it guards the device it is on."""


def conclude(walk: WalkTree, state: State, step: Step, judged: Judged, entry: Entry) -> State:
    """Return the state after an answer: the act done, the step passed, the next one reached."""
    passed = _passed(state, step, entry, judged.key, judged.outcome)
    before = state.power
    state = _do(walk, state, step, judged, entry)
    state = record(state, step, judged, passed)
    if is_repair(step.name):
        state = worked(state, step.name, judged.key)
    if state.first:
        return _back_to(walk, state, step, before)
    state = _answered(state)
    return go(walk, *follow(walk, state, step.name, judged.outcome))


def unplaced(walk: WalkTree, state: State, step: Step, judged: Unplaced, entry: Entry) -> State:
    """Return the state after readings that have no answer: as *can't*, but the meter was in.

    The act counts as its worst where that takes proof away; a check that could not be read is no
    fault found.
    """
    word = str(judged.special)
    passed = _passed(state, step, entry, word, Outcome(word, judged.sentence))
    state = state._replace(passed=(*state.passed, passed), gathered={}, close=False)
    head = step.head
    assert isinstance(head, ActHead)
    if head.act in (Act.PROVE_DEAD, Act.DISCHARGE, Act.READ_LIVE):
        state = _do(walk, state, step, Judged(word, Outcome()), entry)
    elif head.act in (Act.READ_DEAD, Act.CHECK, Act.INSULATION_TEST):
        state = state._replace(power=state.power._replace(clear=False))
    if state.first:
        return _back_to(walk, state, step, state.power)
    target = step.cannot.get("not now") or walk.tree.if_stuck
    return go(walk, *target_of(walk, _answered(state), step.name, target))


def _passed(state: State, step: Step, entry: Entry, key: str, outcome: Outcome) -> Passed:
    """Return a step as passed, with what was read for it."""
    readings = tuple((*place, one) for place, one in state.gathered.items())
    verdict = outcome.verdict or key
    return Passed(entry.n, step.name, key, verdict, outcome.means, readings)


def _answered(state: State) -> State:
    """Return the state with what was tried for the step that is answered forgotten."""
    if not state.helped and not state.retried:
        return state
    return state._replace(helped=(), retried=state.retried if state.changing else ())


def _do(walk: WalkTree, state: State, step: Step, judged: Judged, entry: Entry) -> State:
    """Return the state after the act of a step, with the effect its outcome counts as."""
    if is_repair(step.name) and judged.key == NOT_NOW:
        return state
    deed = deed_of(step)
    if judged.outcome.on:
        deed = replace(deed, on=judged.outcome.on)
    effect = judged.outcome.counts_as or pessimistic(deed.act)
    layout = layout_of(walk)
    after = power.apply(layout, state.power, deed, effect)
    changed = make_stale(walk, layout, state._replace(power=after), state.power, deed)
    if after.stop not in ("", THEIR_LOCK):
        changed = changed._replace(stopped=state.stopped or after.stop)
    return keep_time(layout, changed, state.power, entry.time)


def worked(state: State, name: str, key: str) -> State:
    """Return the state with what became of a finding's repair."""
    finding = name.removeprefix(REPAIR)
    found = list(state.found)
    for at in range(len(found) - 1, -1, -1):
        if found[at].finding == finding:
            found[at] = replace(found[at], work=key)
            break
    return state._replace(found=tuple(found))


def _back_to(walk: WalkTree, state: State, step: Step, before: power.State) -> State:
    """Return the state back at the step for which one of the engine's own was put in.

    A reason to stop that came up meanwhile leads out instead.
    """
    if state.power.stop != before.stop and state.power.stop != THEIR_LOCK:
        return stop(walk, state, state.power.stop)
    target = state.first
    return go(walk, state._replace(first="", helped=(*state.helped, step.name)), target)

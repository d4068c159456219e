"""Steps that answer themselves: sorts, readings known already, locks that are off already.

None of them performs an act: what they pass over has no effect on the safety model.
"""

from __future__ import annotations

from dataclasses import replace

from engine import power
from engine.power import Act, Position, pessimistic
from engine.power.state import MINE, Cover
from engine.reading import Special
from engine.session.following import follow, record
from engine.session.judging import (
    Judged,
    Known,
    Unplaced,
    by_word,
    classify,
    judge,
    names_of,
    settle_close,
)
from engine.session.known import Keyed, given_values, keep_names, keyed, lookup, spots_of
from engine.session.state import Passed, State
from engine.session.steps import deed_of, layout_of, step_named
from engine.tree import DONE, ActHead, Judgement, Outcome, SortHead, Step, WalkTree

NOT_TAKEN = "not taken"
"""The word of a sort for what was never asked or read, or counts no more."""

Way = tuple[State, str]
"""A state, and the step to go on to."""


def sort(walk: WalkTree, state: State, step: Step, head: SortHead) -> Way:
    """Return the way on from a sort; what has no answer there is taken as being stuck."""
    known = lookup(walk, state)
    judged = _sorted(state, step, head, known)
    if isinstance(judged, Unplaced):
        return state, walk.tree.if_stuck
    if judged.close:
        judged = settle_close(step, judged)
    return follow(
        walk, record(state, step, judged, _silently(step, judged)), step.name, judged.outcome
    )


def _sorted(state: State, step: Step, head: SortHead, known: Known) -> Judged | Unplaced:
    if head.by_formula is not None:
        judged = classify(step, {}, known)
        unknown = isinstance(judged, Unplaced) and judged.unknown
        return _not_taken(head.judgement) if unknown else judged
    if head.by_step:
        return by_word(head.judgement, state.verdicts.get(head.by_step, NOT_TAKEN))
    number = state.numbers.get(head.by_name)
    if number is not None:
        return classify(step, {head.by_name: number}, known)
    word = state.words.get(head.by_name, NOT_TAKEN)
    return by_word(head.judgement, word if isinstance(word, str) else NOT_TAKEN)


def _not_taken(judgement: Judgement) -> Judged | Unplaced:
    """Return the answer for what is not known; the last band is not for that."""
    if NOT_TAKEN in judgement.answers:
        return Judged(NOT_TAKEN, judgement.answers[NOT_TAKEN])
    return Unplaced(Special.CANT_READ, "It is not known.", unknown=True)


def already_known(walk: WalkTree, state: State, step: Step) -> Way | None:
    """Return the way on where every reading of a step is known and counts; else None.

    A reading alone proves, checks and switches nothing: only plain readings are passed over, and
    none that speaks against what the safety model holds.
    """
    head = step.head
    if not isinstance(head, ActHead) or head.act not in (Act.READ_LIVE, Act.READ_DEAD):
        return None
    if not state.taken or step.wait or step.again:
        return None
    wanted = keyed(spots_of(walk, state, step), head.leads_off)
    took = [one for _, key in wanted if (one := state.taken.get(key))]
    if not wanted or len(took) < len(wanted):
        return None
    if any(one.stale or step.name in one.answered for one in took):
        return None
    pairs = zip(wanted, took, strict=True)
    readings = {(spot.reading, spot.label): one.reading for (spot, _), one in pairs}
    given = given_values(readings)
    names = names_of(step, given, lookup(walk, state))
    judged = judge(step, given, names)
    if isinstance(judged, Unplaced) or judged.close or _speaks_against(walk, state, step, judged):
        return None
    taken = tuple((*spot, one) for spot, one in readings.items())
    passed = replace(_silently(step, judged), readings=taken)
    state = keep_names(_used(state, wanted, step.name), step, wanted, names.own)
    return follow(walk, record(state, step, judged, passed), step.name, judged.outcome)


def _speaks_against(walk: WalkTree, state: State, step: Step, judged: Judged) -> bool:
    """Return whether the answer would make anything in the safety model worse."""
    deed = deed_of(step)
    if judged.outcome.on:
        deed = replace(deed, on=judged.outcome.on)
    layout = layout_of(walk)
    effect = judged.outcome.counts_as or pessimistic(deed.act)
    after = power.apply(layout, state.power, deed, effect)._replace(clear=state.power.clear)
    return power.worse(layout, state.power, after) != state.power


def _used(state: State, wanted: Keyed, step: str) -> State:
    taken = dict(state.taken)
    for _, key in wanted:
        taken[key] = replace(taken[key], answered=taken[key].answered | {step})
    return state._replace(taken=taken)


def _silently(step: Step, judged: Judged) -> Passed:
    verdict = judged.outcome.verdict or judged.key
    return Passed(0, step.name, judged.key, verdict, judged.outcome.means, silent=True)


def nothing_to_do(walk: WalkTree, state: State, step: Step, head: ActHead) -> Way | None:
    """Return the way on past what is by report as the step would have it; else None.

    A lock to come off that is not on: it may be off already where an entry was taken back, and the
    safety model refuses taking off what is not there. A handle to switch off that is under one's
    own lock, a box to open that is open: so it is for who comes back. People and tools that were
    reported clear a moment ago, before the lock came off. Passing over does nothing.
    """
    at_work, layout = state.power, layout_of(walk)
    match head.act:
        case Act.UNLOCK if not head.judgements:
            position = at_work.position[layout.device_at[head.device]]
            said = NO_LOCK if position in (Position.OPEN, Position.CLOSED) else ""
        case Act.SWITCH_OFF:
            said = LOCKED if at_work.position[layout.device_at[head.device]] in MINE else ""
        case Act.OPEN_UP if not head.judgements:
            said = IS_OPEN if at_work.cover[layout.box_at[head.box]] is Cover.OPEN else ""
        case Act.ALL_CLEAR:
            said = (
                CLEAR if at_work.clear and at_work.looked_over and _just_said(walk, state) else ""
            )
        case _:
            said = ""
    outcome = _done(step, head)
    if not said or outcome is None:
        return None
    state = state._replace(passed=(*state.passed, Passed(0, step.name, said, said, silent=True)))
    return follow(walk, state, step.name, outcome)


def _just_said(walk: WalkTree, state: State) -> bool:
    """Return whether *all clear* was the last thing reported, but for a lock taken off."""
    asked = (step_named(walk, one.step).head for one in reversed(state.passed) if not one.silent)
    acts = (head.act for head in asked if isinstance(head, ActHead))
    return next((act for act in acts if act is not Act.UNLOCK), None) is Act.ALL_CLEAR


def _done(step: Step, head: ActHead) -> Outcome | None:
    """Return what follows from a step that was done as it says; None where no answer says so."""
    if not head.judgements:
        return Outcome(then=step.then)
    answers = head.judgements[0].answers.values()
    return next((one for one in answers if one.counts_as in ("", DONE)), None)


NO_LOCK = "no lock of yours is reported there"
LOCKED = "your lock is reported on it"
IS_OPEN = "it is reported open"
CLEAR = "reported a moment ago"

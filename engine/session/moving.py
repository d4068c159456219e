"""Moving through a tree: from an outcome to the next step that a person has to do.

Everything silent happens here: steps that don't apply are passed over, sorts decide, procedures
are entered and left, and a reading that is known and still counts is used and not asked again.
A move never performs an act.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from engine import power
from engine.formula import Value
from engine.layouts import LAYOUTS, Layout
from engine.power import Act
from engine.reading import Reading, Special
from engine.session.judging import (
    Judged,
    Known,
    Spot,
    Unplaced,
    classify,
    holds,
    names_of,
    spots,
    value_of,
    windows,
)
from engine.session.nameplate import PHASES, field_needed
from engine.session.stages import change_stage, stage_changed, stage_failed
from engine.session.state import Bearing, Found, Passed, ReadingKey, State
from engine.session.steps import deed_of, name_of, step_named, what_comes_first
from engine.tree import (
    GO_ON,
    OTHERWISE,
    REPAIR,
    RETURN,
    ActHead,
    HandOverHead,
    Outcome,
    PassHead,
    SortHead,
    Step,
    UseHead,
    WalkTree,
)

LONGEST = 5000
"""Silent moves in a row before a tree is taken to run in a circle (the loader refuses those)."""

NOT_TAKEN = "not taken"


class CircleError(RuntimeError):
    """A tree led from step to step without asking anything; a checked tree cannot."""


def layout_of(walk: WalkTree) -> Layout:
    """Return the engine's layout that the tree names."""
    return LAYOUTS[walk.tree.layout]


def go(walk: WalkTree, state: State, target: str) -> State:
    """Return the state at the next step that somebody has to do, beginning at ``target``."""
    for _ in range(LONGEST):
        step = step_named(walk, target)
        needs = field_needed(walk, state, step)
        if needs:
            return replace(state, step=target, needs=needs)
        if not holds(step.condition, state.words):
            state, target = target_of(walk, state, step.name, step.if_not)
            continue
        state, elsewhere = change_stage(walk, state, step)
        if elsewhere:
            target = elsewhere
            continue
        state, target = _reach(walk, state, step)
        if not target:
            return state
    raise CircleError(f"{walk.tree.name} runs in a circle at {target}")


def _reach(walk: WalkTree, state: State, step: Step) -> tuple[State, str]:
    """Return the state and the step to go on to; empty where the walk stops at this step."""
    head = step.head
    if isinstance(head, PassHead):
        return target_of(walk, state, step.name, step.then)
    if isinstance(head, UseHead):
        return state, walk.begins[step.name]
    if isinstance(head, PassHead):
        return state, step.then
    if isinstance(head, SortHead):
        return _sort(walk, state, step, head)
    if isinstance(head, HandOverHead):
        return replace(state, step="", needs="", handed_to=head.tree), ""
    assert isinstance(head, ActHead)
    answered = _already_known(walk, state, step, head)
    if answered:
        return answered
    refusals = power.refusals(layout_of(walk), state.power, deed_of(step))
    if refusals:
        return _refused(walk, state, step)
    if head.end:
        return replace(state, step="", needs="", end=head.end), ""
    return _stand(state, step.name), ""


def _stand(state: State, name: str) -> State:
    return replace(state, step=name, needs="", gathered={}, close=False, waited=False)


def _refused(walk: WalkTree, state: State, step: Step) -> tuple[State, str]:
    """Return the way to what the safety model wants before the step, where there is one.

    In a stage, the stage is entered anew (once); else the engine puts in a step of its own. Where
    neither helps, the walk stands at the step and the guide says why it is refused.
    """
    inside = step.stage == state.stage and bool(state.stage) and not state.changing
    if inside and state.retried != step.name:
        return replace(state, stale=True, retried=step.name), step.name
    first = what_comes_first(layout_of(walk), state.power, deed_of(step))
    if first is None:
        return _stand(state, step.name), ""
    return _stand(replace(state, first=step.name), name_of(first)), ""


def follow(walk: WalkTree, state: State, name: str, outcome: Outcome) -> tuple[State, str]:
    """Return the state and the next step after ``outcome`` of the step ``name``.

    Findings and side findings are recorded; ``go on`` and return words are looked up.
    """
    if outcome.also:
        state = replace(state, found=(*state.found, _found(state, outcome.also, name, outcome)))
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
    return (
        replace(state, found=(*state.found, found), power=known, go_on=go_on),
        REPAIR + outcome.finds,
    )


def _found(state: State, finding: str, step: str, outcome: Outcome) -> Found:
    last = state.passed[-1].n if state.passed else 0
    return Found(finding, step, last, outcome.verdict)


def _come_back(walk: WalkTree, state: State, name: str, word: str) -> tuple[State, str]:
    """Return the way on after a procedure's return, to the outcome of the step that used it."""
    user = walk.inside[name]
    state = replace(state, verdicts={**state.verdicts, user: word})
    head = walk.steps[user].head
    assert isinstance(head, UseHead)
    if user == state.changing:
        if word == "done":
            return stage_changed(walk, state)
        state = stage_failed(state)
    return follow(walk, state, user, head.returns[word])


def bear(state: State, step: str, outcome: Outcome, n: int) -> State:
    """Return the state with what an outcome says of the suspects."""
    said = [Bearing(one, step, outcome.verdict, True, n) for one in outcome.clears]
    said += [Bearing(one, step, outcome.verdict, False, n) for one in outcome.points_to]
    return replace(state, bearings=(*state.bearings, *said)) if said else state


def record(state: State, step: Step, judged: Judged, passed: Passed) -> State:
    """Return the state with a step passed and its verdict kept for the sorts to come."""
    state = replace(
        state,
        verdicts={**state.verdicts, step.name: passed.verdict},
        passed=(*state.passed, passed),
    )
    return bear(state, step.name, judged.outcome, passed.n)


# Steps that answer themselves


def _sort(walk: WalkTree, state: State, step: Step, head: SortHead) -> tuple[State, str]:
    known = lookup(walk, state)
    judged = _sorted(state, step, head, known)
    if isinstance(judged, Unplaced):
        return state, walk.tree.if_stuck
    passed = Passed(
        0,
        step.name,
        judged.key,
        judged.outcome.verdict or judged.key,
        judged.outcome.means,
        windows(step, {}, known),
        silent=True,
    )
    state = record(state, step, judged, passed)
    return follow(walk, state, step.name, judged.outcome)


def _sorted(state: State, step: Step, head: SortHead, known: Known) -> Judged | Unplaced:
    answers = head.judgement.answers
    if head.by_formula is not None:
        try:
            return classify(step, {}, known)
        except KeyError:
            return _by_word(answers, NOT_TAKEN)
    if head.by_step:
        return _by_word(answers, state.verdicts.get(head.by_step, NOT_TAKEN))
    number = state.numbers.get(head.by_name)
    if number is not None:
        return classify(step, {head.by_name: number}, known)
    word = state.words.get(head.by_name, NOT_TAKEN)
    return _by_word(answers, word if isinstance(word, str) else NOT_TAKEN)


def _by_word(answers: Mapping[str, Outcome], word: str) -> Judged | Unplaced:
    key = word if word in answers else OTHERWISE
    if key not in answers:
        return Unplaced(Special.CANT_READ, f"{word} has no answer here.")
    return Judged(key, answers[key])


def _already_known(
    walk: WalkTree, state: State, step: Step, head: ActHead
) -> tuple[State, str] | None:
    """Return the way on where every reading of a step is known and counts; else None.

    Only readings that have no effect on the safety model can answer a step: proving, checking
    and everything else that counts for safety is done when it is its turn.
    """
    if head.act not in (Act.READ_LIVE, Act.READ_DEAD) or step.wait or step.again:
        return None
    if any(one.counts_as for judgement in head.judgements for one in judgement.answers.values()):
        return None
    wanted = spots(step, walk.vocabulary, phases_of(state), state.words)
    took = [state.taken.get(ReadingKey.of(spot, head.leads_off)) for spot in wanted]
    if not wanted or not all(one and not one.stale and one.step != step.name for one in took):
        return None
    readings = {
        (spot.reading, spot.label): one.reading
        for spot, one in zip(wanted, took, strict=True)
        if one
    }
    given = given_values(readings)
    known = lookup(walk, state)
    judged = classify(step, given, known)
    if isinstance(judged, Unplaced) or judged.close:
        return None
    passed = Passed(
        0,
        step.name,
        judged.key,
        judged.outcome.verdict or judged.key,
        judged.outcome.means,
        windows(step, given, known),
        tuple((name, label, reading) for (name, label), reading in readings.items()),
        silent=True,
    )
    state = keep_names(state, step, wanted, head.leads_off, given, known)
    state = record(state, step, judged, passed)
    return follow(walk, state, step.name, judged.outcome)


def phases_of(state: State) -> str:
    """Return the unit's phases as the nameplate tells them; empty where not yet known."""
    word = state.words.get(PHASES, "")
    return word if isinstance(word, str) else ""


def given_values(readings: Mapping[tuple[str, str], Reading | None]) -> dict[str, Value]:
    """Return reading name → value: one where there is one spot, a tuple where there are more.

    What is not there is left out of a set; a single reading that is not there has no value.
    """
    values: dict[str, Value] = {}
    for (name, label), reading in readings.items():
        if not label and reading is not None:
            values[name] = value_of(reading)
        elif label:
            before = values.get(name, ())
            more = () if reading is None else (value_of(reading),)
            values[name] = (*(before if isinstance(before, tuple) else ()), *more)
    return values


def lookup(walk: WalkTree, state: State) -> Known:
    """Return a function from a name of a formula to its value in this state, or None."""

    def known(name: str) -> Value | None:
        name = walk.gives.get(name, name)
        if name in state.numbers:
            return state.numbers[name]
        if name in state.worked:
            return state.worked[name]
        keys = state.named.get(name)
        if keys is not None:
            return _values_at(state, keys)
        word = state.words.get(name)
        return word if isinstance(word, str) else None

    return known


def _values_at(state: State, keys: tuple[ReadingKey, ...]) -> Value | None:
    readings = {("", str(n)): state.taken[key].reading for n, key in enumerate(keys)}
    if len(keys) == 1:
        return value_of(state.taken[keys[0]].reading)
    return given_values(readings).get("")


def keep_names(
    state: State,
    step: Step,
    wanted: tuple[Spot, ...],
    leads_off: tuple[str, ...],
    given: Mapping[str, Value],
    known: Known,
) -> State:
    """Return the state in which ``step.reading`` and what the step works out can be looked up."""
    named: dict[str, tuple[ReadingKey, ...]] = {}
    for spot in wanted:
        key = ReadingKey.of(spot, leads_off)
        if key in state.taken:
            name = f"{step.name}.{spot.reading}"
            named[name] = (*named.get(name, ()), key)
    head = step.head
    worked: dict[str, Value] = {}
    if isinstance(head, ActHead) and head.work_out:
        own = names_of(step, given, known).own
        worked = {f"{step.name}.{one}": own[one] for one, _ in head.work_out if one in own}
    return replace(state, named={**state.named, **named}, worked={**state.worked, **worked})

"""Entries in, state out: `advance` for one entry, `fold` for a record.

History never improves safety. When an entry is taken back, the walk is folded again without it,
and the power state is the worse, variable by variable, of what that gives and what it was before.
Leaving, coming back, a long gap and another user count as having left the work.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import timedelta
from fractions import Fraction

from engine import power
from engine.entries import Entry, EntryKind
from engine.power import Act, Deed, pessimistic
from engine.quantity import Kind, Quantity
from engine.session.freshness import keep_time, make_stale
from engine.session.judging import Judged, Spot, Unplaced, classify, settle_close, spots, windows
from engine.session.moving import (
    follow,
    given_values,
    go,
    keep_names,
    layout_of,
    lookup,
    phases_of,
    record,
    target_of,
)
from engine.session.nameplate import NONE, value_of_field
from engine.session.state import Passed, ReadingKey, State, Took
from engine.session.steps import deed_of, is_repair, step_named
from engine.tree import (
    CARRY_ON,
    DONE,
    NOT_NOW,
    REPAIR,
    ActHead,
    Outcome,
    Step,
    UseHead,
    WalkTree,
)

AWAY_AFTER = timedelta(minutes=30)
"""A gap longer than this counts as having left the work (judgement; a setting)."""

WITHDRAW = "withdraw"
"""The shared procedure that a stop reason leads to."""


def begin(walk: WalkTree, resets: Mapping[str, int] | None = None) -> State:
    """Return the state before the first entry, at the tree's first step.

    ``resets`` tells for a device how often it was closed again since it first tripped.
    """
    start = State(power=power.begin(layout_of(walk), resets or {}))
    return go(walk, start, walk.tree.start)


def fold(
    walk: WalkTree,
    entries: Iterable[Entry],
    *,
    away_after: timedelta = AWAY_AFTER,
    resets: Mapping[str, int] | None = None,
) -> State:
    """Return the state that the entries come to."""
    states = [begin(walk, resets)]
    kept: list[Entry] = []
    last: Entry | None = None
    for entry in entries:
        if last is not None and _was_away(last, entry, away_after):
            states[-1] = away(walk, states[-1])
        last = entry
        if entry.kind is EntryKind.STRIKE or entry.of:
            _take_back(walk, states, kept, entry)
            if entry.kind is EntryKind.STRIKE:
                continue
        else:
            kept.append(entry)
            states.append(advance(walk, states[-1], entry))
    return states[-1]


def _was_away(last: Entry, entry: Entry, away_after: timedelta) -> bool:
    return last.by != entry.by or entry.at() - last.at() > away_after


def _take_back(walk: WalkTree, states: list[State], kept: list[Entry], entry: Entry) -> None:
    """Fold again without the entry struck, or with a correction in its place."""
    place = next((i for i, one in enumerate(kept) if one.n == entry.of), None)
    if place is None:
        return
    before = states[-1]
    after = kept[place + 1 :]
    del kept[place:], states[place + 1 :]
    again = after if entry.kind is EntryKind.STRIKE else [replace(entry, of=0), *after]
    for one in again:
        kept.append(one)
        states.append(advance(walk, states[-1], one))
    worse = power.worse(layout_of(walk), states[-1].power, before.power)
    proved = {zone: at for zone, at in states[-1].proved.items() if zone in before.proved}
    states[-1] = _stand_again(walk, replace(states[-1], power=worse, proved=proved))


def _stand_again(walk: WalkTree, state: State) -> State:
    """Return the state at its step anew: what was permitted there may not be any more."""
    if not state.step or state.needs:
        return state
    again = go(walk, state, state.step)
    if again.step != state.step:
        return again
    return replace(again, gathered=state.gathered, close=state.close, waited=state.waited)


def away(walk: WalkTree, state: State) -> State:
    """Return the state after the work was left: no proof holds, the stage is entered anew."""
    after = power.apply(layout_of(walk), state.power, Deed(Act.AWAY), DONE)
    left = replace(state, power=after, stale=bool(state.stage), proved={})
    if state.changing.startswith("enter ") and state.step:
        return go(walk, left, walk.begins[state.changing])
    return _stand_again(walk, left)


def advance(walk: WalkTree, state: State, entry: Entry) -> State:
    """Return the state after one entry.

    An entry that is not about where the walk stands (since an earlier one was corrected) is kept
    in ``astray`` and changes nothing.
    """
    state = replace(state, since=entry.time)
    act = _ADVANCES.get(entry.kind)
    return act(walk, state, entry) if act else state


def _astray(state: State, entry: Entry) -> State:
    return replace(state, astray=(*state.astray, entry.n))


def _answer(walk: WalkTree, state: State, entry: Entry) -> State:
    if entry.step != state.step or state.needs:
        return _astray(state, entry)
    step = step_named(walk, state.step)
    if power.refusals(layout_of(walk), state.power, deed_of(step)):
        return _astray(state, entry)
    if entry.said:
        return _read(walk, state, step, entry)
    return _said(walk, state, step, entry)


def _said(walk: WalkTree, state: State, step: Step, entry: Entry) -> State:
    head = step.head
    assert isinstance(head, ActHead)
    if not head.judgements:
        outcome = Outcome(then=step.then, counts_as=head.counts_as)
        judged = Judged(entry.outcome, outcome)
    elif entry.outcome in head.judgements[0].answers:
        judged = Judged(entry.outcome, head.judgements[0].answers[entry.outcome])
    else:
        return _astray(state, entry)
    return _conclude(walk, state, step, judged, entry, ())


def _read(walk: WalkTree, state: State, step: Step, entry: Entry) -> State:
    head = step.head
    assert isinstance(head, ActHead)
    said = {(one.name, one.spot): one.reading() for one in entry.said}
    gathered = {**state.gathered, **said}
    state = replace(state, gathered=gathered)
    wanted = spots(step, walk.vocabulary, phases_of(state), state.words)
    if any((spot.reading, spot.label) not in gathered for spot in wanted):
        return state
    state = _keep(state, wanted, head.leads_off, gathered, entry.n, step.name)
    given = given_values(gathered)
    known = lookup(walk, state)
    judged = classify(step, given, known)
    while state.close and isinstance(judged, Judged) and judged.close:
        judged = settle_close(step, judged)
        if judged.outcome.then == CARRY_ON:
            judged = classify(step, given, known, first=judged.judgement + 1)
    if isinstance(judged, Unplaced):
        lines = windows(step, given, known)
        passed = Passed(entry.n, step.name, judged.special, str(judged.special), windows=lines)
        state = keep_names(state, step, wanted, head.leads_off, given, known)
        state = replace(state, passed=(*state.passed, passed))
        return go(walk, *target_of(walk, state, step.name, step.cannot["not now"]))
    if judged.close:
        return replace(state, close=True, gathered={})
    state = keep_names(state, step, wanted, head.leads_off, given, known)
    return _conclude(walk, state, step, judged, entry, windows(step, given, known))


def _keep(
    state: State,
    wanted: tuple[Spot, ...],
    leads_off: tuple[str, ...],
    gathered: Mapping[tuple[str, str], object],
    n: int,
    step: str,
) -> State:
    taken = dict(state.taken)
    for spot in wanted:
        reading = gathered[spot.reading, spot.label]
        if reading is not None:
            taken[ReadingKey.of(spot, leads_off)] = Took(reading, n, step)  # type: ignore[arg-type]
    return replace(state, taken=taken)


def _conclude(
    walk: WalkTree,
    state: State,
    step: Step,
    judged: Judged,
    entry: Entry,
    lines: tuple[str, ...],
) -> State:
    """Return the state after a step's outcome: the act done, the step passed, the next reached."""
    readings = tuple((name, spot, one) for (name, spot), one in state.gathered.items())
    verdict = judged.outcome.verdict or judged.key
    passed = Passed(entry.n, step.name, judged.key, verdict, judged.outcome.means, lines, readings)
    state = _do(walk, state, step, judged, entry)
    state = record(state, step, judged, passed)
    if is_repair(step.name):
        state = _repaired(state, entry)
    if state.first:
        return go(walk, replace(state, first=""), state.first)
    state, target = follow(walk, replace(state, retried=""), step.name, judged.outcome)
    return go(walk, state, target)


def _do(walk: WalkTree, state: State, step: Step, judged: Judged, entry: Entry) -> State:
    """Return the state after the act of a step, with the effect its outcome counts as."""
    head = step.head
    assert isinstance(head, ActHead)
    if is_repair(step.name) and judged.key == NOT_NOW:
        return state
    deed = deed_of(step)
    if judged.outcome.on:
        deed = replace(deed, on=judged.outcome.on)
    effect = judged.outcome.counts_as or pessimistic(head.act)
    layout = layout_of(walk)
    after = power.apply(layout, state.power, deed, effect)
    changed = make_stale(walk, layout, replace(state, power=after), state.power, deed)
    return keep_time(layout, changed, state.power, entry.time)


def _repaired(state: State, entry: Entry) -> State:
    finding = entry.step.removeprefix(REPAIR)
    found = list(state.found)
    for i in range(len(found) - 1, -1, -1):
        if found[i].finding == finding:
            found[i] = replace(found[i], work=entry.outcome)
            break
    return replace(state, found=tuple(found))


def _cannot(walk: WalkTree, state: State, entry: Entry) -> State:
    if entry.step != state.step:
        return _astray(state, entry)
    if state.needs:
        return _unreadable(walk, state, entry)
    step = step_named(walk, state.step)
    if state.first:
        return go(walk, replace(state, first="", failed=True, stopped=""), walk.tree.if_stuck)
    passed = Passed(entry.n, step.name, "cannot", f"can't: {entry.outcome}")
    state = replace(state, passed=(*state.passed, passed))
    target = step.cannot.get(entry.outcome) or walk.tree.if_stuck
    return go(walk, *target_of(walk, state, step.name, target))


def _unreadable(walk: WalkTree, state: State, entry: Entry) -> State:
    """Go where the tree says when a nameplate can't be read."""
    step = step_named(walk, state.step)
    target = walk.fields[state.needs].if_unreadable or step.cannot.get("no nameplate", "")
    passed = Passed(entry.n, step.name, "cannot", f"can't: {entry.outcome}")
    state = replace(state, needs="", passed=(*state.passed, passed))
    return go(walk, *target_of(walk, state, step.name, target or walk.tree.if_stuck))


def _known(walk: WalkTree, state: State, entry: Entry) -> State:
    """Keep readings given out of order.

    If the step the walk stands at is answered by them it is passed, but nothing is done.
    """
    step = step_named(walk, entry.step)
    head = step.head
    if not isinstance(head, ActHead):
        return _astray(state, entry)
    wanted = spots(step, walk.vocabulary, phases_of(state), state.words)
    said = {(one.name, one.spot): one.reading() for one in entry.said}
    mine = tuple(spot for spot in wanted if (spot.reading, spot.label) in said)
    state = _keep(state, mine, head.leads_off, said, entry.n, "")
    return _stand_again(walk, state)


def _nameplate(walk: WalkTree, state: State, entry: Entry) -> State:
    """Keep a nameplate answer, asked or given of oneself."""
    field = walk.fields.get(entry.outcome)
    if field is None:
        return _astray(state, entry)
    if entry.said:
        quantities = [Quantity(Fraction(one.value), Kind(one.kind)) for one in entry.said]
        value = value_of_field(field, quantities)
        state = replace(state, numbers={**state.numbers, field.name: value})
    else:
        several = tuple(word for word in entry.typed.split(", ") if word != NONE)
        words = several if field.many else entry.typed
        state = replace(state, words={**state.words, field.name: words})
    if state.needs:
        return go(walk, replace(state, needs=""), state.step)
    return state


def _skip(walk: WalkTree, state: State, entry: Entry) -> State:
    return replace(state, waited=True) if entry.step == state.step else _astray(state, entry)


def _away(walk: WalkTree, state: State, entry: Entry) -> State:
    return away(walk, state)


def _stop(walk: WalkTree, state: State, entry: Entry) -> State:
    """Give the stop reason to the safety model and go to the tree's way out."""
    layout = layout_of(walk)
    after = power.apply(layout, state.power, Deed(Act.ASK), entry.outcome)
    stopped = replace(
        state, power=after, stopped=entry.outcome, failed=True, changing="", heading="", first=""
    )
    return go(walk, stopped, _way_out(walk))


def _way_out(walk: WalkTree) -> str:
    for name, step in walk.tree.steps.items():
        if isinstance(step.head, UseHead) and step.head.procedure == WITHDRAW:
            return name
    return walk.tree.if_stuck


_ADVANCES: Mapping[EntryKind, Callable[[WalkTree, State, Entry], State]] = {
    EntryKind.ANSWER: _answer,
    EntryKind.REPAIR: _answer,
    EntryKind.CANNOT: _cannot,
    EntryKind.KNOWN: _known,
    EntryKind.NAMEPLATE: _nameplate,
    EntryKind.SKIP: _skip,
    EntryKind.RESUME: _away,
    EntryKind.LEAVE: _away,
    EntryKind.STOP: _stop,
}

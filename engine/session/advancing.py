"""One entry more: from a state and an entry to the next state.

An entry that is not about where the walk stands (since an earlier one was corrected) is kept in
``astray``; its readings are kept as if they had been measured out of order, and nothing is done.
Only an answer performs an act, and only where the safety model permits it at that moment.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from engine import power
from engine.entries import Entry, EntryKind
from engine.power import Act, Deed
from engine.quantity import Kind, Quantity
from engine.reading import Reading
from engine.session.concluding import conclude, unplaced, worked
from engine.session.first import is_first
from engine.session.following import target_of
from engine.session.judging import Judged, Unplaced, judge, names_of, settle_close
from engine.session.known import (
    given_values,
    keep_names,
    keep_taken,
    keyed,
    lookup,
    spots_of,
)
from engine.session.moving import go, stand_again, stop, withdraw
from engine.session.nameplate import NONE, value_of_field
from engine.session.state import Passed, State
from engine.session.steps import is_repair, layout_of, refusals, step_named
from engine.tree import CARRY_ON, DONE, NOT_NOW, ActHead, Outcome, Step, WalkTree

CANNOT = "cannot"
"""The key of a step passed because it could not be done."""

LEAVE_AT_ONCE = ("gas", "smoke")
"""Reasons to stop after which nothing is made safe, only left."""


def begin(walk: WalkTree, resets: Mapping[str, int] | None = None) -> State:
    """Return the state before the first entry, at the tree's first step.

    ``resets`` tells for a device how often it was closed again since it first tripped.
    """
    return go(walk, State(power=power.begin(layout_of(walk), resets or {})), walk.tree.start)


def advance(walk: WalkTree, state: State, entry: Entry) -> State:
    """Return the state after one entry."""
    act = _ADVANCES.get(entry.kind)
    if act is None:
        return state
    after = act(walk, state, entry)
    moved = (after.step, after.needs, len(after.passed)) != (
        state.step,
        state.needs,
        len(state.passed),
    )
    return after._replace(since=entry.time) if moved and entry.kind in _MOVE_ON else after


_MOVE_ON = frozenset({EntryKind.ANSWER, EntryKind.REPAIR, EntryKind.CANNOT, EntryKind.NAMEPLATE})
"""Entries from whose time a wait is counted: not those of coming and going."""


def away(walk: WalkTree, state: State) -> State:
    """Return the state after the work was left: no proof holds, the stage is entered anew."""
    after = power.apply(layout_of(walk), state.power, Deed(Act.AWAY), DONE)
    left = state._replace(power=after, stale=bool(state.stage), proved={}, helped=(), retried=())
    if state.changing or (state.needs and state.stage):
        place = state.heading or state.step
        return go(walk, left._replace(changing="", heading="", first="", needs=""), place)
    return stand_again(walk, left)


def _astray(walk: WalkTree, state: State, entry: Entry) -> State:
    state = state._replace(astray=(*state.astray, entry.n))
    return _keep_known(walk, state, entry)


def _keep_known(walk: WalkTree, state: State, entry: Entry) -> State:
    """Return the state with an entry's readings kept out of order."""
    step = walk.steps.get(entry.step)
    if step is None or not isinstance(step.head, ActHead):
        return state
    wanted = keyed(spots_of(walk, state, step), step.head.leads_off)
    return keep_taken(state, wanted, _said_of(entry), n=entry.n)


# Answers


def _answer(walk: WalkTree, state: State, entry: Entry) -> State:
    if entry.step != state.step or state.needs:
        return _astray(walk, state, entry)
    step = step_named(walk, state.step)
    if refusals(walk, state.power, step):
        return _astray(walk, state, entry)
    return _read(walk, state, step, entry) if entry.said else _choose(walk, state, step, entry)


def _choose(walk: WalkTree, state: State, step: Step, entry: Entry) -> State:
    head = _act(step)
    if head.readings:
        return _astray(walk, state, entry)
    if not head.judgements:
        outcome = Outcome(then=step.then, counts_as=head.counts_as)
        return conclude(walk, state, step, Judged(entry.outcome or DONE, outcome), entry)
    answers = head.judgements[0].answers
    if entry.outcome not in answers:
        return _astray(walk, state, entry)
    return conclude(walk, state, step, Judged(entry.outcome, answers[entry.outcome]), entry)


def _act(step: Step) -> ActHead:
    assert isinstance(step.head, ActHead), f"{step.name} is not asked"
    return step.head


def _read(walk: WalkTree, state: State, step: Step, entry: Entry) -> State:
    """Gather what was read; judge it once all of it is there."""
    wanted = keyed(spots_of(walk, state, step), _act(step).leads_off)
    places = {(spot.reading, spot.label) for spot, _ in wanted}
    said = {place: reading for place, reading in _said_of(entry).items() if place in places}
    if not said:
        return _astray(walk, state, entry)
    state = state._replace(gathered={**state.gathered, **said})
    if not places <= state.gathered.keys():
        return state
    state = keep_taken(state, wanted, state.gathered, n=entry.n, step=step.name)
    given = given_values(state.gathered)
    names = names_of(step, given, lookup(walk, state))
    judged = judge(step, given, names)
    while state.close and isinstance(judged, Judged) and judged.close:
        judged = settle_close(step, judged)
        if judged.outcome.then == CARRY_ON:
            judged = judge(step, given, names, first=judged.judgement + 1)
    if isinstance(judged, Judged) and judged.close:
        return state._replace(close=True, gathered={})
    state = keep_names(state, step, wanted, names.own)
    if isinstance(judged, Unplaced):
        return unplaced(walk, state, step, judged, entry)
    return conclude(walk, state, step, judged, entry)


def _said_of(entry: Entry) -> dict[tuple[str, str], Reading | None]:
    return {(one.name, one.spot): one.reading() for one in entry.said}


# Can't, and what is known already


def _cannot(walk: WalkTree, state: State, entry: Entry) -> State:
    """Go where the tree says for a check that can't be done.

    What the safety model refuses and comes back to itself, and an end that it refuses, are left
    by the engine's own way out, as is everything after gas or smoke was reported.
    """
    own_way_out = is_first(state.step) and not state.first
    if entry.step != state.step or not state.step or own_way_out:
        return _astray(walk, state, entry)
    if state.needs:
        return _unreadable(walk, state, entry)
    name = state.first or state.step
    step = step_named(walk, name)
    passed = Passed(entry.n, state.step, CANNOT, entry.verdict or f"can't: {entry.outcome}")
    retried = state.retried if state.changing else ()
    state = state._replace(passed=(*state.passed, passed), first="", helped=(), retried=retried)
    if is_repair(name):
        state = worked(state, name, NOT_NOW)
    if _act(step).end or state.power.stop in LEAVE_AT_ONCE:
        return withdraw(walk, state)
    blocked = bool(refusals(walk, state.power, step))
    target = step.cannot.get(entry.outcome) or walk.tree.if_stuck
    after = go(walk, *target_of(walk, state, name, target))
    in_a_circle = blocked and name in (after.first, after.step) and not after.needs
    return withdraw(walk, after) if in_a_circle else after


def _unreadable(walk: WalkTree, state: State, entry: Entry) -> State:
    """Go on without a nameplate that can't be read: it is not asked again.

    Where the step can't do without, the walk goes where the tree says.
    """
    passed = Passed(entry.n, state.step, CANNOT, entry.verdict or f"can't: {entry.outcome}")
    unread = (*state.unread, state.needs)
    state = state._replace(needs="", unread=unread, passed=(*state.passed, passed))
    return go(walk, state, state.step)


def _known(walk: WalkTree, state: State, entry: Entry) -> State:
    """Keep readings given out of order; the step the walk stands at may be passed by them."""
    return stand_again(walk, _keep_known(walk, state, entry))


def _nameplate(walk: WalkTree, state: State, entry: Entry) -> State:
    """Keep a nameplate answer, asked or corrected."""
    field = walk.fields.get(entry.outcome)
    if field is None:
        return _astray(walk, state, entry)
    if entry.said:
        quantities = [Quantity(Fraction(one.value), Kind(one.kind)) for one in entry.said]
        value = value_of_field(field, quantities)
        state = state._replace(numbers={**state.numbers, field.name: value})
    else:
        several = tuple(word for word in entry.typed.split(", ") if word != NONE)
        words = several if field.many else entry.typed
        state = state._replace(words={**state.words, field.name: words})
    state = state._replace(unread=tuple(one for one in state.unread if one != field.name))
    return go(walk, state._replace(needs=""), state.step) if state.needs else state


def _skip(walk: WalkTree, state: State, entry: Entry) -> State:
    if entry.step != state.step or state.needs:
        return _astray(walk, state, entry)
    return state._replace(waited=True)


def _away(walk: WalkTree, state: State, entry: Entry) -> State:
    return away(walk, state)


def _stop(walk: WalkTree, state: State, entry: Entry) -> State:
    """Give the reason to the safety model and go the way out; a walk that has ended stays so."""
    if not state.step:
        return state
    after = power.apply(layout_of(walk), state.power, Deed(Act.ASK), entry.outcome)
    return stop(walk, state._replace(power=after), entry.outcome)


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
"""What an entry of each kind does; the other kinds change nothing."""

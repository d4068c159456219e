"""The walk as a fold: what taking back, correcting, leaving and coming back may change.

Walks are made by dice (`tests.technician`): plausible answers, clumsy hands. A walk's record is
then folded again with something struck, corrected or put in between, and compared.
"""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta
from functools import cache
from random import Random

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from engine.entries import Entry, EntryKind
from engine.layouts import Layout
from engine.power import Act, Cover, Deed, misfit, refusals
from engine.power import State as Power
from engine.session.first import is_first
from engine.session.folding import AWAY_AFTER, fold, history, in_force
from engine.session.state import State
from engine.session.steps import layout_of
from tests.property.test_history import HANDS, never_safer
from tests.technician import CLUMSY, STEADY, Technician, shipped

SEEDS = st.integers(0, 400)
TREE = shipped()
LAYOUT = layout_of(TREE)

COUNT = frozenset(
    {
        EntryKind.ANSWER,
        EntryKind.REPAIR,
        EntryKind.CANNOT,
        EntryKind.NAMEPLATE,
        EntryKind.KNOWN,
    }
)


@cache
def walked(seed: int, clumsy: bool) -> tuple[Entry, ...]:
    """Return the record of a walk by dice, at most forty lines long."""
    technician = Technician(TREE, Random(seed), CLUMSY if clumsy else STEADY)
    technician.walk_on(40)
    return tuple(technician.entries)


RECORDS = st.builds(walked, SEEDS, st.booleans()).filter(len)


def struck(entries: tuple[Entry, ...], n: int) -> Entry:
    """Return the entry that takes back the one of that number."""
    last = entries[-1]
    return Entry(last.n + 1, last.time, last.by, EntryKind.STRIKE, of=n)


def pick(data: st.DataObject, entries: tuple[Entry, ...]) -> Entry:
    """Return an entry that counts, drawn from a record."""
    live = [one for one in in_force(entries) if one.kind in COUNT]
    assume(live)
    return data.draw(st.sampled_from(live))


def told(state: State) -> tuple[object, ...]:
    """Return what a walk has come to, apart from safety, places and numbers of entries.

    What the engine puts in before a step hangs on safety.
    """
    return (
        state.words,
        state.numbers,
        state.worked,
        {step: said for step, said in state.verdicts.items() if not is_first(step)},
        state.go_on,
        [(one.finding, one.verdict, one.work) for one in state.found],
        [(one.suspect, one.step, one.verdict, one.cleared) for one in state.bearings],
        {key: took.reading for key, took in state.taken.items()},
    )


@given(RECORDS)
@settings(max_examples=25, deadline=None)
def test_a_record_always_folds_to_the_same_state(entries: tuple[Entry, ...]) -> None:
    assert fold(TREE, entries) == fold(TREE, list(entries))


@given(RECORDS)
@settings(max_examples=25, deadline=None)
def test_a_record_read_again_folds_to_the_same_state(entries: tuple[Entry, ...]) -> None:
    lines = [json.dumps(one.as_json(), ensure_ascii=False) for one in entries]
    again = [Entry.from_json(json.loads(line)) for line in lines]
    assert again == list(entries)
    assert fold(TREE, again) == fold(TREE, entries)


@given(RECORDS)
@settings(max_examples=40, deadline=None)
def test_taking_back_the_last_entry_leaves_the_walk_as_if_it_had_never_been(
    entries: tuple[Entry, ...],
) -> None:
    live = [one for one in in_force(entries) if one.kind in COUNT]
    assume(live and live[-1] is entries[-1] and not entries[-1].of)
    back = fold(TREE, (*entries, struck(entries, entries[-1].n)))
    never = fold(TREE, entries[:-1])
    if back.power == never.power:
        assert told(back) == told(never)
        assert (back.step, back.needs, back.stage) == (never.step, never.needs, never.stage)
    assert (back.words, back.numbers) == (never.words, never.numbers)


@given(RECORDS, st.data())
@settings(max_examples=60, deadline=None)
def test_taking_back_makes_nothing_safer(entries: tuple[Entry, ...], data: st.DataObject) -> None:
    entry = pick(data, entries)
    before = history(TREE, entries)
    back = fold(TREE, (*entries, struck(entries, entry.n))).power
    without = [one for one in entries if entry.n not in (one.n, one.of)]
    assume(all(one.of in {0, *(other.n for other in without)} for one in without))
    if not any(one.of for one in entries):
        never_safer(LAYOUT, back, fold(TREE, without).power)
    never_safer(LAYOUT, back, before.state.power)
    nothing_more_is_permitted(LAYOUT, back, before.state.power)


def nothing_more_is_permitted(layout: Layout, joined: Power, one: Power) -> None:
    """Fail where the joined state permits hands or a switch that one of the two refuses.

    Boxes apart: a box that only one of the two opened is open in the joined state.
    """
    opened = tuple(Cover.OPEN if cover is Cover.SHUT else cover for cover in joined.cover)
    for deed in _deeds(layout):
        if refusals(layout, joined, deed):
            continue
        against = refusals(layout, one._replace(cover=opened), deed)
        if deed.act is Act.SWITCH_ON:
            against = tuple(r for r in against if r.rule in ("R5", "R11", "R12"))
        assert not against, f"{deed}: {against[0]}"


@cache
def _deeds(layout: Layout) -> tuple[Deed, ...]:
    hands = [
        Deed(act, zone=zone, box=box.name)
        for act in HANDS
        if act is not Act.PUT_ON
        for box in layout.boxes
        for zone in (*box.exposes, *box.behind)
    ]
    switches = [Deed(Act.SWITCH_ON, device=one.name, mode="for service") for one in layout.devices]
    return tuple(deed for deed in (*hands, *switches) if not misfit(layout, deed))


@given(RECORDS, st.data())
@settings(max_examples=60, deadline=None)
def test_an_answer_corrected_to_itself_changes_nothing(
    entries: tuple[Entry, ...], data: st.DataObject
) -> None:
    entry = pick(data, entries)
    last = entries[-1]
    same = replace(entry, n=last.n + 1, time=last.time, by=last.by, of=entry.n)
    before, after = fold(TREE, entries), fold(TREE, (*entries, same))
    never_safer(LAYOUT, after.power, before.power)
    if after.power == before.power:
        assert told(after) == told(before)
        assert (after.step, after.needs, after.end) == (before.step, before.needs, before.end)
        # What the engine put in hangs on safety, and the fold without a correction may not need it.
        put_in = {one.n for one in entries if is_first(one.step)}
        # A correction of what had gone astray is astray with it.
        with_it = {same.n} if entry.n in before.astray else set()
        assert set(after.astray) - put_in <= set(before.astray) | with_it


@given(RECORDS, st.data())
@settings(max_examples=40, deadline=None)
def test_a_correction_taken_back_brings_the_first_answer_back(
    entries: tuple[Entry, ...], data: st.DataObject
) -> None:
    entry = pick(data, entries)
    last = entries[-1]
    other = replace(entry, n=last.n + 1, time=last.time, by=last.by, of=entry.n, outcome="not now")
    corrected = (*entries, other)
    back = fold(TREE, (*corrected, struck(corrected, other.n)))
    before = fold(TREE, entries)
    never_safer(LAYOUT, back.power, before.power)
    assert in_force((*corrected, struck(corrected, other.n))) == in_force(entries)
    if back.power == before.power:
        assert told(back) == told(before)


@given(RECORDS, st.data(), st.sampled_from(["resume", "gap", "other hand"]))
@settings(max_examples=60, deadline=None)
def test_coming_back_keeps_everything_but_what_was_proven(
    entries: tuple[Entry, ...], data: st.DataObject, how: str
) -> None:
    at = data.draw(st.integers(1, len(entries)))
    kept = entries[:at]
    before = fold(TREE, kept)
    assume(before.step)
    resume = Entry(kept[-1].n + 1, kept[-1].time, kept[-1].by, EntryKind.RESUME)
    if how == "gap":
        later = kept[-1].at() + AWAY_AFTER + timedelta(seconds=1)
        resume = replace(resume, kind=EntryKind.NOTE, time=later.isoformat())
    elif how == "other hand":
        resume = replace(resume, kind=EntryKind.NOTE, by="Cyd")
    after = fold(TREE, (*kept, resume))
    assert told(after) == told(before)
    assert (after.words, after.numbers, after.taken) == (before.words, before.numbers, before.taken)
    assert not after.power.looked_over
    assert not any(after.power.proof)
    proof, looked = before.power.proof, before.power.looked_over
    assert after.power._replace(proof=proof, looked_over=looked) == before.power
    assert after.proved == {}


@given(RECORDS)
@settings(max_examples=40, deadline=None)
def test_no_entry_of_a_walk_without_corrections_goes_astray(entries: tuple[Entry, ...]) -> None:
    plain = [one for one in entries if not one.of and one.kind is not EntryKind.STRIKE]
    assume(len(plain) == len(entries))
    assert fold(TREE, entries).astray == ()

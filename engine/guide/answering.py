"""From a typed line to the entry that answers a step, or to the question it raises first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from itertools import takewhile

from engine.entries import NOT_THERE, Entry, EntryKind, Said
from engine.guide.choices import chosen, not_chosen
from engine.guide.on_nameplate import field_answer, field_entry
from engine.guide.prompt import Now, Prompt
from engine.guide.talk import QUIET, Mode, Reply, Talk, View
from engine.meters import with_meter
from engine.reading import (
    Asked,
    Reading,
    Refused,
    Unclear,
    doubt,
    parse_many,
    settle_many,
)
from engine.session.judging import Spot
from engine.session.steps import is_repair
from engine.tree import DONE

OVER = "over"
"""What is typed at a wait that had passed before the step was reached."""

YES_NO = "1 yes 2 no?"
NO_YES = "1 no 2 yes?"


def answer(view: View, shown: Prompt, talk: Talk, text: str, now: datetime) -> Reply:
    """Return what a line that is no action comes to at the step shown."""
    if shown.now is Now.ENDED:
        return Reply.refuse(text, "This walk has ended.")
    if shown.now is Now.NAMEPLATE:
        return _nameplate(view, shown, talk, text, now)
    if shown.now is Now.REFUSED:
        return Reply.refuse(text, f"Not yet. {shown.refusals[0]} c goes on without it.")
    if shown.now is Now.WAIT:
        return _waiting(view, shown, text, now)
    if shown.asked:
        return read(view, shown, talk, text, now)
    if shown.choices:
        return _choose(view, shown, talk, text, now)
    if text and text.casefold() != DONE:
        sentence = "Enter alone when it is done; m lists what else can be done here."
        return Reply.refuse(text, sentence)
    return _write(view, shown, talk, now, outcome=DONE, typed=text)


def _waiting(view: View, shown: Prompt, text: str, now: datetime) -> Reply:
    if text.casefold() not in (OVER, "1"):
        minutes, seconds = divmod(shown.wait_left, 60)
        sentence = f"{minutes}:{seconds:02} to go. 1 if that long has passed already."
        return Reply.refuse(text, sentence)
    return Reply((view.draft(EntryKind.SKIP, now, step=shown.step, typed=text),))


def _nameplate(view: View, shown: Prompt, talk: Talk, text: str, now: datetime) -> Reply:
    field = shown.field
    assert field is not None
    if not text and not field.default:
        return Reply.refuse(text, "The nameplate is wanted here; c if it can't be read.")
    return field_answer(view, field, talk, text or field.default, now)


def _choose(view: View, shown: Prompt, talk: Talk, text: str, now: datetime) -> Reply:
    key = chosen(shown.choices, text)
    if key is None:
        return Reply.refuse(text, not_chosen(shown.choices, text))
    return _write(view, shown, talk, now, outcome=key, typed=text)


def _write(view: View, shown: Prompt, talk: Talk, now: datetime, **fields: object) -> Reply:
    kind = EntryKind.REPAIR if is_repair(shown.step) else EntryKind.ANSWER
    read_here = "said" in fields
    entry = view.draft(
        kind,
        now,
        step=shown.step,
        title=shown.title,
        of=talk.of,
        meter=view.meter if read_here else "",
        source=shown.source if read_here else "",
        **fields,
    )
    return Reply((entry,))


# Readings


def read(view: View, shown: Prompt, talk: Talk, text: str, now: datetime) -> Reply:
    """Return what a line of readings comes to: an entry, or a question to settle first."""
    run = _run(shown.asked)
    if text.casefold() == NOT_THERE and run[0][0].may_be_missing:
        said = (Said(run[0][0].reading, run[0][0].label, NOT_THERE, ""),)
        return _write(view, shown, talk, now, said=said, typed=text)
    try:
        readings = parse_many(text, _several(run))
    except Unclear as unclear:
        return _unclear(talk, shown.step, unclear, text)
    except Refused as error:
        return _refused(error)
    return _understood(view, shown, talk, text, readings, now)


def _unclear(talk: Talk, step: str, unclear: Unclear, text: str) -> Reply:
    held = replace(talk, mode=Mode.UNCLEAR, step=step, unclear=unclear, typed=text)
    return Reply(talk=held, lines=(unclear.sentence,), asks="which?")


def _refused(error: Refused, talk: Talk = QUIET, asks: str = "") -> Reply:
    return Reply(talk=talk, refused=tuple(error.message().splitlines()), asks=asks)


def settle(view: View, shown: Prompt, talk: Talk, text: str, now: datetime) -> Reply:
    """Return what the answer to ``2.2 what?`` comes to: a unit's number, or the reading anew."""
    assert talk.unclear is not None
    try:
        readings = settle_many(talk.unclear, text)
    except Unclear as unclear:
        return _unclear(talk, talk.step, unclear, talk.typed)
    except Refused as error:
        return _refused(error, talk, "which?")
    same = all(one.typed in talk.typed for one in readings)
    return _understood(view, shown, talk, talk.typed if same else text, readings, now)


def _understood(
    view: View,
    shown: Prompt,
    talk: Talk,
    text: str,
    readings: tuple[Reading, ...],
    now: datetime,
) -> Reply:
    how = _several(_run(shown.asked))
    question = next((asked for one in readings if (asked := doubt(one, how))), "")
    if question:
        held = replace(talk, mode=Mode.SURE, step=shown.step, readings=readings, typed=text)
        return Reply(talk=held, lines=(question,), asks=YES_NO)
    return _take(view, shown, talk, text, readings, now)


def sure(view: View, shown: Prompt, talk: Talk, text: str, now: datetime) -> Reply:
    """Return what the answer to *is it so?* comes to; *no* asks for the reading again."""
    yes = {"1": True, "yes": True, "2": False, "no": False}.get(text.casefold())
    if yes is None:
        return Reply.refuse(text, "1 yes, 2 no.", talk, YES_NO)
    if not yes:
        mode = Mode.CORRECT if talk.of else Mode.KNOWN_READING if talk.known else Mode.STEP
        held = replace(talk, mode=mode, readings=(), typed="") if mode else QUIET
        asks = shown.wanted if mode else ""
        return Reply(talk=held, lines=("Not taken. Read it again.",), asks=asks)
    if shown.field is not None:
        entry = field_entry(view, shown.field, talk.readings, talk.typed, talk.of, now)
        return Reply((entry,))
    return _take(view, shown, talk, talk.typed, talk.readings, now)


def _take(
    view: View,
    shown: Prompt,
    talk: Talk,
    text: str,
    readings: tuple[Reading, ...],
    now: datetime,
) -> Reply:
    """Return the entry of readings that are understood; of known ones, once that is settled."""
    if not talk.known:
        said = _said(view, shown, readings)
        return _write(view, shown, talk, now, said=said, typed=text)
    if talk.of:
        return Reply((_known_entry(view, shown, talk, text, readings, now),))
    held = replace(talk, mode=Mode.KNOWN_MOVED, typed=text, readings=readings)
    question = "Was anything switched on, repaired or moved there since?"
    return Reply(talk=held, lines=(question,), asks=NO_YES)


def known(view: View, shown: Prompt, talk: Talk, text: str, now: datetime) -> Reply:
    """Return what the answer to *anything moved since?* comes to: it counts, or it is a note."""
    moved = {"1": False, "no": False, "2": True, "yes": True}.get(text.casefold())
    if moved is None:
        return Reply.refuse(text, "1 no, 2 yes.", talk, NO_YES)
    entry = _known_entry(view, shown, talk, talk.typed, talk.readings, now)
    if not moved:
        return Reply((entry,))
    note = replace(entry, kind=EntryKind.NOTE)
    return Reply((note,), lines=("Kept as a note; it no longer counts.",))


def _known_entry(
    view: View,
    shown: Prompt,
    talk: Talk,
    text: str,
    readings: tuple[Reading, ...],
    now: datetime,
) -> Entry:
    return view.draft(
        EntryKind.KNOWN,
        now,
        step=shown.step,
        title=shown.title,
        said=_said(view, shown, readings),
        typed=text,
        meter=view.meter,
        of=talk.of,
    )


def _said(view: View, shown: Prompt, readings: tuple[Reading, ...]) -> tuple[Said, ...]:
    spots = [spot for spot, _ in _run(shown.asked)]
    return tuple(
        Said.of(spot.reading, spot.label, with_meter(reading, spot.function, view.meter))
        for spot, reading in zip(spots, readings, strict=False)
    )


def _run(asked: Sequence[tuple[Spot, Asked]]) -> list[tuple[Spot, Asked]]:
    """Return the first readings of one function: those that one line can hold."""
    function = asked[0][0].function
    return list(takewhile(lambda one: one[0].function is function, asked))


def _several(run: Sequence[tuple[Spot, Asked]]) -> Asked:
    return replace(run[0][1], count=len(run))

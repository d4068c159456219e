"""From a typed line to the entry that answers a step, or to the question it raises first."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from datetime import datetime
from itertools import takewhile

from engine.entries import NOT_THERE, EntryKind, Said
from engine.guide.asking import asked_of_field
from engine.guide.prompt import Now, Prompt
from engine.guide.showing import Choice, numbered
from engine.guide.talk import Mode, Reply, Talk, View
from engine.meters import with_meter
from engine.quantity import Quantity
from engine.quantity import words as written
from engine.reading import (
    Asked,
    Reading,
    Refused,
    Unclear,
    doubt,
    parse_many,
    parse_marking,
    settle_many,
)
from engine.session.judging import Spot
from engine.session.nameplate import NONE
from engine.session.steps import is_repair
from engine.vocabulary import Field

OVER = "over"
"""What is typed at a wait that had passed before the step was reached."""
PLAIN_ANSWERS = {"1": True, "yes": True, "2": False, "no": False}


def answer(view: View, shown: Prompt, talk: Talk, text: str, now: datetime) -> Reply:
    """Return what a line that is no action comes to at the step shown."""
    if shown.now is Now.ENDED:
        return refuse(text, "This walk has ended.")
    if shown.now is Now.NAMEPLATE:
        return _nameplate(view, shown, text, now)
    if shown.now is Now.REFUSED:
        return refuse(text, f"Not yet: {shown.refusals[0]} c = can't, w = why.")
    if shown.now is Now.WAIT:
        return _waiting(view, shown, text, now)
    if shown.asked:
        return read(view, shown, talk, text, now)
    if shown.choices:
        return _choose(view, shown, talk, text, now)
    if text and text != "done":
        return refuse(text, "Enter alone when it is done; m lists what else can be done here.")
    return _write(view, shown, talk, now, outcome="done", typed=text)


def refuse(text: str, sentence: str, column: int = 1) -> Reply:
    """Return a line not taken: what was typed, a caret, and a sentence."""
    return Reply(refused=(text, " " * (column - 1) + "^", sentence))


def _refused(error: Refused) -> Reply:
    return Reply(refused=tuple(error.message().splitlines()))


def _waiting(view: View, shown: Prompt, text: str, now: datetime) -> Reply:
    if text != OVER:
        minutes, seconds = divmod(shown.wait_left, 60)
        sentence = f"{minutes}:{seconds:02} to go. Type {OVER} if that long has passed already."
        return refuse(text, sentence)
    return Reply((view.draft(EntryKind.SKIP, now, step=shown.step, typed=text),))


def _choose(view: View, shown: Prompt, talk: Talk, text: str, now: datetime) -> Reply:
    key = chosen(shown.choices, text)
    if key is None:
        return refuse(text, _which(shown.choices, text))
    return _write(view, shown, talk, now, outcome=key, typed=text)


def chosen(choices: Sequence[Choice], text: str) -> str | None:
    """Return the key that a number, the words or the beginning of the words pick; None if none."""
    said = text.casefold()
    for choice in choices:
        if said in (str(choice.number), choice.key.casefold()):
            return choice.key
    begun = [one.key for one in choices if len(said) > 1 and one.key.casefold().startswith(said)]
    return begun[0] if len(begun) == 1 else None


def _which(choices: Sequence[Choice], text: str) -> str:
    if not text:
        return f"{_range(choices)} is wanted; Enter alone is no answer here."
    near = difflib.get_close_matches(text, [one.key for one in choices], 1)
    hint = f" Did you mean {near[0]}?" if near else ""
    return f"The answer is one of {_range(choices)}.{hint}"


def _range(choices: Sequence[Choice]) -> str:
    numbers = [one.number for one in choices]
    if numbers == list(range(1, len(numbers) + 1)):
        return f"1 to {len(numbers)}"
    return " or ".join(str(number) for number in numbers)


def _write(view: View, shown: Prompt, talk: Talk, now: datetime, **fields: object) -> Reply:
    kind = EntryKind.REPAIR if is_repair(shown.step) else EntryKind.ANSWER
    entry = view.draft(
        kind,
        now,
        step=shown.step,
        title=shown.title,
        window=shown.window,
        of=talk.of,
        meter=view.meter if "said" in fields else "",
        source=shown.source if "said" in fields else "",
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
    how = _several(run)
    try:
        readings = parse_many(text, how)
    except Unclear as unclear:
        held = Talk(Mode.UNCLEAR, shown.step, talk.of, unclear, typed=text, known=talk.known)
        return Reply(talk=held, lines=(unclear.sentence,), asks="which?")
    except Refused as error:
        return _refused(error)
    return _understood(view, shown, talk, text, readings, how, now)


def settle(view: View, shown: Prompt, talk: Talk, text: str, now: datetime) -> Reply:
    """Return what the answer to ``2.2 what?`` comes to."""
    assert talk.unclear is not None
    how = _several(_run(shown.asked))
    try:
        readings = settle_many(talk.unclear, text)
    except Unclear as unclear:
        held = Talk(Mode.UNCLEAR, talk.step, talk.of, unclear, typed=talk.typed, known=talk.known)
        return Reply(talk=held, lines=(unclear.sentence,), asks="which?")
    except Refused as error:
        return Reply(talk=talk, refused=tuple(error.message().splitlines()), asks="which?")
    return _understood(view, shown, talk, talk.typed, readings, how, now)


def sure(view: View, shown: Prompt, talk: Talk, text: str, now: datetime) -> Reply:
    """Return what the answer to *is it so?* comes to."""
    yes = PLAIN_ANSWERS.get(text.casefold())
    if yes is None:
        return Reply(talk=talk, refused=(text, "^", "1 yes, 2 no."), asks="1 yes 2 no?")
    if not yes:
        return Reply(lines=("Not taken. Read again.",))
    return _take(view, shown, talk, talk.typed, talk.readings, now)


def _understood(
    view: View,
    shown: Prompt,
    talk: Talk,
    text: str,
    readings: tuple[Reading, ...],
    how: Asked,
    now: datetime,
) -> Reply:
    for reading in readings:
        question = doubt(reading, how)
        if question:
            held = Talk(
                Mode.SURE, shown.step, talk.of, readings=readings, typed=text, known=talk.known
            )
            return Reply(talk=held, lines=(f"{question} 1 yes 2 no",), asks="1 yes 2 no?")
    return _take(view, shown, talk, text, readings, now)


def _take(
    view: View,
    shown: Prompt,
    talk: Talk,
    text: str,
    readings: tuple[Reading, ...],
    now: datetime,
) -> Reply:
    spots = [spot for spot, _ in _run(shown.asked)]
    said = tuple(
        Said.of(spot.reading, spot.label, with_meter(reading, spot.function, view.meter))
        for spot, reading in zip(spots, readings, strict=False)
    )
    if talk.known:
        held = Talk(Mode.KNOWN_MOVED, shown.step, typed=text, readings=readings)
        question = "Was anything switched on, repaired or moved there since? 1 no 2 yes"
        return Reply(talk=held, lines=(question,), asks="1 no 2 yes?")
    return _write(view, shown, talk, now, said=said, typed=text)


def known(view: View, shown: Prompt, talk: Talk, text: str, now: datetime) -> Reply:
    """Return what the answer to *anything moved since?* comes to: it counts, or it is a note."""
    moved = {"1": False, "no": False, "2": True, "yes": True}.get(text.casefold())
    if moved is None:
        return Reply(talk=talk, refused=(text, "^", "1 no, 2 yes."), asks="1 no 2 yes?")
    spots = [spot for spot, _ in _run(shown.asked)]
    said = tuple(
        Said.of(spot.reading, spot.label, with_meter(reading, spot.function, view.meter))
        for spot, reading in zip(spots, talk.readings, strict=False)
    )
    fields = {"step": shown.step, "title": shown.title, "said": said, "typed": talk.typed}
    if moved:
        note = view.draft(EntryKind.NOTE, now, **fields)
        return Reply((note,), lines=("Kept as a note; it no longer counts.",))
    return Reply((view.draft(EntryKind.KNOWN, now, meter=view.meter, **fields),))


def _run(asked: Sequence[tuple[Spot, Asked]]) -> list[tuple[Spot, Asked]]:
    """Return the first readings of one function: those that one line can hold."""
    function = asked[0][0].function
    return list(takewhile(lambda one: one[0].function is function, asked))


def _several(run: Sequence[tuple[Spot, Asked]]) -> Asked:
    first = run[0][1]
    return Asked(
        first.kind, first.function, first.plausible, first.usual, first.unit, count=len(run)
    )


# The nameplate


def _nameplate(view: View, shown: Prompt, text: str, now: datetime) -> Reply:
    field = shown.field
    assert field is not None
    if not text and not field.default:
        return refuse(text, "The nameplate is wanted here; c if it can't be read.")
    return field_answer(view, field, text or field.default, now)


def field_answer(view: View, field: Field, text: str, now: datetime) -> Reply:
    """Return what a line comes to as the answer to a nameplate question."""
    if field.kind is None:
        words = _words(field, text)
        if isinstance(words, Reply):
            return words
        entry = view.draft(
            EntryKind.NAMEPLATE, now, outcome=field.name, typed=words, title=field.ask
        )
        return Reply((entry,))
    try:
        readings = _marked(field, text)
    except Refused as error:
        return _refused(error)
    said = tuple(Said.of(field.name, str(n), one) for n, one in enumerate(readings, 1))
    wrong = _out_of_range(field, readings)
    if wrong:
        return refuse(text, wrong)
    entry = view.draft(
        EntryKind.NAMEPLATE, now, outcome=field.name, typed=text, said=said, title=field.ask
    )
    return Reply((entry,))


def _marked(field: Field, text: str) -> tuple[Reading, ...]:
    if field.volts_marking:
        return parse_marking(text, asked_of_field(field))
    try:
        return parse_many(text, asked_of_field(field))
    except Unclear:
        # A nameplate prints a bare number in the unit of its kind; the range is checked below.
        return parse_many(f"{text} {field.unit}", asked_of_field(field))


def _out_of_range(field: Field, readings: Sequence[Reading]) -> str:
    for one in readings:
        if one.quantity is None:
            return "A number is wanted here; c if it can't be read."
        allowed = (field.low, field.high)
        if field.low and one.quantity.value < field.low.value:
            return _outside(allowed)
        if field.high and one.quantity.value > field.high.value:
            return _outside(allowed)
    return ""


def _outside(allowed: tuple[Quantity | None, Quantity | None]) -> str:
    ends = " to ".join(written(one) for one in allowed if one)
    return f"That is outside what a nameplate can say here ({ends})."


def _words(field: Field, text: str) -> str | Reply:
    """Return the words that answer a field, as they are kept; several with ``, `` between."""
    options = numbered(field.words)
    parts = text.replace(",", " ").split() if field.many and _numbers(text) else [text]
    if field.many and not _numbers(text):
        parts = [part.strip() for part in text.split(",")]
    if field.many and text.casefold() in ("0", "none"):
        return NONE
    keys = [chosen(options, part) for part in parts if part]
    if not keys or None in keys:
        more = " Several with a space between; 0 for none." if field.many else ""
        return refuse(text, _which(options, text) + more)
    if not field.many and len(keys) > 1:
        return refuse(text, "One answer is wanted here.")
    return ", ".join(str(key) for key in keys)


def _numbers(text: str) -> bool:
    return all(part.isdigit() for part in text.replace(",", " ").split())

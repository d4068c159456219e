"""Questions about the nameplate and the site: what a typed line comes to as their answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from engine.entries import Entry, EntryKind, Said
from engine.formula import Measured
from engine.guide.asking import asked_of_field
from engine.guide.choices import chosen, in_numbers, numbered
from engine.guide.talk import Mode, Reply, Talk, View
from engine.quantity import words as written
from engine.reading import Reading, Refused, Unclear, doubt, parse_many, parse_marking
from engine.session.nameplate import NONE
from engine.vocabulary import Field


def field_answer(view: View, field: Field, talk: Talk, text: str, now: datetime) -> Reply:
    """Return what a line comes to as the answer to a nameplate question."""
    if field.kind is None:
        return _in_words(view, field, talk, text, now)
    try:
        readings = _marked(view, field, text)
    except Refused as error:
        return Reply(refused=tuple(error.message().splitlines()))
    wrong = _out_of_range(view, field, readings)
    if wrong:
        return Reply.refuse(text, wrong)
    asked = asked_of_field(field, view.walk.degrees)
    question = next((said for one in readings if (said := doubt(one, asked))), "")
    if question:
        held = replace(talk, mode=Mode.SURE, readings=readings, typed=text)
        return Reply(talk=held, lines=(question,), asks="1 yes 2 no?")
    return Reply((field_entry(view, field, readings, text, talk.of, now),))


def field_entry(
    view: View, field: Field, readings: Sequence[Reading], text: str, of: int, now: datetime
) -> Entry:
    """Return the entry of a nameplate's number, or of its lower and its higher."""
    said = tuple(Said.of(field.name, str(n), one) for n, one in enumerate(readings, 1))
    return view.draft(
        EntryKind.NAMEPLATE, now, outcome=field.name, typed=text, said=said, title=field.ask, of=of
    )


def _marked(view: View, field: Field, text: str) -> tuple[Reading, ...]:
    asked = asked_of_field(field, view.walk.degrees)
    if field.volts_marking:
        return parse_marking(text, asked)
    try:
        return parse_many(text, asked)
    except Unclear:
        # A nameplate prints a bare number in the unit of its kind; the range is checked below.
        return parse_many(f"{text} {asked.symbol}", asked)


def _out_of_range(view: View, field: Field, readings: Sequence[Reading]) -> str:
    """Return why numbers can't be what a nameplate says; empty if they can."""
    least, degrees = view.state.numbers.get(field.at_least), view.walk.degrees
    for one in readings:
        if one.quantity is None:
            return "A number is wanted here; c if it can't be read."
        low = field.low is not None and one.quantity.value < field.low.value
        high = field.high is not None and one.quantity.value > field.high.value
        if low or high:
            ends = (written(end, degrees=degrees) for end in (field.low, field.high) if end)
            return f"That is outside what a nameplate can say here ({' to '.join(ends)})."
        if isinstance(least, Measured) and one.quantity.value < least.quantity.value:
            other = view.walk.fields[field.at_least].ask
            less = written(least.quantity, degrees=degrees)
            return f"That is less than {less}. {other}: one of the two is wrong."
    return ""


def _in_words(view: View, field: Field, talk: Talk, text: str, now: datetime) -> Reply:
    """Return the entry of a question answered by words; several are kept with ``, `` between."""
    options = numbered(field.words)
    keys = [chosen(options, part) for part in _parts(field, text)]
    if field.many and text.casefold() in ("0", NONE):
        said = NONE
    elif keys and None not in keys:
        said = ", ".join(dict.fromkeys(str(key) for key in keys))
    else:
        more = "Several with a space between; 0 for none." if field.many else "One of them."
        return Reply.refuse(text, f"The answer is {in_numbers(options)}. {more}")
    entry = view.draft(
        EntryKind.NAMEPLATE, now, outcome=field.name, typed=said, title=field.ask, of=talk.of
    )
    return Reply((entry,))


def _parts(field: Field, text: str) -> list[str]:
    """Return what stands for one word each: numbers with a space between, or words with a comma."""
    if not field.many:
        return [text]
    numbers = text.replace(",", " ").split()
    if all(part.isdigit() for part in numbers):
        return numbers
    return [part for part in (part.strip() for part in text.split(",")) if part]

"""What is typed for one input of a figure: a number with its unit, a list, a word.

Numbers go through the same parser as every reading; only what a figure asks for and a meter does
not show is added here: lists, fractions of an inch, words, and a bare number that always takes
the unit the input names. The command line and the conversation both read their values here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from math import inf

from engine.figure import FigureError, Input
from engine.quantity import CELSIUS, FAHRENHEIT, Kind, degrees_of, unit_named
from engine.reading import (
    Asked,
    Function,
    Reading,
    Refused,
    Special,
    Unclear,
    parse,
    settle,
)

KIND = "kind"
"""The input that says what the others measure, where they can be of two kinds."""

_BARE = re.compile(r"[+-]?[0-9.,]+")
_FRACTION = re.compile(
    r"(?P<sign>[+-]?)(?:(?P<whole>[0-9]{1,3})[ -])?"
    r"(?P<above>[0-9]{1,2})/(?P<below>2|4|8|16|32|64)(?![0-9])"
)
_BETWEEN = re.compile(
    r"\s*[,;/]\s*"  # 208,209,207 or 80/67
    r"|\s+(?=[+-]?[.0-9])"  # 208 209 207, as readings are typed on a walk
    r"|(?<=[0-9A-Za-z])\s*[-–]\s*(?=[0-9])"  # 208-230, as a nameplate prints it
)
_BROKEN = frozenset({Kind.LENGTH, Kind.SLOPE, Kind.STATIC_PRESSURE})
"""Kinds read off a tape in halves, quarters, eighths."""


@dataclass(frozen=True, slots=True)
class Given:
    """What was understood of one input."""

    value: object
    """As the figure's function takes it."""
    shown: str
    """As it was understood, to be echoed."""
    unit: str = ""
    """The unit it was given in; empty for a word and for OL."""
    kind: Kind | None = None
    """What it measures, where a unit was typed; None for a word and for bare numbers."""


def understood(item: Input, text: str, *, degrees: str = FAHRENHEIT, example: str = "") -> Given:
    """Return what was typed for an input; raises Refused with a caret and a sentence.

    A bare number takes the unit that the input names; a temperature is in ``degrees`` where those
    are °C.
    """
    if item.kind is None:
        word = _word(item, text)
        return Given(word, word)
    parts = _parts(text) if item.many else ((0, text),)
    kinds = ((item.kind, unit_of(item, degrees)), *item.instead)
    readings = _readings(item, kinds, parts, text, example)
    _check_alike(readings, parts, text)
    numbers = tuple(
        _number(item, reading, text, at) for reading, (at, _) in zip(readings, parts, strict=True)
    )
    measured = [reading for reading in readings if reading.quantity]
    is_bare = all(_BARE.fullmatch(part) for _, part in parts)
    first = measured[0].quantity if measured and not is_bare else None
    return Given(
        numbers if item.many else numbers[0],
        ", ".join(reading.words() for reading in readings),
        measured[0].unit if measured else "",
        first.kind if first else None,
    )


def unit_of(item: Input, degrees: str = FAHRENHEIT) -> str:
    """Return the unit that a bare number takes: the input's own, or °C where those are wanted."""
    in_celsius = degrees_of(item.kind, CELSIUS) if item.kind and degrees == CELSIUS else ""
    return in_celsius or item.unit


def agreed(inputs: Mapping[str, Input], given: Mapping[str, Given]) -> dict[str, Given]:
    """Return what was given with ``kind`` filled in from units that were typed.

    Raises FigureError where the units say one kind and ``kind`` another.
    """
    if KIND not in inputs:
        return dict(given)
    for key, one in given.items():
        if one.kind is None or one.kind not in inputs[KIND].words:
            continue
        said = given.get(KIND, Given(str(one.kind), str(one.kind)))
        if said.value != one.kind:
            raise FigureError(f"{key} is in {one.unit}, but kind is {said.value}.", KIND)
        return {**given, KIND: said}
    return dict(given)


def nearest(word: str, known: Sequence[str]) -> str:
    """Return a question that offers the nearest spelling, to go behind a sentence; or nothing."""
    alike = {plain(one): one for one in known}
    found = get_close_matches(plain(word), alike, n=1, cutoff=0.6)
    return f" (did you mean {alike[found[0]]}?)" if found else ""


def plain(word: str) -> str:
    """Return a word without case, spaces, hyphens and underscores."""
    return re.sub(r"[\s_-]+", "", word.casefold())


def joined(words: Sequence[str]) -> str:
    """Return words as a sentence has them: ``a, b and c``."""
    return " and ".join(part for part in (", ".join(words[:-1]), words[-1]) if part)


def _word(item: Input, text: str) -> str:
    if not item.words:
        return text.strip()
    for word in item.words:
        if plain(word) == plain(text):
            return word
    near = nearest(text, item.words)
    raise Refused(text, 1, f"It is one of {', '.join(item.words)}{near}.")


def _parts(text: str) -> tuple[tuple[int, str], ...]:
    """Return the values of a list, each with the place where it begins.

    A nameplate's 208-230 or 208/230 is its two ends; temperatures may come as dry bulb/wet bulb.
    """
    end = len(text.rstrip())
    start = len(text) - len(text.lstrip())
    marks = [(mark.start(), mark.end()) for mark in _BETWEEN.finditer(text, start, end)]
    starts = [start, *(after for _, after in marks)]
    ends = [*(before for before, _ in marks), end]
    parts = tuple((at, text[at:stop]) for at, stop in zip(starts, ends, strict=True))
    for at, part in parts:
        if not part and len(parts) > 1:
            raise Refused(text, min(at, len(text) - 1) + 1, "There is an empty place in this list.")
    return parts


def _readings(
    item: Input,
    kinds: Iterable[tuple[Kind, str]],
    parts: Iterable[tuple[int, str]],
    text: str,
    example: str,
) -> list[Reading]:
    """Return every number read as the first of the kinds that all of them can be."""
    # Only a meter shows OL: where it is allowed, the number is read as a meter's.
    meter = Function.OHMS if "OL" in item.special else None
    refusals = []
    for kind, unit in kinds:
        asked = Asked(kind, meter, unit=unit, example=example)
        try:
            return [_reading(asked, text, at, part) for at, part in parts]
        except Refused as refused:
            refusals.append(refused)
    raise refusals[0]


def _reading(asked: Asked, text: str, at: int, part: str) -> Reading:
    """Return one number; raises Refused with the caret where it stands in the whole line."""
    written, longer = _written_out(part, asked.kind, asked.symbol)
    try:
        return _parsed(written, asked)
    except Refused as refused:
        column = at + max(refused.column - longer, 1)
        raise Refused(text, column, refused.sentence, refused.example) from None


def _parsed(text: str, asked: Asked) -> Reading:
    """Return a number; where a unit can mean two, the one spelled exactly so: mohm or Mohm."""
    try:
        return parse(text, asked)
    except Unclear as unclear:
        exactly = unit_named(text.lstrip("+-0123456789., "))
        if exactly and exactly.symbol in unclear.choices:
            return settle(unclear, exactly.symbol)
        sentence = f"It can mean {' or '.join(unclear.choices)}; write out which."
        raise Refused(text, unclear.column, sentence, asked.example) from None


def _written_out(text: str, kind: Kind, unit: str) -> tuple[str, int]:
    """Return a number with its unit, a fraction of an inch as a decimal number.

    Also by how much the number has become longer.
    """
    longer = 0
    if kind in _BROKEN and (broken := _FRACTION.match(text)):
        value = int(broken["whole"] or 0) + Fraction(int(broken["above"]), int(broken["below"]))
        written = f"{broken['sign']}{float(value)}{text[broken.end() :]}"
        longer, text = len(written) - len(text), written
    return (f"{text} {unit}" if _BARE.fullmatch(text) else text), longer


def _check_alike(readings: Sequence[Reading], parts: Sequence[tuple[int, str]], text: str) -> None:
    """Raise Refused at the first value of a list that is in another unit than the one before."""
    units = sorted({reading.unit for reading in readings if reading.unit})
    if len(units) < 2:
        return
    first = next(reading.unit for reading in readings if reading.unit)
    pairs = zip(readings, parts, strict=True)
    at = next(at for one, (at, _) in pairs if one.unit and one.unit != first)
    raise Refused(text, at + 1, f"This mixes {joined(units)}; give all in one unit.")


def _number(item: Input, reading: Reading, text: str, at: int) -> float:
    if reading.quantity is None:
        if reading.special is Special.OL and "OL" in item.special:
            return inf
        sentence = f"{reading.special} can't be worked with here; a number is wanted."
        raise Refused(text, at + 1, sentence)
    kind = reading.quantity.kind
    unit = item.unit if kind is item.kind else dict(item.instead)[kind]
    return float(reading.quantity.in_unit(unit))

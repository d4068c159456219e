"""What is typed for a figure, ``key=value``, read against the inputs that the figure asks for.

Numbers go through the same parser as every reading; only what a command line has and a meter
has not is added here: lists, pairs, fractions of an inch, words, and a bare number that always
takes the unit the input names.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from math import inf

from engine.figure import Figure, FigureError, Input
from engine.quantity import Kind, Quantity, exact, unit_named
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

_BARE = re.compile(r"[+-]?[0-9.,]+")
_FRACTION = re.compile(
    r"(?P<sign>[+-]?)(?:(?P<whole>[0-9]{1,3})[ -])?"
    r"(?P<above>[0-9]{1,2})/(?P<below>2|4|8|16|32|64)(?![0-9])"
)
_APART = re.compile(r"[,/]|(?<=[0-9A-Za-z])\s*[-–]\s*(?=[0-9])")
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


def read(figure: Figure, pairs: Iterable[str]) -> dict[str, Given]:
    """Return what was typed for a figure, by key; raises FigureError with a sentence."""
    inputs = {item.name: item for item in figure.inputs}
    given: dict[str, Given] = {}
    for key, text in _split(figure, pairs):
        if key in given:
            raise FigureError(f"{key} is given twice; give it once.", key)
        given[key] = _given(inputs[key], text)
    missing = [item.name for item in figure.inputs if not item.optional and item.name not in given]
    if missing:
        raise FigureError(
            f"{figure.name} needs {_joined(missing)} too. For example: {example(figure)}",
            missing[0],
        )
    return _agreed(inputs, given)


def example(figure: Figure) -> str:
    """Return a whole command that answers."""
    return f"halfsplit figure {figure.name} {figure.example}"


def in_units_given(
    figure: Figure, given: Mapping[str, Given], answer: Mapping[str, object]
) -> dict[str, object]:
    """Return an answer with each output that follows an input's unit brought into that unit."""
    shown = dict(answer)
    for output in figure.outputs:
        unit, value = unit_shown(figure, given, output.name), answer[output.name]
        if unit != output.unit and isinstance(value, int | float):
            shown[output.name] = float(Quantity.of(exact(value), output.unit).in_unit(unit))
    return shown


def unit_shown(figure: Figure, given: Mapping[str, Given], name: str) -> str:
    """Return the unit that an output is shown in: its own, or that of the input it follows."""
    output = figure.output(name)
    follows = given.get(output.as_given)
    return follows.unit if follows else output.unit


def nearest(word: str, known: Sequence[str]) -> str:
    """Return a question that offers the nearest spelling, to go behind a sentence; or nothing."""
    alike = {_plain(one): one for one in known}
    found = get_close_matches(_plain(word), alike, n=1, cutoff=0.6)
    return f" (did you mean {alike[found[0]]}?)" if found else ""


def _plain(word: str) -> str:
    """Return a word without case, spaces, hyphens and underscores."""
    return re.sub(r"[\s_-]+", "", word.casefold())


def _joined(words: Sequence[str]) -> str:
    return " and ".join(part for part in (", ".join(words[:-1]), words[-1]) if part)


def _split(figure: Figure, pairs: Iterable[str]) -> Iterator[tuple[str, str]]:
    names = [item.name for item in figure.inputs]
    for pair in pairs:
        key, equals, text = (part.strip() for part in pair.partition("="))
        if not equals:
            raise FigureError(
                f"'{pair}' is not key=value; write a value with its unit without a space, "
                "or in quotes.",
            )
        if key not in names:
            raise FigureError(
                f"{figure.name} does not ask for '{key}'{nearest(key, names)}; "
                f"it asks for {_joined(names)}.",
                key,
            )
        if not text:
            raise FigureError(f"{key}= has no value.", key)
        yield key, text


def _given(item: Input, text: str) -> Given:
    if item.kind is None:
        word = _word(item, text)
        return Given(word, word)
    parts = _parts(item, text) if item.many else (text,)
    readings = [_reading(item, ((item.kind, item.unit), *item.instead), part) for part in parts]
    units = sorted({reading.unit for reading in readings if reading.unit})
    if len(units) > 1:
        raise FigureError(
            f"{item.name}={text} mixes {_joined(units)}; give all in one unit.", item.name
        )
    numbers = tuple(_number(item, reading) for reading in readings)
    kinds = [reading.quantity.kind for reading in readings if reading.quantity]
    is_bare = all(_BARE.fullmatch(part) for part in parts)
    return Given(
        numbers if item.many else numbers[0],
        ", ".join(reading.words() for reading in readings),
        units[0] if units else "",
        kinds[0] if kinds and not is_bare else None,
    )


def _word(item: Input, text: str) -> str:
    if not item.words:
        return text
    for word in item.words:
        if _plain(word) == _plain(text):
            return word
    raise FigureError(
        f"{item.name} can't be '{text}'{nearest(text, item.words)}; "
        f"it is one of {', '.join(item.words)}.",
        item.name,
    )


def _parts(item: Input, text: str) -> tuple[str, ...]:
    """Return the values of a list; a nameplate's 208-230 or 208/230 is its two ends.

    Temperatures may come as dry bulb/wet bulb.
    """
    parts = _APART.split(text)
    if not all(part.strip() for part in parts):
        raise FigureError(f"{item.name}={text} has an empty place in its list.", item.name)
    return tuple(part.strip() for part in parts)


def _reading(item: Input, kinds: Iterable[tuple[Kind, str]], text: str) -> Reading:
    """Return one number read as the first of the kinds that it can be."""
    # Only a meter shows OL: where it is allowed, the number is read as a meter's.
    meter = Function.OHMS if "OL" in item.special else None
    refusals = []
    for kind, unit in kinds:
        try:
            return _parsed(_written_out(text, kind, unit), Asked(kind, meter, unit=unit))
        except Refused as refused:
            refusals.append(refused.sentence)
    raise FigureError(f"{item.name}={text}: {refusals[0]}", item.name)


def _parsed(text: str, asked: Asked) -> Reading:
    """Return a number; where a unit can mean two, the one spelled exactly so: mohm or Mohm.

    There is nobody here to ask.
    """
    try:
        return parse(text, asked)
    except Unclear as unclear:
        exactly = unit_named(text.lstrip("+-0123456789., "))
        if exactly and exactly.symbol in unclear.choices:
            return settle(unclear, exactly.symbol)
        sentence = f"It can mean {' or '.join(unclear.choices)}; write out which."
        raise Refused(text, unclear.column, sentence) from None


def _written_out(text: str, kind: Kind, unit: str) -> str:
    """Return a number with its unit, and a fraction of an inch as a decimal number."""
    if kind in _BROKEN and (broken := _FRACTION.match(text)):
        value = int(broken["whole"] or 0) + Fraction(int(broken["above"]), int(broken["below"]))
        text = f"{broken['sign']}{float(value)}{text[broken.end() :]}"
    return f"{text} {unit}" if _BARE.fullmatch(text) else text


def _number(item: Input, reading: Reading) -> float:
    if reading.quantity is None:
        if reading.special is Special.OL and "OL" in item.special:
            return inf
        raise FigureError(f"{item.name} can't be {reading.special}; it takes a number.", item.name)
    kind = reading.quantity.kind
    unit = item.unit if kind is item.kind else dict(item.instead)[kind]
    return float(reading.quantity.in_unit(unit))


def _agreed(inputs: Mapping[str, Input], given: dict[str, Given]) -> dict[str, Given]:
    """Return what was given with ``kind`` filled in from units that were typed.

    Raises FigureError where the units say one kind and ``kind`` another.
    """
    if "kind" not in inputs:
        return given
    for key, one in given.items():
        if one.kind is None or one.kind not in inputs["kind"].words:
            continue
        said = given.get("kind", Given(str(one.kind), str(one.kind)))
        if said.value != one.kind:
            raise FigureError(f"{key} is in {one.unit}, but kind is {said.value}.", "kind")
        return {**given, "kind": said}
    return given

"""Bands: rising cuts that part every reading into named ranges, with no gap and no overlap.

``below Q`` holds what is less than Q, ``up to Q`` what is not more; each band begins where the
one before it ends, and ``otherwise`` is the rest above. So a gap or an overlap cannot be written
down, and every number falls in exactly one band. What a meter says instead of a number (OL,
unsteady, can't read) may have a key of its own.

Arithmetic is exact: 20.4 V is not below 85 % of 24 V. A reading is *too close to call* when its
own interval reaches across a cut. That the cuts rise for every nameplate is proved in `rising`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from engine.figure import Figure
from engine.formula import (
    Formula,
    FormulaError,
    Known,
    Measured,
    Value,
    Words,
    evaluate,
    in_words,
    kind_of,
    parse,
)
from engine.quantity import FAHRENHEIT, Kind, words
from engine.reading.value import Special

OTHERWISE = "otherwise"
BELOW: Literal["below"] = "below"
UP_TO: Literal["up to"] = "up to"


@dataclass(frozen=True, slots=True)
class Cut:
    """The upper end of a band: ``below 85 % of 24 V``."""

    words: Literal["below", "up to"]
    at: Formula
    key: str
    """The band's key as the tree writes it; it stays when names in the formula are put in."""


@dataclass(frozen=True, slots=True)
class Bands:
    """Cuts from low to high, ``otherwise`` above them, and the special answers with a key."""

    cuts: tuple[Cut, ...]
    specials: tuple[Special, ...] = ()

    @property
    def keys(self) -> tuple[str, ...]:
        """Every key, in file order."""
        cuts = tuple(cut.key for cut in self.cuts)
        return (*cuts, OTHERWISE, *(special.value for special in self.specials))

    def names(self) -> frozenset[str]:
        """Return every name the cuts rest on."""
        return frozenset(name for cut in self.cuts for name in cut.at.names())


# --- reading the keys ---------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Misfit:
    """What is wrong with one key, and what would be right."""

    key: str
    sentence: str
    fix: str
    column: int = 1
    """Where in the key, from 1."""


def parse_key(text: str, figures: Mapping[str, Figure]) -> Cut | Special | None:
    """Return what a band key says; None is ``otherwise``. Raises FormulaError with the fix."""
    if text == OTHERWISE:
        return None
    if text in [special.value for special in Special]:
        return Special(text)
    for opening in (BELOW, UP_TO):
        if text.startswith(f"{opening} "):
            start = len(opening) + 1
            try:
                return Cut(opening, parse(text[start:], figures), text)
            except FormulaError as error:
                raise FormulaError(error.sentence, error.column + start, error.fix) from error
    raise FormulaError(
        f"'{text}' is not a band.",
        1,
        "A band is below Q, up to Q, otherwise, OL, unsteady or can't read.",
    )


def read_bands(
    keys: Sequence[str], figures: Mapping[str, Figure]
) -> tuple[Bands, tuple[Misfit, ...]]:
    """Return the bands that keys in file order say, and everything wrong with the keys."""
    misfits: list[Misfit] = []
    read: list[tuple[str, Cut | Special | None]] = []
    for key in keys:
        try:
            read.append((key, parse_key(key, figures)))
        except FormulaError as error:
            misfits.append(Misfit(key, error.sentence, error.fix, error.column))
    misfits.extend(_out_of_order(read))
    if OTHERWISE not in keys:
        misfits.append(
            Misfit(
                keys[-1] if keys else "",
                "Nothing is said of readings above the last cut.",
                "Add otherwise as the last of the cuts.",
            )
        )
    cuts = tuple(what for _, what in read if isinstance(what, Cut))
    specials = tuple(what for _, what in read if isinstance(what, Special))
    return Bands(cuts, specials), tuple(misfits)


def _out_of_order(read: Sequence[tuple[str, Cut | Special | None]]) -> Iterator[Misfit]:
    """Find keys in the wrong place: cuts, then otherwise, then what is no number."""
    ranks = [
        0 if isinstance(what, Cut) else 2 if isinstance(what, Special) else 1 for _, what in read
    ]
    for place, (key, what) in enumerate(read):
        if ranks[place] < max(ranks[:place], default=0):
            yield Misfit(
                key,
                "The bands are out of order.",
                "Write the cuts from low to high, then otherwise, then OL, unsteady, can't read.",
            )
        elif any(what == earlier for _, earlier in read[:place]):
            yield Misfit(key, "This band is there twice.", "Keep one of them.")


def check_kinds(
    bands: Bands,
    judged: Kind | Words,
    known: Mapping[str, Known],
    figures: Mapping[str, Figure],
) -> tuple[Misfit, ...]:
    """Return every cut that can't be compared with what is judged: volts with ohms."""
    if isinstance(judged, Words):
        fix = "Write choices: with exactly its words."
        return (Misfit(bands.keys[0], "Bands judge numbers, and this is a word.", fix),)
    return tuple(
        misfit for cut in bands.cuts if (misfit := _wrong_kind(cut, judged, known, figures))
    )


def _wrong_kind(
    cut: Cut, judged: Kind, known: Mapping[str, Known], figures: Mapping[str, Figure]
) -> Misfit | None:
    start = len(cut.words) + 1
    try:
        found = kind_of(cut.at, known, figures)
    except FormulaError as error:
        return Misfit(cut.key, error.sentence, error.fix, error.column + start)
    if found is judged:
        return None
    given = "a word" if isinstance(found, Words) else found
    sentence = f"What is judged is {judged}, and this cut is {given}."
    return Misfit(cut.key, sentence, f"Give the cut in {judged}.", start + 1)


def unsaid(bands: Bands, judged: Kind) -> tuple[Special, ...]:
    """Return the special answers that need a key of their own and have none.

    OL is the top band for ohms and insulation. For capacitance an over-range and a short look
    alike, so the author must say; for everything else an unsaid one goes where *cannot* goes.
    """
    said = Special.OL in bands.specials
    return () if said or judged is not Kind.CAPACITANCE else (Special.OL,)


# --- judging ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Placed:
    """The band a value falls in."""

    key: str
    """The key as the tree writes it; for a special answer without one, its own word."""
    close: bool = False
    """True when the value's interval reaches into another band: read again."""
    neighbours: tuple[str, ...] = ()
    """The keys of those other bands, from low to high."""


def place(
    bands: Bands, value: Value, values: Mapping[str, Value], figures: Mapping[str, Figure]
) -> Placed:
    """Return the band of a value, with the cuts worked out from ``values``.

    Raises KeyError for a name without a value yet, and FormulaError where a cut can't be worked
    out, is not comparable with the value, or where cuts do not rise for this nameplate: no band
    is then honest.
    """
    if isinstance(value, Special):
        return Placed(_key_of_special(bands, value, values, figures))
    if not isinstance(value, Measured):
        raise FormulaError("Bands judge one number.")
    ends = _worked_out(bands, value.quantity.kind, values, figures)
    at = _first(bands, value.quantity.value, [end.quantity.value for end in ends])
    lowest = _first(bands, value.low, [end.high for end in ends])
    highest = _first(bands, value.high, [end.low for end in ends])
    reached = range(min(lowest, at), max(highest, at) + 1)
    neighbours = tuple(bands.keys[band] for band in reached if band != at)
    return Placed(bands.keys[at], bool(neighbours), neighbours)


def _key_of_special(
    bands: Bands, special: Special, values: Mapping[str, Value], figures: Mapping[str, Figure]
) -> str:
    if special is Special.OL and special not in bands.specials and bands.cuts:
        first = evaluate(bands.cuts[0].at, values, figures)
        if isinstance(first, Measured) and first.quantity.kind is Kind.RESISTANCE:
            return OTHERWISE
    return special.value


def _first(bands: Bands, value: Fraction, ends: Sequence[Fraction]) -> int:
    """Return the place of the first band that holds a number, `otherwise` being the last."""
    for place, (cut, end) in enumerate(zip(bands.cuts, ends, strict=True)):
        if value < end or (value == end and cut.words == UP_TO):
            return place
    return len(bands.cuts)


def _worked_out(
    bands: Bands, kind: Kind | None, values: Mapping[str, Value], figures: Mapping[str, Figure]
) -> tuple[Measured, ...]:
    """Return every cut's value, of the kind wanted (None: any) and rising."""
    ends: list[Measured] = []
    for cut in bands.cuts:
        end = evaluate(cut.at, values, figures)
        if not isinstance(end, Measured):
            raise FormulaError(f"'{cut.key}' can't be worked out: it rests on {in_words(end)}.")
        if end.quantity.kind is not (kind or end.quantity.kind):
            raise FormulaError(f"'{cut.key}' is {end.quantity.kind}, the reading {kind}.")
        ends.append(end)
    for (lower, low), (upper, high) in pairwise(zip(bands.cuts, ends, strict=True)):
        if not in_order(lower, upper, low.quantity.value, high.quantity.value):
            raise FormulaError(
                f"The bands cross for this nameplate: '{lower.key}' ends at "
                f"{in_words(low)}, '{upper.key}' at {in_words(high)}."
            )
    return tuple(ends)


def in_order(lower: Cut, upper: Cut, low: Fraction, high: Fraction) -> bool:
    """Return whether something lies in the band between two cuts that follow each other.

    Only ``below Q`` and then ``up to Q`` may meet: Q itself lies between them.
    """
    return low < high or (low == high and lower.words == BELOW and upper.words == UP_TO)


# --- showing ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Row:
    """One band as a screen shows it."""

    key: str
    text: str
    """``below 42.3 uF``, ``42.3 to 47.7 uF``, ``above 47.7 uF``, ``OL``."""


def window(
    bands: Bands,
    values: Mapping[str, Value],
    figures: Mapping[str, Figure],
    degrees: str = FAHRENHEIT,
) -> tuple[Row, ...]:
    """Return a row for every key with this unit's numbers; raises as `place` does.

    Temperatures are shown in ``degrees``, F or C.
    """
    worked_out = _worked_out(bands, None, values, figures)
    ends = [words(end.quantity, degrees=degrees) for end in worked_out]
    rows: list[Row] = []
    for place, cut in enumerate(bands.cuts):
        here = ends[place]
        if place == 0:
            rows.append(Row(cut.key, f"{cut.words} {here}"))
        else:
            text = _between(bands.cuts[place - 1], ends[place - 1], cut, here)
            rows.append(Row(cut.key, text))
    rows.append(Row(OTHERWISE, _rest(bands, ends)))
    rows.extend(Row(special.value, special.value) for special in bands.specials)
    return tuple(rows)


def _between(lower: Cut, low: str, upper: Cut, high: str) -> str:
    """Return ``42.3 to 47.7 uF``; *above* and *below* say which end is not in the band."""
    number, _, unit = low.partition(" ")
    start = number if unit == high.partition(" ")[2] else low
    above = "above " if lower.words == UP_TO else ""
    below = "below " if upper.words == BELOW else ""
    return f"{above}{start} to {below}{high}"


def _rest(bands: Bands, ends: Sequence[str]) -> str:
    if not bands.cuts:
        return "any value"
    last = ends[-1]
    return f"above {last}" if bands.cuts[-1].words == UP_TO else f"{last} and above"

"""Working a formula out for one unit, exactly, with the doubt of the readings carried along.

Every value is a fraction; a figure's float answer becomes one of twelve digits. A reading that
carries an interval makes the answer carry one: the formula is worked out with the readings at
their ends, and the answer's interval spans everything that came out.

What that proves: where the formula only rises or only falls in each reading taken alone, the
interval is exact; most formulas of the trade do. Up to four doubtful readings, every corner is
worked out, so the high end of a figure like an unbalance, which is greatest at a corner, is exact
too; its least value may lie inside, and then the low end is too high. Beyond four readings only
the two corners are tried that readings moved one at a time point to.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from typing import TypeGuard

from engine.figure import Figure
from engine.formula.node import Formula, FormulaError, Literal, Name, Node, Operation, every
from engine.formula.point import FigureRefusedError, Point, at_point
from engine.formula.value import Measured, Value, in_words
from engine.quantity import Kind, Quantity
from engine.reading.value import Special

_MOST_CORNERS_OF = 4
"""Up to four doubtful readings every corner is tried; beyond, one at a time finds the two that
matter."""
_MAGNITUDES = frozenset(
    {Kind.VOLTAGE, Kind.CURRENT, Kind.RESISTANCE, Kind.CAPACITANCE, Kind.POWER, Kind.TIME}
)
"""Kinds of which a meter shows how much: doubt takes none of them through zero."""


def evaluate(formula: Formula, values: Mapping[str, Value], figures: Mapping[str, Figure]) -> Value:
    """Return what the formula gives for these values.

    Raises KeyError for a name that has no value yet, and FormulaError, whose sentence says why,
    where the answer can't be worked out: a division by zero, a figure that refuses its inputs.
    OL is above every number: ``min`` passes it over, sums and products of it are OL.
    """
    if isinstance(formula.node, Name):
        return values[formula.node.name]
    if isinstance(formula.node, Literal):
        return Measured.sure(formula.node.quantity)
    given = {name: values[name] for name in sorted(formula.names())}
    doubts = _Doubts.of(given)
    centre = at_point(formula.node, doubts.centre() if doubts.places else _sure(given), figures)
    if isinstance(centre, tuple):
        raise FormulaError(f"'{formula.text}' is several values.")
    if not isinstance(centre, Quantity):
        return centre
    if not doubts.places:
        return Measured.sure(centre)
    return _spanning(centre, formula.node, doubts, figures)


def _sure(values: Mapping[str, Value]) -> dict[str, Point]:
    """Return values without doubt as a formula takes them."""
    return {
        name: tuple(_end(one, None) for one in value)
        if isinstance(value, tuple)
        else value
        if isinstance(value, str)
        else value.quantity
        for name, value in values.items()
    }


def words_within(
    formula: Formula, values: Mapping[str, Value], figures: Mapping[str, Figure]
) -> tuple[str, ...]:
    """Return every word the answer can be within the readings' doubt, the reading's own first.

    More than one means *too close to call*. Empty where the formula gives no word. Raises as
    `evaluate` does.
    """
    doubts = _Doubts.of({name: values[name] for name in sorted(formula.names())})
    centre = at_point(formula.node, doubts.centre(), figures)
    found = [centre, *_answers_at_ends(formula.node, doubts, figures)]
    answered = [one for one in found if isinstance(one, str) and not isinstance(one, Special)]
    return tuple(dict.fromkeys(answered))


def shown(formula: Formula, values: Mapping[str, Value], figures: Mapping[str, Figure]) -> str:
    """Return the formula's value in words, ``47.7 uF``; raises as `evaluate` does."""
    return in_words(evaluate(formula, values, figures))


@dataclass(frozen=True, slots=True)
class _Doubts:
    """The values of a formula's names, and where among them the doubtful readings are."""

    values: Mapping[str, Value]
    places: tuple[tuple[str, int], ...]
    """(name, position in its set) of every reading with an interval."""

    @classmethod
    def of(cls, values: Mapping[str, Value]) -> _Doubts:
        places = tuple(
            (name, at)
            for name, value in values.items()
            for at, one in enumerate(value if isinstance(value, tuple) else (value,))
            if isinstance(one, Measured) and one.low < one.high
        )
        return cls(values, places)

    def centre(self) -> dict[str, Point]:
        """Return every value as read."""
        return self.at(("",) * len(self.places))

    def at(self, ends: Sequence[str]) -> dict[str, Point]:
        """Return the values with each doubtful reading at its ``low``, its ``high`` or as read."""
        chosen = dict(zip(self.places, ends, strict=True))

        def moved(name: str, value: Value) -> Point:
            if isinstance(value, tuple):
                return tuple(_end(one, chosen.get((name, at))) for at, one in enumerate(value))
            return value if isinstance(value, str) else _end(value, chosen.get((name, 0)))

        return {name: moved(name, value) for name, value in self.values.items()}


def _end(one: Measured | Special, end: str | None) -> Quantity | Special:
    """Return a reading at an end of its interval; a magnitude goes no further than zero."""
    if isinstance(one, Special) or not end:
        return one if isinstance(one, Special) else one.quantity
    value, kind = one.low if end == "low" else one.high, one.quantity.kind
    if kind in _MAGNITUDES:
        value = max(value, Fraction(0)) if one.quantity.value >= 0 else min(value, Fraction(0))
    return Quantity(value, kind)


def _spanning(
    centre: Quantity, node: Node, doubts: _Doubts, figures: Mapping[str, Figure]
) -> Measured:
    answers = _answers_at_ends(node, doubts, figures)
    found = [centre.value, *(one.value for one in answers if isinstance(one, Quantity))]
    return Measured(centre, min(found), max(found))


def _answers_at_ends(node: Node, doubts: _Doubts, figures: Mapping[str, Figure]) -> list[Point]:
    """Return what comes out with the readings at their ends; what a figure refuses is left out.

    Raises FormulaError where a divisor may be zero within the doubt: nothing then bounds the
    answer.
    """

    def answer(ends: Sequence[str], part: Node = node) -> Point | None:
        try:
            return at_point(part, doubts.at(ends), figures)
        except FigureRefusedError:
            return None

    count = len(doubts.places)
    if not count:
        return []
    if count <= _MOST_CORNERS_OF:
        corners = list(product(("low", "high"), repeat=count))
    else:
        corners = _two_corners(count, answer)
    for divisor in (one.right for one in every(node) if _divides(one)):
        _keeps_its_sign(divisor, [answer(ends, divisor) for ends in corners])
    return [found for ends in corners if (found := answer(ends)) is not None]


def _divides(node: Node) -> TypeGuard[Operation]:
    return isinstance(node, Operation) and node.word == "over"


def _keeps_its_sign(divisor: Node, found: Sequence[Point | None]) -> None:
    values = [one.value for one in found if isinstance(one, Quantity)]
    if values and min(values) <= 0 <= max(values):
        raise FormulaError(
            "It can't be worked out: within the accuracy of the readings it divides by zero.",
            divisor.column,
        )


def _two_corners(
    count: int, answer: Callable[[Sequence[str]], Point | None]
) -> list[tuple[str, ...]]:
    """Return the ends that together give least and most, found by moving one reading at a time.

    A reading that changes nothing alone goes low with the least and high with the most.
    """
    least: list[str] = []
    for place in range(count):
        down, up = (
            answer([end if at == place else "" for at in range(count)]) for end in ("low", "high")
        )
        falls = isinstance(down, Quantity) and isinstance(up, Quantity) and down.value > up.value
        least.append("high" if falls else "low")
    most = tuple("low" if end == "high" else "high" for end in least)
    return [tuple(least), most]

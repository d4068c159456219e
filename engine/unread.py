"""What the good outcome of an act would have to rest on and does not.

Which readings an act needs, `engine.power` says. Whether a step takes them and heeds them is found
by trying: its own judgements are given readings of a circuit that is in order, then the same with
one of them wrong (a tester that shows nothing on the known source, one leg that is live). A step
that still comes to the good outcome does not read that, or does not judge it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

from engine.bands import Bands, place
from engine.formula import Formula, FormulaError, Measured, Value, evaluate
from engine.power import CHARGED_FROM, LIVE_FROM, OUTCOMES, READ_FOR, Act
from engine.power.acts import (
    DC_VOLTS,
    EVERY_LEG,
    EVERY_PAIR,
    KNOWN_AFTER,
    KNOWN_BEFORE,
    OTHER_SIDE,
)
from engine.quantity import Quantity
from engine.reading import Function
from engine.sides import CHECKS, is_behind, stays_on_one_side
from engine.trade.catalogue import FIGURES
from engine.tree import CARRY_ON, ActHead, Head, Spread
from engine.vocabulary import Vocabulary

KNOWN_SOURCE = "known_source."
"""What the points of the source that is known to be live begin with."""

_VOLTS = (Function.VOLTS, Function.LOW_IMPEDANCE_VOLTS)
_KNOWN_VOLTS = 120
_LEGS = 3
_PART_OF = {Spread.PAIRS: EVERY_PAIR, Spread.TO_GROUND: EVERY_LEG}


class _Taken(NamedTuple):
    """A reading of a step, and for which part of the act it is taken."""

    name: str
    part: str
    """Empty for one that is no part of it."""
    always: bool
    """It is taken on every unit."""
    of_source: bool
    """It is taken on the source known to be live."""
    many: bool
    """It is one of a set: as many readings as there are legs or pairs."""


class _Judged(NamedTuple):
    judge: Formula | None
    bands: Bands
    answers: tuple[tuple[str, str], ...]
    """Band → what it counts as, `CARRY_ON` where the next judgement decides."""


def with_unread_said(head: Head, vocabulary: Vocabulary) -> Head:
    """Return a head that says what of its act is not read, or not judged; others as they are."""
    if not isinstance(head, ActHead):
        return head
    unread: tuple[str, ...] = ()
    if head.act in READ_FOR:
        read = _not_heeded(head.act, tuple(_taken(head, vocabulary)), *_judged(head))
        unread = tuple(part for part in READ_FOR[head.act] if part in read)
    elif head.act in CHECKS and stays_on_one_side(head, vocabulary):
        unread = (OTHER_SIDE,)
    return head if unread == head.unread else replace(head, unread=unread)


def _taken(head: ActHead, vocabulary: Vocabulary) -> Iterator[_Taken]:
    turns = {0: KNOWN_BEFORE, len(head.readings) - 1: KNOWN_AFTER}
    for turn, spec in enumerate(head.readings):
        of_source = all(point.startswith(KNOWN_SOURCE) for point in spec.points)
        if head.act is Act.DISCHARGE:
            part = DC_VOLTS if spec.function is Function.DC_VOLTS else ""
        elif spec.function not in _VOLTS or any(is_behind(one, vocabulary) for one in spec.points):
            part = ""
        else:
            part = turns.get(turn, "") if of_source else _PART_OF.get(spec.spread, "")
        always = not spec.condition and not spec.or_not_there
        yield _Taken(spec.name, part, always, of_source, spec.spread is not Spread.BETWEEN)


def _judged(head: ActHead) -> tuple[tuple[_Judged, ...], tuple[tuple[str, Formula], ...]]:
    """Return how a step judges, and what it works out for that."""
    judged = [
        _Judged(
            one.judge,
            one.bands,
            tuple(
                (key, CARRY_ON if outcome.then == CARRY_ON else outcome.counts_as)
                for key, outcome in one.answers.items()
            ),
        )
        for one in head.judgements
        if one.bands is not None
    ]
    return tuple(judged), head.work_out


@lru_cache(maxsize=512)
def _not_heeded(
    act: Act,
    taken: tuple[_Taken, ...],
    judged: tuple[_Judged, ...],
    work_out: tuple[tuple[str, Formula], ...],
) -> frozenset[str]:
    """Return the parts of an act that may be wrong, or missing, and its outcome good all the same.

    Where what is in order does not come to the good outcome nobody knows what it rests on, and
    nothing counts as read: a cut must be in plain volts.
    """

    def is_good(given: Mapping[str, Value]) -> bool:
        return _counts_as(judged, work_out, given) == OUTCOMES[act][0]

    parts = frozenset(READ_FOR[act])
    sound = {one.name: _value(one, _KNOWN_VOLTS if one.of_source else 0) for one in taken}
    if not is_good(sound):
        return parts
    ignored = {
        one.part
        for one in taken
        if any(is_good(sound | {one.name: wrong}) for wrong in _wrong(one))
    }
    return (parts - {one.part for one in taken if one.always}) | (parts & ignored)


def _value(taken: _Taken, *volts: int) -> Value:
    """Return readings of so many volts; a single one is as many times there as there are legs."""
    values = volts * _LEGS if len(volts) == 1 and taken.many else volts
    measured = tuple(Measured.sure(Quantity.of(one, "V")) for one in values)
    return measured if taken.many else measured[0]


def _wrong(taken: _Taken) -> Iterator[Value]:
    """Yield what must not be passed over: no volts at the known source, volts on any one leg."""
    if taken.of_source:
        yield _value(taken, 0)
        return
    live = CHARGED_FROM if taken.part == DC_VOLTS else LIVE_FROM
    if not taken.many:
        yield _value(taken, live)
        return
    for leg in range(_LEGS):
        yield _value(taken, *(live if one == leg else 0 for one in range(_LEGS)))


def _counts_as(
    judged: tuple[_Judged, ...],
    work_out: tuple[tuple[str, Formula], ...],
    given: Mapping[str, Value],
) -> str:
    """Return what readings count as; empty where that hangs on something else, too."""
    values = dict(given)
    single = next(iter(given.values())) if len(given) == 1 else ()
    try:
        for name, formula in work_out:
            values[name] = evaluate(formula, values, FIGURES)
        for judge, bands, answers in judged:
            value = evaluate(judge, values, FIGURES) if judge else single
            counts_as = dict(answers).get(place(bands, value, values, FIGURES).key, "")
            if counts_as != CARRY_ON:
                return counts_as
    except (KeyError, FormulaError):
        return ""
    return ""

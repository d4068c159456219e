"""What the good outcome of an act would have to rest on and does not.

Which readings an act needs, `engine.power` says. Whether a step takes them and heeds them is found
by trying: its own judgements are given readings of a circuit that is in order, then the same with
one of them wrong (a tester that shows nothing on the known source, one leg that is live or
grounded). A step that still comes to the good outcome does not read that, or does not judge it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

from engine.bands import Bands, place
from engine.formula import Formula, FormulaError, Measured, Value, evaluate
from engine.layouts import LAYOUTS, ZoneKind
from engine.power import CHARGED_FROM, LIVE_FROM, OUTCOMES, READ_FOR, Act
from engine.power.acts import (
    DC_VOLTS,
    EVERY_LEG,
    EVERY_PAIR,
    KNOWN_AFTER,
    KNOWN_BEFORE,
    NOT_LOW_FROM,
    OTHER_SIDE,
    UNDER_50,
)
from engine.quantity import Quantity
from engine.reading import Function
from engine.sides import CHECKS, is_behind, stays_on_one_side
from engine.trade.catalogue import FIGURES
from engine.tree import CARRY_ON, OTHERWISE, ActHead, Head, ReadingSpec, Spread
from engine.vocabulary import Vocabulary

KNOWN_SOURCE = "known_source."
"""What the points of the source that is known to be live begin with."""

_AC = (Function.VOLTS, Function.LOW_IMPEDANCE_VOLTS)
_TO_A_FAULT = (Function.OHMS, Function.INSULATION)
_PART_OF = {Spread.PAIRS: EVERY_PAIR, Spread.TO_GROUND: EVERY_LEG}
_CONTROL = frozenset(
    zone.name
    for layout in LAYOUTS.values()
    for zone in layout.zones
    if zone.kind is ZoneKind.CONTROL
)
_LEGS = 3
_NO_VOLTS, _VOLTS = Quantity.of(0, "V"), Quantity.of(120, "V")
_LIVE, _CHARGED = Quantity.of(LIVE_FROM, "V"), Quantity.of(CHARGED_FROM, "V")
_LOW, _NOT_LOW = Quantity.of(24, "V"), Quantity.of(NOT_LOW_FROM, "V")
_NO_OHMS, _NO_FAULT = Quantity.of(0, "ohm"), Quantity.of(10_000, "Mohm")


class _Taken(NamedTuple):
    """A reading that a step goes by, and for which part of the act it is taken."""

    name: str
    part: str
    """Empty for one that is no part of it."""
    always: bool
    """It is taken on every unit."""
    many: bool
    """It is one of a set: as many readings as there are legs or pairs."""
    sound: Quantity
    """What it reads where all is in order."""
    wrong: Quantity
    """What must not be passed over."""


class _Judged(NamedTuple):
    judge: Formula | None
    bands: Bands
    answers: tuple[tuple[str, str], ...]
    """Band → what it counts as, `CARRY_ON` where the next judgement decides."""


_Worked = tuple[tuple[str, Formula], ...]


def with_unread_said(head: Head, vocabulary: Vocabulary) -> Head:
    """Return a head that says what of its act is not read, or not judged; others as they are."""
    if not isinstance(head, ActHead):
        return head
    unread: tuple[str, ...] = ()
    if _rests_on_readings(head):
        lost = _not_heeded(head.act, tuple(_taken(head, vocabulary)), _judged(head), head.work_out)
        unread = tuple(part for part in READ_FOR[head.act] if part in lost)
    if head.act in CHECKS and stays_on_one_side(head, vocabulary):
        unread = (*unread, OTHER_SIDE)
    return head if unread == head.unread else replace(head, unread=unread)


def _rests_on_readings(head: ActHead) -> bool:
    """Return whether somebody's hands rest on the good outcome of a step.

    A check of a control circuit lets nothing of 50 V on; a reading of volts shows a control circuit
    low, and nothing of any other.
    """
    if head.act is Act.READ_LIVE:
        low = OUTCOMES[head.act][0]
        said = [one.counts_as for each in head.judgements for one in each.answers.values()]
        return head.zone in _CONTROL and low in (head.counts_as, *said)
    return head.act in READ_FOR and not (head.act in CHECKS and head.zone in _CONTROL)


def _taken(head: ActHead, vocabulary: Vocabulary) -> Iterator[_Taken]:
    for turn, spec in enumerate(head.readings):
        always = not spec.condition and not spec.or_not_there
        last = turn == len(head.readings) - 1
        part, sound, wrong = _tried_with(head.act, spec, vocabulary, first=not turn, last=last)
        yield _Taken(spec.name, part, always, spec.spread is not Spread.BETWEEN, sound, wrong)
    if head.act in CHECKS:
        # What an earlier step read between the legs.
        formulas = [one.judge for one in head.judgements if one.judge]
        for name in dict.fromkeys(name for one in formulas for name in one.names() if "." in name):
            yield _Taken(name, EVERY_PAIR, True, True, _NO_FAULT, _NO_OHMS)


def _tried_with(
    act: Act, spec: ReadingSpec, vocabulary: Vocabulary, *, first: bool, last: bool
) -> tuple[str, Quantity, Quantity]:
    """Return what part of the act a reading is, what it reads in order, and what is wrong."""
    function = spec.function
    if act in CHECKS:
        known = function in _TO_A_FAULT
        return _PART_OF.get(spec.spread, "") if known else "", _NO_FAULT, _NO_OHMS
    if act is Act.READ_LIVE:
        return UNDER_50 if function in (*_AC, Function.DC_VOLTS) else "", _LOW, _NOT_LOW
    if act is Act.DISCHARGE:
        return DC_VOLTS if function is Function.DC_VOLTS else "", _NO_VOLTS, _CHARGED
    if all(point.startswith(KNOWN_SOURCE) for point in spec.points):
        part = KNOWN_BEFORE if first else KNOWN_AFTER if last else ""
        return part if function in _AC else "", _VOLTS, _NO_VOLTS
    known = function in _AC and not any(is_behind(one, vocabulary) for one in spec.points)
    return _PART_OF.get(spec.spread, "") if known else "", _NO_VOLTS, _LIVE


def _judged(head: ActHead) -> tuple[_Judged, ...]:
    """Return how a step judges its readings."""
    return tuple(
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
    )


@lru_cache(maxsize=512)
def _not_heeded(
    act: Act, taken: tuple[_Taken, ...], judged: tuple[_Judged, ...], work_out: _Worked
) -> frozenset[str]:
    """Return the parts of an act that may be wrong, or missing, and its outcome good all the same.

    Where readings that are in order do not come to the good outcome, nobody knows what it rests on,
    and nothing counts as read: a cut must be in plain volts, or in plain ohms. Only a control
    circuit is also judged by its nameplate; of it, no reading above every cut may be called low.
    """
    parts, good = frozenset(READ_FOR[act]), OUTCOMES[act][0]
    sound = {one.name: _value(one, one.sound) for one in taken}
    if act is Act.READ_LIVE:
        if any(dict(one.answers).get(OTHERWISE) == good for one in judged):
            return parts
    elif _counts_as(judged, work_out, sound) != good:
        return parts
    passing = (good,) if act is Act.READ_LIVE else (good, _NOBODY_KNOWS)

    def is_passed_over(one: _Taken) -> bool:
        found = (_counts_as(judged, work_out, sound | {one.name: wrong}) for wrong in _wrong(one))
        return any(word in passing for word in found)

    ignored = {one.part for one in taken if is_passed_over(one)}
    return (parts - {one.part for one in taken if one.always}) | (parts & ignored)


def _value(taken: _Taken, *read: Quantity) -> Value:
    """Return what was read; a single value is as many times there as there are legs."""
    values = read * _LEGS if len(read) == 1 and taken.many else read
    measured = tuple(Measured.sure(one) for one in values)
    return measured if taken.many else measured[0]


def _wrong(taken: _Taken) -> Iterator[Value]:
    """Yield a reading that must not be passed over, on each leg in turn."""
    if not taken.many:
        yield _value(taken, taken.wrong)
        return
    for leg in range(_LEGS):
        yield _value(taken, *(taken.wrong if one == leg else taken.sound for one in range(_LEGS)))


_NOBODY_KNOWS = "nobody knows"


def _counts_as(judged: tuple[_Judged, ...], work_out: _Worked, given: Mapping[str, Value]) -> str:
    """Return what readings count as; `_NOBODY_KNOWS` where that hangs on something else, too."""
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
    except KeyError:
        return _NOBODY_KNOWS
    except FormulaError:
        return ""
    return ""

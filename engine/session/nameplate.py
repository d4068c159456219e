"""Nameplate questions: which are still open before a step, and what an answer to one means."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache

from engine.formula import Formula, Measured, Value
from engine.quantity import Quantity
from engine.session.judging import holds
from engine.session.same import SameStep
from engine.session.state import State
from engine.tree import ActHead, Judgement, SortHead, Spread, Step, WalkTree
from engine.vocabulary import Condition, Field

BRACES = re.compile(r"\{([^{}]+)\}")
"""A name inside a text."""

NONE = "none"
"""What is kept when none of several words is true."""

PHASES = "phases"
"""The field that reading sets are written out by."""


def field_needed(walk: WalkTree, state: State, step: Step) -> str:
    """Return the first nameplate field that has to be known before the step; else empty.

    First what decides whether the step applies at all, then, if it does, what is asked here for
    steps to come, then what its windows, reading sets and texts are made from.
    """
    deciding = decides(walk, state, step)
    if deciding or not holds(step.condition, state.words):
        return deciding
    if early := _asked_early(walk, state, step.ask_first):
        return early
    wanted = (_first_open(walk, state, name) for name in _names(SameStep(step)))
    return next(filter(None, wanted), "")


def decides(walk: WalkTree, state: State, step: Step) -> str:
    """Return the first field not yet known that decides whether the step applies; else empty."""
    for test in step.condition:
        if wanted := _first_open(walk, state, test.name):
            return wanted
        if not holds((test,), state.words):
            return ""
    return ""


def _asked_early(walk: WalkTree, state: State, names: Iterable[str]) -> str:
    """Return the first of some fields to ask for steps to come; not one that can't be read."""
    wanted = (_first_open(walk, state, name) for name in names)
    return next((name for name in wanted if name and name not in state.unread), "")


@lru_cache(maxsize=4096)
def _names(same: SameStep) -> tuple[str, ...]:
    """Return the names that a step rests on; remembered, since every fold asks for them anew."""
    return tuple(names_asked(same.step))


def names_asked(step: Step) -> Iterator[str]:
    """Yield every name that may have to be known before a step, fields of the nameplate among them.

    What decides whether the step applies comes first.
    """
    yield from _of_condition(step.condition)
    yield from _of_step(step)


def _open(walk: WalkTree, state: State, name: str) -> bool:
    field = walk.fields.get(name)
    if field is None or name in state.words or name in state.numbers:
        return False
    if any(_open(walk, state, other) for other in _of_condition(field.condition)):
        return True
    return holds(field.condition, state.words)


def _first_open(walk: WalkTree, state: State, name: str) -> str:
    """Return the field to ask now so that ``name`` is known: itself, or one it hangs on.

    Empty where it is known, or no field.
    """
    if not _open(walk, state, name):
        return ""
    for other in _of_condition(walk.fields[name].condition):
        if _open(walk, state, other):
            return _first_open(walk, state, other)
    return name


def _of_condition(condition: Condition) -> Iterator[str]:
    for test in condition:
        yield test.name


def _of_step(step: Step) -> Iterator[str]:
    head = step.head
    if isinstance(head, ActHead):
        for spec in head.readings:
            yield from _of_condition(spec.condition)
            if spec.spread is not Spread.BETWEEN:
                yield PHASES
        yield from _of_formulas(formula for _, formula in head.work_out)
        for judgement in head.judgements:
            yield from _of_judgement(judgement)
    elif isinstance(head, SortHead):
        if head.by_name:
            yield head.by_name
        if head.by_formula:
            yield from sorted(head.by_formula.names())
        yield from _of_judgement(head.judgement)
    for text in (step.title, step.why, step.do, *(text for _, text in step.cautions)):
        if "{" in text:
            yield from BRACES.findall(text)


def _of_judgement(judgement: Judgement) -> Iterator[str]:
    if judgement.judge:
        yield from sorted(judgement.judge.names())
    if judgement.bands:
        yield from _of_formulas(cut.at for cut in judgement.bands.cuts)
    for outcome in judgement.answers.values():
        yield from _of_condition(outcome.condition)


def _of_formulas(formulas: Iterable[Formula]) -> Iterator[str]:
    for formula in formulas:
        yield from sorted(formula.names())


def value_of_field(field: Field, quantities: Iterable[Quantity]) -> Value:
    """Return what a nameplate number is in a formula: exact; a volts marking gives low and high."""
    values = tuple(Measured(one, one.value, one.value) for one in quantities)
    return values if field.volts_marking else values[0]

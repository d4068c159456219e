"""When a way is open: what must be true of the nameplate and of what was answered before.

A *case* gives for some variables the words that each may be. A variable is a question of the
nameplate (``phases``), one word of a question with several answers (``fitted`` and *drain
float*), the verdict of an earlier step, or the place to go on at. Conditions come apart into
cases that exclude each other, so that a search can go through them one by one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import product

from engine.vocabulary import Comparison, Condition, Field, Relation, meets

Variable = tuple[str, str]
Words = frozenset[str]
Case = tuple[tuple[Variable, Words], ...]
"""Sorted by variable, each once; empty where nothing has to be true."""

PLATE = "nameplate"
HAS = "has"
SAID = "said"
NOT_TAKEN = "not taken"
"""The verdict of a step that was never answered."""
NO, YES = frozenset({"no"}), frozenset({"yes"})

ANYHOW: Case = ()
Split = tuple[tuple[Case, ...], tuple[Case, ...]]
"""The cases in which something holds, and those in which it does not."""

_ALWAYS: Split = ((ANYHOW,), ())
_NEVER: Split = ((), (ANYHOW,))


def both(one: Case, other: Case) -> Case | None:
    """Return the case in which both hold; None where they exclude each other."""
    if not one or not other:
        return one or other
    merged = dict(one)
    for variable, words in other:
        common = merged.get(variable, words) & words
        if not common:
            return None
        merged[variable] = common
    return tuple(sorted(merged.items(), key=lambda literal: literal[0]))


def _every(cases: Iterable[Case], others: Iterable[Case]) -> tuple[Case, ...]:
    pairs = (both(one, other) for one, other in product(cases, others))
    return tuple(case for case in pairs if case is not None)


def split(condition: Condition, fields: Mapping[str, Field]) -> Split:
    """Return the cases in which a condition holds and those in which it fails."""
    holds: tuple[Case, ...] = (ANYHOW,)
    fails: tuple[Case, ...] = ()
    for test in condition:
        true, false = _of_comparison(test, fields)
        fails += _every(holds, false)
        holds = _every(holds, true)
    return holds, fails


def _of_comparison(test: Comparison, fields: Mapping[str, Field]) -> Split:
    """Split by one comparison; a question that does not apply was never asked and has no words."""
    field = fields.get(test.name)
    unasked = _ALWAYS if meets(test.relation, test.words, ()) else _NEVER
    if field is None:
        return unasked
    asked, not_asked = split(field.condition, fields)
    true, false = _of_many(test) if field.many else _of_one(test, field)
    return (
        _every(asked, true) + _every(not_asked, unasked[0]),
        _every(asked, false) + _every(not_asked, unasked[1]),
    )


def _of_one(test: Comparison, field: Field) -> Split:
    meeting = frozenset(one for one in field.words if meets(test.relation, test.words, (one,)))
    true, false = (_among(field, words) for words in (meeting, frozenset(field.words) - meeting))
    return true, false


def _among(field: Field, words: Words) -> tuple[Case, ...]:
    return ((((PLATE, field.name), words),),) if words else ()


def _of_many(test: Comparison) -> Split:
    """Split by which of several words are true, each a variable of its own."""
    variables = [(HAS, f"{test.name} {word}") for word in test.words]
    asks_all = test.relation is Relation.HAS
    stops_at, goes_on_at = (NO, YES) if asks_all else (YES, NO)
    decided: list[Case] = []
    before: Case = ()
    for variable in variables:
        decided += _every((before,), (((variable, stops_at),),))
        (before,) = _every((before,), (((variable, goes_on_at),),)) or (before,)
    undecided = (before,)
    holds_at_end = asks_all or test.relation is Relation.IS_NOT
    return (undecided, tuple(decided)) if holds_at_end else (tuple(decided), undecided)


def word_cases(name: str, fields: Mapping[str, Field]) -> tuple[tuple[str, Case], ...]:
    """Return what a nameplate question can have been answered, each with its case.

    `NOT_TAKEN` where it does not apply, has several answers, or is answered by a number.
    """
    field = fields.get(name)
    if field is None or field.many or not field.words:
        return ((NOT_TAKEN, ANYHOW),)
    asked, not_asked = split(field.condition, fields)
    answered = [
        (word, case)
        for word in field.words
        for case in _every(asked, _among(field, frozenset({word})))
    ]
    return (*answered, *((NOT_TAKEN, case) for case in not_asked))

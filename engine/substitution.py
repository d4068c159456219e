"""Putting names and parameters into frozen values, by what the model says of each of its words.

`put_in` takes any value of `engine.tree` and a `Scope` and returns the same value with every
step's name written out and every ``the NAME`` replaced by what it was given. It reads the
model's own annotations (`StepName`, `Text`, `Given`, plain words, formulas), once for each
class, so a new field of the model is put in rightly without a line here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields, is_dataclass, replace
from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, TypeVar, Union, get_args, get_origin, get_type_hints

from engine.formula import Formula
from engine.formula.node import Name
from engine.problems import Span
from engine.quantity import Quantity
from engine.tree import THE, Given
from engine.vocabulary import ALWAYS, NEVER, Comparison, meets

T = TypeVar("T")
Rule = Callable[[Any, "Scope"], Any]

_BRACES = re.compile(r"\{([^{}]+)\}")


@dataclass(frozen=True, slots=True)
class Scope:
    """What names mean at one place where steps are written out."""

    steps: Mapping[str, str] = field(default_factory=dict)
    """Step, as written there, to its whole name; a target word may be there too."""
    given: Mapping[str, Given] = field(default_factory=dict)
    """Parameter or list column (``the zone``) to what it was given."""

    def target(self, word: str) -> str:
        """Return where a target leads: a step by its whole name, any other word as it is."""
        return self.steps.get(word, word)

    def dotted(self, name: str) -> str:
        """Return ``step.reading`` with the step's whole name; any other name as it is."""
        step, dot, rest = name.partition(".")
        return f"{self.steps[step]}.{rest}" if dot and step in self.steps else name


def put_in(value: T, scope: Scope) -> T:
    """Return a value of the model as it reads in a scope; the very same object if nothing changes.

    A parameter that was not given, or was given what cannot stand there, stays as written.
    """
    if not scope.steps and not scope.given:
        return value
    put: T = _by_class(value, scope)
    return put


@cache
def _rule_of_class(cls: type) -> Rule:
    if cls in _RULES:
        return _RULES[cls]
    if not is_dataclass(cls) or cls in _LEFT_ALONE:
        return _as_it_is
    hints = get_type_hints(cls, include_extras=True)
    rules = [(one.name, _rule(hints[one.name])) for one in fields(cls)]
    live = [(name, rule) for name, rule in rules if rule is not _as_it_is]

    def of_fields(value: Any, scope: Scope) -> Any:
        changed = {}
        for name, rule in live:
            old = getattr(value, name)
            new = rule(old, scope)
            if new is not old:
                changed[name] = new
        return replace(value, **changed) if changed else value

    return of_fields


def _rule(hint: Any) -> Rule:
    """Return how a field of that annotation is put in."""
    origin = get_origin(hint)
    if origin is Annotated:
        return _MARKED[get_args(hint)[1]]
    if origin in (Union, UnionType):
        several = [_rule(one) for one in get_args(hint) if one is not NoneType]
        return _as_it_is if all(rule is _as_it_is for rule in several) else _by_class
    if origin is tuple:
        return _tuple_rule(get_args(hint))
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return _mapping_rule(_rule(get_args(hint)[1]))
    if is_dataclass(hint) and hint not in _LEFT_ALONE:
        return _by_class
    return _RULES.get(hint, _as_it_is)


def _by_class(value: Any, scope: Scope) -> Any:
    cls: Any = type(value)
    return _rule_of_class(cls)(value, scope)


def _as_it_is(value: Any, scope: Scope) -> Any:
    return value


def _tuple_rule(inside: tuple[Any, ...]) -> Rule:
    if inside == (str, ...):
        return _words
    rules = [_rule(one) for one in inside if one is not ...]
    if all(rule is _as_it_is for rule in rules):
        return _as_it_is

    def of_tuple(value: tuple[Any, ...], scope: Scope) -> tuple[Any, ...]:
        every = rules * len(value) if inside[-1] is ... else rules
        new = tuple(rule(one, scope) for rule, one in zip(every, value, strict=False))
        return value if all(a is b for a, b in zip(new, value, strict=True)) else new

    return of_tuple


def _mapping_rule(rule: Rule) -> Rule:
    def of_mapping(value: Mapping[str, Any], scope: Scope) -> Mapping[str, Any]:
        new = {key: rule(one, scope) for key, one in value.items()}
        return value if all(new[key] is value[key] for key in value) else new

    return _as_it_is if rule is _as_it_is else of_mapping


def _word(word: str, scope: Scope) -> str:
    given = scope.given.get(word) if word.startswith(THE) else None
    return given if isinstance(given, str) else word


def _words(words: tuple[str, ...], scope: Scope) -> tuple[str, ...]:
    if not any(word.startswith(THE) for word in words):
        return words
    new: list[str] = []
    for word in words:
        given = scope.given.get(word, word)
        new.extend(given if isinstance(given, tuple) else [_word(word, scope)])
    return tuple(new)


def _step(word: str, scope: Scope) -> str:
    return scope.target(_word(word, scope))


def _text(text: str, scope: Scope) -> str:
    if "{" not in text:
        return text

    def filled(braces: re.Match[str]) -> str:
        name = braces.group(1)
        if name in scope.given:
            return shown(scope.given[name])
        return "{" + scope.dotted(name) + "}"

    new = _BRACES.sub(filled, text)
    return new if new != text else text


def shown(given: Given) -> str:
    """Return what a parameter was given as it reads in a sentence."""
    if isinstance(given, str):
        return given
    if isinstance(given, Formula):
        return f"{{{given.node.name}}}" if isinstance(given.node, Name) else given.text
    return ", ".join(given)


def _given(given: Given, scope: Scope) -> Given:
    if isinstance(given, str):
        return scope.given.get(given) or _text(given, scope)
    if isinstance(given, tuple):
        return _words(given, scope)
    if isinstance(given, Formula):
        return _formula(given, scope)
    new = {name: put_in(row, scope) for name, row in given.items()}
    return given if all(new[name] is given[name] for name in given) else new


def _formula(formula: Formula, scope: Scope) -> Formula:
    names = formula.names()
    renamed = {name: whole for name in names if (whole := scope.dotted(name)) != name}
    new = formula.renamed(renamed) if renamed else formula
    given = {name: scope.given[name] for name in names if name in scope.given}
    parts = {name: part for name, part in given.items() if isinstance(part, Formula)}
    return new.filled(parts) if parts else new


def _comparison(test: Comparison, scope: Scope) -> Comparison:
    """Return a comparison; one about a parameter is decided here, once and for all."""
    given = scope.given.get(test.name)
    if given is None or isinstance(given, Formula):
        return test
    words = (given,) if isinstance(given, str) else tuple(given)
    return ALWAYS if meets(test.relation, test.words, words) else NEVER


_LEFT_ALONE = (Quantity, Span)
_MARKED: Mapping[str, Rule] = {"step": _step, "text": _text, "given": _given}
_RULES: Mapping[Any, Rule] = {str: _word, Formula: _formula, Comparison: _comparison}

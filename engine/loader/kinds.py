"""What every name of a tree as walked stands for: readings, work-outs, fields, results."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TypeGuard

from engine.formula import (
    AtLeast,
    Between,
    Box,
    Formula,
    FormulaError,
    Known,
    OneOf,
    Several,
    Words,
    kind_of,
)
from engine.quantity import Kind
from engine.reading import FUNCTION_KIND
from engine.trade.catalogue import FIGURES
from engine.tree import (
    THE,
    ActHead,
    Judgement,
    ReadingSpec,
    SortHead,
    Spread,
    Step,
    WalkTree,
)
from engine.vocabulary import Field


class Anything:
    """What a name stands for while nobody knows: a parameter, or what rests on one."""


ANYTHING = Anything()
Maybe = Known | Anything


def is_sure(kind: Maybe | None) -> TypeGuard[Known]:
    """Return whether it is known what a name stands for."""
    return isinstance(kind, Kind | Words | Several)


class NamesAt(Mapping[str, Maybe]):
    """What every name stands for at one step."""

    def __init__(self, names: KnownNames, step: str) -> None:
        self._names = names
        self._step = step

    def __getitem__(self, name: str) -> Maybe:
        own = self._names.own(self._step).get(name)
        found = own if own is not None else self._names.beyond(name)
        if found is None:
            raise KeyError(name)
        return found

    def __iter__(self) -> Iterator[str]:
        yield from self._names.own(self._step)
        yield from self._names.fields

    def __len__(self) -> int:
        return len(self._names.own(self._step)) + len(self._names.fields)


class KnownNames:
    """What every name of a tree stands for, worked out when first asked."""

    def __init__(self, walk: WalkTree) -> None:
        self.fields: dict[str, Known] = {
            name: of_field(field) for name, field in walk.fields.items()
        }
        self._walk = walk
        self._own: dict[str, dict[str, Maybe]] = {}

    def at(self, step: str) -> NamesAt:
        """Return what names stand for at a step."""
        return NamesAt(self, step)

    def own(self, name: str) -> Mapping[str, Maybe]:
        """Return what a step reads and works out itself."""
        if name not in self._own:
            step = self._walk.steps.get(name)
            own: dict[str, Maybe] = {}
            self._own[name] = own
            if step and isinstance(step.head, ActHead):
                own |= {spec.name: _of_reading(spec) for spec in step.head.readings}
                for worked, formula in step.head.work_out:
                    own[worked] = self.kind(name, formula) or ANYTHING
        return self._own[name]

    def beyond(self, name: str) -> Maybe | None:
        """Return what a name stands for that is not the step's own."""
        if name.startswith(THE):
            return ANYTHING
        step, dot, result = self._walk.gives.get(name, name).partition(".")
        return self.own(step).get(result) if dot else self.fields.get(name)

    def kind(self, step: str, formula: Formula) -> Kind | Words | None:
        """Return what a formula gives at a step; None where that cannot be said."""
        known = self.at(step)
        found = {name: known.get(name) for name in formula.names()}
        sure = {
            name: kind for name, kind in found.items() if isinstance(kind, Kind | Words | Several)
        }
        if len(sure) < len(found):
            return None
        try:
            return kind_of(formula, sure, FIGURES)
        except FormulaError:
            return None


def of_field(field: Field) -> Known:
    """Return what a nameplate field stands for in a formula."""
    if field.volts_marking:
        return Several(Kind.VOLTAGE)
    return field.kind if field.kind else Words(field.words)


def _of_reading(spec: ReadingSpec) -> Known:
    kind = FUNCTION_KIND[spec.function]
    return kind if spec.spread is Spread.BETWEEN else Several(kind)


def nameplate_box(fields: Mapping[str, Field]) -> Box:
    """Return every combination of nameplate values that a unit may have."""
    allowed: dict[str, Between | OneOf] = {}
    for name, field in fields.items():
        if field.low and field.high:
            allowed[name] = Between(field.low, field.high, field.volts_marking)
        elif field.words and not field.many:
            allowed[name] = OneOf(field.words)
    ties = tuple(
        AtLeast(name, field.at_least) for name, field in fields.items() if field.at_least in allowed
    )
    return Box(allowed, ties)


def judgements_of(step: Step) -> tuple[Judgement, ...]:
    """Return the judgements of a step that asks or sorts."""
    head = step.head
    if isinstance(head, ActHead):
        return head.judgements
    return (head.judgement,) if isinstance(head, SortHead) else ()


def worked_out(step: Step, formula: Formula) -> Formula:
    """Return a formula with what the step works out put in the place of its name.

    Raises FormulaError where it takes an end of what is worked out: that has no two ends.
    """
    if not isinstance(step.head, ActHead):
        return formula
    filling: dict[str, Formula] = {}
    for name, own in step.head.work_out:
        filling[name] = own.filled(filling)
    return formula.filled(filling)

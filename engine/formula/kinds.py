"""Which kinds go together, and what comes of them: volts over ohms are amps.

One table, read by the check of a tree (`kind_of`), by the arithmetic (`working`) and by the
proof that cuts rise (`polynomial`), so that none of them can know another physics.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from enum import Enum
from fractions import Fraction

from engine.figure import Figure, Input
from engine.formula.node import (
    Call,
    End,
    Extreme,
    Formula,
    FormulaError,
    Literal,
    Name,
    Node,
    Operation,
    Said,
    Share,
)
from engine.quantity import Kind


@dataclass(frozen=True, slots=True)
class Words:
    """What is known is a word: one of these, or any where there are none."""

    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Several:
    """What is known is a set of values: readings of every pair, a marking of two voltages."""

    kind: Kind


Known = Kind | Words | Several
"""What a name can stand for."""


class How(Enum):
    """What an operation does with two base values *a* and *b*."""

    SUM = "a ± b"
    RELATIVE = "a (1 ± b/100)"
    PRODUCT = "scale · a · b"
    QUOTIENT = "scale · a / b"


@dataclass(frozen=True, slots=True)
class Rule:
    """The kind that comes of an operation, and how it is worked out."""

    kind: Kind
    how: How
    scale: Fraction = Fraction(1)


_HUNDREDTH = Fraction(1, 100)
_PRODUCTS = {
    (Kind.CURRENT, Kind.RESISTANCE): Kind.VOLTAGE,
    (Kind.VOLTAGE, Kind.CURRENT): Kind.POWER,
}
_QUOTIENTS = {
    (Kind.VOLTAGE, Kind.RESISTANCE): Kind.CURRENT,
    (Kind.VOLTAGE, Kind.CURRENT): Kind.RESISTANCE,
    (Kind.POWER, Kind.VOLTAGE): Kind.CURRENT,
    (Kind.POWER, Kind.CURRENT): Kind.VOLTAGE,
}


def rule(word: str, left: Kind, right: Kind) -> Rule | None:
    """Return what comes of ``left word right``, or None where nothing sensible does."""
    if word in ("plus", "less"):
        return _sum(word, left, right)
    return _product(left, right) if word == "times" else _quotient(left, right)


def _sum(word: str, left: Kind, right: Kind) -> Rule | None:
    """Temperatures are points on a scale: they differ, but they don't add."""
    pair = (left, right)
    degrees, apart = Kind.TEMPERATURE, Kind.TEMPERATURE_DIFFERENCE
    if pair == (degrees, degrees):
        return Rule(apart, How.SUM) if word == "less" else None
    if pair == (degrees, apart) or (pair == (apart, degrees) and word == "plus"):
        return Rule(degrees, How.SUM)
    if left is right:
        return Rule(left, How.SUM)
    if right is Kind.PERCENT and left is not degrees:
        return Rule(left, How.RELATIVE)
    return None


def _product(left: Kind, right: Kind) -> Rule | None:
    if Kind.TEMPERATURE in (left, right):
        return None
    for one, other in ((left, right), (right, left)):
        if one is Kind.COUNT:
            return Rule(other, How.PRODUCT)
        if (one, other) in _PRODUCTS:
            return Rule(_PRODUCTS[one, other], How.PRODUCT)
    for one, other in ((left, right), (right, left)):
        if one is Kind.PERCENT:
            return Rule(other, How.PRODUCT, _HUNDREDTH)
    return None


def _quotient(left: Kind, right: Kind) -> Rule | None:
    if Kind.TEMPERATURE in (left, right):
        return None
    if left is right:
        return Rule(Kind.COUNT, How.QUOTIENT)
    if right is Kind.COUNT:
        return Rule(left, How.QUOTIENT)
    if right is Kind.PERCENT:
        return Rule(left, How.QUOTIENT, Fraction(100))
    kind = _QUOTIENTS.get((left, right))
    return Rule(kind, How.QUOTIENT) if kind else None


def kind_of(
    formula: Formula, known: Mapping[str, Known], figures: Mapping[str, Figure]
) -> Kind | Words:
    """Return what the formula gives: a kind, or the words that its figure can answer.

    ``known`` says what each name stands for. Raises FormulaError, with the column and the fix,
    for kinds that don't go together and for a name that isn't there.
    """
    found = _Check(known, figures).of(formula.node)
    if isinstance(found, Several):
        raise FormulaError(
            f"'{formula.text}' is several values; one is wanted.",
            1,
            f"Write min({formula.text}), max({formula.text}) or a figure.",
        )
    return found


@dataclass(frozen=True, slots=True)
class _Check:
    """Finds what each part of a formula is, bottom up."""

    known: Mapping[str, Known]
    figures: Mapping[str, Figure]

    def of(self, node: Node) -> Known:
        """Return what a part gives."""
        match node:
            case Literal():
                return node.quantity.kind
            case Said():
                return Words((node.word,))
            case Name():
                return self._named(node)
            case End():
                return self._end(node)
            case Share():
                return self._share(node)
            case Operation():
                return self._operation(node)
            case Extreme():
                return self._extreme(node)
            case Call():
                return self._call(node)

    def _named(self, node: Name | End) -> Known:
        if node.name in self.known:
            return self.known[node.name]
        near = get_close_matches(node.name, self.known, 1)
        fix = f"Did you mean {near[0]}?" if near else "Read it, ask it or work it out first."
        raise FormulaError(f"Nothing is called '{node.name}' here.", node.column, fix)

    def _number(self, node: Node, why: str) -> Kind:
        """Return the kind of a part that has to be one number."""
        found = self.of(node)
        if isinstance(found, Words):
            sentence = f"A word can't be {why}."
            raise FormulaError(sentence, node.column, "Answer words with choices.")
        if isinstance(found, Several):
            sentence = f"Several values can't be {why}."
            raise FormulaError(sentence, node.column, "Take min(…), max(…) or a figure of them.")
        return found

    def _end(self, node: End) -> Kind:
        found = self._named(node)
        if isinstance(found, Words):
            sentence = f"'{node.name}' is a word; it has no {node.which} end."
            raise FormulaError(sentence, node.column, "Use it with a marking or a set of readings.")
        return found.kind if isinstance(found, Several) else found

    def _share(self, node: Share) -> Kind:
        kind = self._number(node.of, "shared out by percent")
        if kind is Kind.TEMPERATURE:
            raise _no_percent_of_degrees(node.column)
        return kind

    def _operation(self, node: Operation) -> Kind:
        left = self._number(node.left, f"used with {node.word}")
        right = self._number(node.right, f"used with {node.word}")
        if found := rule(node.word, left, right):
            return found.kind
        raise _mismatch(node, left, right)

    def _extreme(self, node: Extreme) -> Kind:
        kinds = [self._one_or_several(part, f"put in {node.word}") for part in node.parts]
        for part, kind in zip(node.parts, kinds, strict=True):
            if kind is not kinds[0]:
                raise FormulaError(
                    f"{node.word} can't compare {kinds[0]} with {kind}.",
                    part.column,
                    f"Give {node.word} values of one kind.",
                )
        return kinds[0]

    def _one_or_several(self, node: Node, why: str) -> Kind:
        found = self.of(node)
        return found.kind if isinstance(found, Several) else self._number(node, why)

    def _call(self, node: Call) -> Known:
        figure = self.figures[node.figure]
        inputs = {item.name: item for item in figure.inputs}
        for name, given in node.arguments:
            kinds = [self._argument(figure, inputs[name], part) for part in given]
            if len(set(kinds)) > 1:
                raise FormulaError(
                    f"'{name}' of {figure.name} holds {' and '.join(sorted(set(kinds)))}.",
                    given[0].column,
                    "Give values of one kind.",
                )
        output = figure.output(node.output)
        return Words(output.words) if output.kind is None else output.kind

    def _argument(self, figure: Figure, item: Input, part: Node) -> str:
        """Return the kind of one value given to an input; raises FormulaError if unfit."""
        found = self.of(part)
        kinds = (item.kind, *(kind for kind, _ in item.instead))
        if isinstance(found, Words):
            fits, given = item.kind is None and _all_allowed(found, item), "a word"
        elif isinstance(found, Several):
            fits, given = found.kind in kinds and item.many, f"several of {found.kind}"
        else:
            fits, given = found in kinds, found
        if fits:
            return found.kind if isinstance(found, Several) else given
        wanted = " or ".join(kind or "a word" for kind in kinds)
        raise FormulaError(
            f"{figure.name} wants {wanted} for '{item.name}', not {given}.",
            part.column,
            item.sentence or f"Give {wanted}.",
        )


def _all_allowed(found: Words, item: Input) -> bool:
    return not item.words or not found.words or set(found.words) <= set(item.words)


def _no_percent_of_degrees(column: int) -> FormulaError:
    return FormulaError(
        "A percentage of a temperature means nothing: its zero is only a mark on the scale.",
        column,
        "Write a difference, for example plus 18 F apart.",
    )


def _mismatch(node: Operation, left: Kind, right: Kind) -> FormulaError:
    """Return why two kinds don't go together, and what would."""
    temperatures = Kind.TEMPERATURE in (left, right)
    if temperatures and Kind.PERCENT in (left, right):
        return _no_percent_of_degrees(node.column)
    if node.word in ("plus", "less") and left is Kind.PERCENT:
        fix = f"Put the percentage last: a {right} {node.word} a percentage of it."
    elif node.word in ("plus", "less") and temperatures:
        fix = "Temperatures only differ: write a difference, for example 18 F apart."
    elif node.word in ("plus", "less"):
        fix = f"Give both in {left}, or both in {right}."
    else:
        fix = (
            "Known are volts over ohms, volts over amps, amps times ohms, volts times amps, "
            "and anything times or over a number of times."
        )
    return FormulaError(f"{left} {node.word} {right} gives nothing.", node.column, fix)

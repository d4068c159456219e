"""A formula at one point: every name stands for one value without doubt. Exact.

Sums, products and quotients are of fractions; a figure is given floats and its float answer
becomes a fraction of twelve digits. What a meter said instead of a number is carried through:
OL is above every number, and what could not be read stays so wherever it matters.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import inf, isnan

from engine.figure import Figure, FigureError, Input, Output
from engine.formula.kinds import How, rule
from engine.formula.node import (
    Call,
    End,
    Extreme,
    FormulaError,
    Literal,
    Name,
    Node,
    Operation,
    Said,
    Share,
)
from engine.quantity import Kind, Quantity, base_unit, exact, words
from engine.reading.value import Special

Point = Quantity | Special | str | tuple[Quantity | Special, ...]
"""What a name stands for and a formula gives, without doubt."""


class FigureRefusedError(FormulaError):
    """A figure can't work with the inputs it is given."""


def at_point(node: Node, at: Mapping[str, Point], figures: Mapping[str, Figure]) -> Point:
    """Return what a part gives where names stand for the values ``at``; raises as `evaluate`."""
    match node:
        case Literal():
            return node.quantity
        case Said():
            return node.word
        case Name():
            return at[node.name]
        case End():
            return _end_of_set(node, at[node.name])
        case Share():
            return _shared(node, at_point(node.of, at, figures))
        case Operation():
            left, right = at_point(node.left, at, figures), at_point(node.right, at, figures)
            return _operated(node.word, left, right, node.column)
        case Extreme():
            return _extreme(node, [at_point(part, at, figures) for part in node.parts])
        case Call():
            return _call(node, at, figures)


def _shared(node: Share, whole: Point) -> Quantity | Special:
    if isinstance(whole, Quantity):
        part, all_of_it = node.percent.value, whole.value
        top = part.numerator * all_of_it.numerator
        return Quantity(Fraction(top, 100 * part.denominator * all_of_it.denominator), whole.kind)
    return _operated("times", node.percent, whole, node.column)


def _end_of_set(node: End, value: Point) -> Quantity | Special:
    return _chosen("min" if node.which == "low" else "max", _flat([value]), node.column)


def _flat(values: Sequence[Point]) -> list[Quantity | Special]:
    """Return sets and single values as one list; words are not among them once checked."""
    found: list[Quantity | Special] = []
    for value in values:
        if isinstance(value, tuple):
            found.extend(value)
        elif isinstance(value, (Quantity, Special)):
            found.append(value)
        else:
            raise FormulaError(f"'{value}' is a word, not a value.")
    return found


def _extreme(node: Extreme, values: Sequence[Point]) -> Quantity | Special:
    return _chosen(node.word, _flat(values), node.column)


def _chosen(word: str, values: Sequence[Quantity | Special], column: int) -> Quantity | Special:
    """Return the least or greatest; what could not be read matters unless OL is above it anyway."""
    numbers = [one for one in values if isinstance(one, Quantity)]
    if not values:
        raise FormulaError(f"{word} of nothing: no reading is there.", column)
    if word == "max" and Special.OL in values:
        return Special.OL
    for special in (Special.CANT_READ, Special.UNSTEADY):
        if special in values:
            return special
    if not numbers:
        return Special.OL
    pick = min if word == "min" else max
    return pick(numbers, key=lambda one: one.value)


def _operated(word: str, left: Point, right: Point, column: int) -> Quantity | Special:
    if isinstance(left, Quantity) and isinstance(right, Quantity):
        return _worked(word, left, right, column)
    pair = [one for one in (left, right) if isinstance(one, Special)]
    for special in (Special.CANT_READ, Special.UNSTEADY):
        if special in pair:
            return special
    if pair and (word in ("plus", "times") or right is not Special.OL):
        return Special.OL
    raise FormulaError(f"It can't be worked out: {word} takes one number on each side.", column)


def _worked(word: str, left: Quantity, right: Quantity, column: int) -> Quantity:
    found = rule(word, left.kind, right.kind)
    if found is None:
        raise FormulaError(f"{left.kind} {word} {right.kind} gives nothing.", column)
    a, b = left.value, right.value
    if word == "less":
        b = -b
    match found.how:
        case How.SUM:
            value = a + b
        case How.RELATIVE:
            value = a * (1 + b / 100)
        case How.PRODUCT:
            value = found.scale * a * b
        case How.QUOTIENT:
            if not b:
                raise FormulaError(
                    f"It can't be worked out: {words(left)} over {words(right)}.", column
                )
            value = found.scale * a / b
    return Quantity(value, found.kind)


def _call(node: Call, at: Mapping[str, Point], figures: Mapping[str, Figure]) -> Point:
    figure = figures[node.figure]
    inputs = {item.name: item for item in figure.inputs}
    given: dict[str, object] = {}
    for name, parts in node.arguments:
        values = [at_point(part, at, figures) for part in parts]
        argument = _argument(inputs[name], values, node)
        if isinstance(argument, Special):
            return argument
        given[name] = argument
    try:
        answers = figure.answer(**given)
    except FigureError as error:
        raise FigureRefusedError(error.sentence, node.column) from error
    except ArithmeticError as error:
        sentence = f"{figure.name} can't be worked out for these values."
        raise FigureRefusedError(sentence, node.column) from error
    return _answered(figure, figure.output(node.output), answers[node.output], node.column)


def _argument(item: Input, values: Sequence[Point], node: Call) -> object:
    """Return an argument as the figure takes it, or the special answer it can't work with."""
    if item.kind is None:
        return values[0]
    flat = _flat(values)
    for special in (Special.CANT_READ, Special.UNSTEADY, Special.OL):
        if special in flat and special.value not in item.special:
            return special
    ready = tuple(_as_float(one, item, node) for one in flat)
    if not item.many and len(ready) != 1:
        raise FormulaError(f"{node.figure} wants one value for '{item.name}'.", node.column)
    return ready if item.many else ready[0]


def _as_float(one: Quantity | Special, item: Input, node: Call) -> float:
    """Return a value in the unit in which the figure takes it, OL as infinity."""
    if isinstance(one, Special):
        return inf
    units: dict[Kind | None, str] = {item.kind: item.unit}
    units.update(item.instead)
    if one.kind not in units:
        raise FormulaError(f"{node.figure} can't take {one.kind} for '{item.name}'.", node.column)
    return float(one.in_unit(units[one.kind] or base_unit(one.kind).symbol))


def _answered(figure: Figure, output: Output, raw: object, column: int) -> Point:
    """Return an output of a figure as a value, exact to twelve digits."""
    if isinstance(raw, bool):
        return "yes" if raw else "no"
    if isinstance(raw, str):
        return raw
    if isinstance(raw, (int, float)) and output.kind is not None and not isnan(raw):
        unit = output.unit or base_unit(output.kind).symbol
        return Special.OL if raw == inf else Quantity.of(exact(raw), unit)
    raise FormulaError(f"{figure.name} gives no {output.name} for these values.", column)

"""A formula back in words, as an author would have written it.

What was put into a formula since it was read is in the words, too; read again, they are the same
formula. A reader who gives names of his own gets them in the place of those in the file.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from engine.figure import Figure
from engine.formula.node import (
    Call,
    End,
    Extreme,
    Formula,
    Literal,
    Name,
    Node,
    Operation,
    Said,
    Share,
)
from engine.quantity import UNITS, Kind, Quantity, fixed, literal, words

Naming = Callable[[str], str]
"""What a name of a formula is called by whoever reads it."""

_SUMS = ("plus", "less")
_MOST_PLACES = 12
"""Places that a literal can have."""


def in_text(formula: Formula, figures: Mapping[str, Figure], naming: Naming = str) -> str:
    """Return the formula in words; read by `parse`, they are the formula again."""
    return _written(formula.node, figures, naming)


def _written(node: Node, figures: Mapping[str, Figure], naming: Naming) -> str:
    def inside(part: Node) -> str:
        return _written(part, figures, naming)

    match node:
        case Literal():
            return exactly(node.quantity)
        case Said():
            return node.word
        case Name():
            return naming(node.name)
        case End():
            return f"{node.which} of {naming(node.name)}"
        case Share():
            return f"{exactly(node.percent)} of {_as_value(node.of, inside)}"
        case Operation():
            return _operation(node, inside)
        case Extreme():
            return f"{node.word}({', '.join(map(inside, node.parts))})"
        case Call():
            return _call(node, figures, inside)


def _operation(node: Operation, inside: Callable[[Node], str]) -> str:
    if _is_multiple(node):
        return f"{inside(node.left)} {_as_value(node.right, inside)}"
    left, right = inside(node.left), _as_value(node.right, inside)
    if node.word in _SUMS and isinstance(node.right, Operation) and node.right.word not in _SUMS:
        right = inside(node.right)
    if node.word not in _SUMS and isinstance(node.left, Operation) and node.left.word in _SUMS:
        left = f"({left})"
    return f"{left} {node.word} {right}"


def _is_multiple(node: Node) -> bool:
    """Return whether a product is written ``1.25 times F``, its number of times first."""
    return (
        isinstance(node, Operation)
        and node.word == "times"
        and isinstance(node.left, Literal)
        and node.left.quantity.kind is Kind.COUNT
    )


def _as_value(node: Node, inside: Callable[[Node], str]) -> str:
    """Return a part as it stands where one value is wanted: an operation in brackets."""
    operation = isinstance(node, Operation) and not _is_multiple(node)
    return f"({inside(node)})" if operation else inside(node)


def _call(node: Call, figures: Mapping[str, Figure], inside: Callable[[Node], str]) -> str:
    figure = figures[node.figure]
    output = "" if node.output == figure.principal else f"{node.output} of "
    return f"{output}{node.figure}({', '.join(_arguments(node, figure, inside))})"


def _arguments(node: Call, figure: Figure, inside: Callable[[Node], str]) -> Iterator[str]:
    """Yield the arguments in order; from the first input that is left out on, by their names."""
    in_order = [item.name for item in figure.inputs]
    named = False
    for place, (name, given) in enumerate(node.arguments):
        named = named or in_order[place] != name or isinstance(given[0], Said)
        yield from (f"{name} is {inside(part)}" if named else inside(part) for part in given)


def exactly(quantity: Quantity) -> str:
    """Return a quantity so that its words are the very same quantity again.

    What no unit of its kind holds in twelve places is rounded; no author can have written it.
    """
    short = words(quantity)
    units = [unit.symbol for unit in UNITS.values() if unit.kind is quantity.kind]
    every = [short, *(_decimal(quantity, symbol) for symbol in units)]
    return next((one for one in every if literal(one) == quantity), short)


def _decimal(quantity: Quantity, symbol: str) -> str:
    number = fixed(quantity.in_unit(symbol), _MOST_PLACES).rstrip("0").rstrip(".")
    return f"{number} {symbol}"

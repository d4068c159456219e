"""What a formula is once read: a frozen tree of parts, the same for every reader.

Nothing here knows how a formula is written down (`grammar`), which kinds go together (`kinds`)
or how one is worked out (`working`). Columns ride along for messages and take no part in
comparing: two formulas that say the same are equal wherever they stand.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from engine.quantity import Quantity


class FormulaError(ValueError):
    """What is wrong with a formula, at which column (from 1), and what would be right."""

    def __init__(self, sentence: str, column: int = 1, fix: str = "") -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.column = column
        self.fix = fix


def _column() -> int:
    """Return the field every part carries: its column, left out of comparing."""
    return field(default=1, compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Literal:
    """A quantity as written: ``0.5 V``, ``18 F apart``."""

    quantity: Quantity
    column: int = _column()


@dataclass(frozen=True, slots=True)
class Said:
    """A word as written, given to a figure: the *current* of ``kind is current``."""

    word: str
    column: int = _column()


@dataclass(frozen=True, slots=True)
class Name:
    """Something known by name: ``mca``, ``survey.pairs``, ``the limit``."""

    name: str
    column: int = _column()


@dataclass(frozen=True, slots=True)
class End:
    """``low of rated_volts``, ``high of rated_volts``: an end of a marking or of a set."""

    which: str
    name: str
    column: int = _column()


@dataclass(frozen=True, slots=True)
class Share:
    """``85 % of F``."""

    percent: Quantity
    of: Node
    column: int = _column()


@dataclass(frozen=True, slots=True)
class Operation:
    """``left plus right``, and the same with less, times and over; the column is the word's."""

    word: str
    left: Node
    right: Node
    column: int = _column()


@dataclass(frozen=True, slots=True)
class Extreme:
    """``min(…)`` or ``max(…)``; a set counts as each of its readings."""

    word: str
    parts: tuple[Node, ...]
    column: int = _column()


@dataclass(frozen=True, slots=True)
class Call:
    """One output of a figure; each argument is (input, the parts given for it)."""

    figure: str
    output: str
    arguments: tuple[tuple[str, tuple[Node, ...]], ...]
    column: int = _column()


Node = Literal | Said | Name | End | Share | Operation | Extreme | Call


def parts(node: Node) -> tuple[Node, ...]:
    """Return the parts directly inside a node, left to right."""
    match node:
        case Share():
            return (node.of,)
        case Operation():
            return (node.left, node.right)
        case Extreme():
            return node.parts
        case Call():
            return tuple(part for _, given in node.arguments for part in given)
        case _:
            return ()


def every(node: Node) -> Iterator[Node]:
    """Yield the node and everything inside it."""
    yield node
    for part in parts(node):
        yield from every(part)


def rebuilt(node: Node, leaf: Callable[[Node], Node]) -> Node:
    """Return the same tree with ``leaf`` applied to everything that holds no other part."""
    match node:
        case Share():
            return replace(node, of=rebuilt(node.of, leaf))
        case Operation():
            return replace(node, left=rebuilt(node.left, leaf), right=rebuilt(node.right, leaf))
        case Extreme():
            return replace(node, parts=tuple(rebuilt(part, leaf) for part in node.parts))
        case Call():
            return replace(
                node,
                arguments=tuple(
                    (name, tuple(rebuilt(part, leaf) for part in given))
                    for name, given in node.arguments
                ),
            )
        case _:
            return leaf(node)


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula as read, with the text it was read from."""

    node: Node
    text: str = field(compare=False)
    _names: frozenset[str] = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        found = (part for part in every(self.node) if isinstance(part, (Name, End)))
        object.__setattr__(self, "_names", frozenset(part.name for part in found))

    def __str__(self) -> str:
        return self.text

    def names(self) -> frozenset[str]:
        """Return every name the formula rests on, as written: ``mca``, ``survey.pairs``."""
        return self._names

    def renamed(self, new: Mapping[str, str]) -> Formula:
        """Return the formula with names exchanged; names not in ``new`` stay."""

        def leaf(part: Node) -> Node:
            if isinstance(part, (Name, End)):
                return replace(part, name=new.get(part.name, part.name))
            return part

        return replace(self, node=rebuilt(self.node, leaf))

    def filled(self, new: Mapping[str, Formula]) -> Formula:
        """Return the formula with formulas in the place of names; names not in ``new`` stay.

        Raises FormulaError where ``low of`` or ``high of`` would take an end of something
        worked out: only what is read off a plate or a meter has two ends.
        """

        def leaf(part: Node) -> Node:
            if not isinstance(part, (Name, End)) or part.name not in new:
                return part
            inside = new[part.name].node
            if isinstance(part, Name):
                return inside
            if isinstance(inside, Name):
                return replace(part, name=inside.name)
            raise FormulaError(
                f"{part.which} of {part.name}: {part.name} is worked out and has no two ends.",
                part.column,
                "Use low of and high of with a marking or a set of readings.",
            )

        return replace(self, node=rebuilt(self.node, leaf))

"""From the text of a formula to its parts, by recursive descent; nothing is ever evaluated.

    formula   = product { (plus | less) product }
    product   = value { (times | over) value }
    value     = QUANTITY | NUMBER % of value | NUMBER times value | ( formula )
              | (low | high) of name | (min | max) ( formula {, formula} )
              | [OUTPUT of] FIGURE ( argument {, argument} ) | name
    argument  = formula | INPUT is (formula | WORD)
    name      = NAME | the NAME {NAME}

Arguments of a figure go to its inputs in order. Where a figure has one list among its inputs,
the list takes every argument that the required inputs after it don't need; where it has several,
each argument is one whole set. ``INPUT is …`` names an input that is left out otherwise. A
formula is bounded in length and depth, so that no text can keep the reader busy.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from difflib import get_close_matches

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
from engine.formula.tokens import OPERATORS, Piece, Token, scan
from engine.quantity import Kind, Quantity

DEEPEST = 16
"""Brackets, figures and shares inside one another."""


def parse(text: str, figures: Mapping[str, Figure]) -> Formula:
    """Return the formula that a text says; raises FormulaError with column and fix.

    Figures are looked up here, the nearest offered for one that is not there; names are not:
    they are the caller's to check, by `Formula.names`.
    """
    return Formula(_Reader(text, figures).whole(), text)


class _Reader:
    """One pass over the tokens of one formula."""

    def __init__(self, text: str, figures: Mapping[str, Figure]) -> None:
        self._text = text
        self._tokens = scan(text)
        self._at = 0
        self._depth = 0
        self._figures = figures

    def whole(self) -> Node:
        """Read the formula to its end."""
        node = self._formula()
        if self._token.piece is not Piece.END:
            raise self._unexpected(f"Nothing can follow '{self._before}' here but an operation.")
        return node

    # --- where we are -------------------------------------------------------------------------

    @property
    def _token(self) -> Token:
        return self._tokens[self._at]

    @property
    def _before(self) -> str:
        return self._tokens[self._at - 1].text if self._at else ""

    def _ahead(self, count: int) -> str:
        """Return the text ``count`` tokens ahead; empty behind the end."""
        return self._tokens[min(self._at + count, len(self._tokens) - 1)].text

    def _take(self) -> Token:
        token = self._token
        self._at = min(self._at + 1, len(self._tokens) - 1)
        return token

    def _close(self, opened: Token) -> None:
        if self._token.text != ")":
            error = self._unexpected(
                f"The bracket opened at column {opened.column} is not closed before this."
            )
            error.fix = error.fix if self._token.trouble else "Close it with )."
            raise error
        self._take()

    def _unexpected(self, sentence: str) -> FormulaError:
        if self._token.trouble:
            return self._token.trouble
        fix = f"Join values with {', '.join(OPERATORS[:-1])} or {OPERATORS[-1]}."
        return FormulaError(sentence, self._token.column, fix)

    # --- the grammar --------------------------------------------------------------------------

    def _formula(self) -> Node:
        left = self._product()
        while self._token.text in ("plus", "less"):
            word = self._take()
            left = Operation(word.text, left, self._product(), word.column)
        return left

    def _product(self) -> Node:
        left = self._value()
        while self._token.text in ("times", "over"):
            word = self._take()
            left = Operation(word.text, left, self._value(), word.column)
        return left

    def _value(self) -> Node:
        self._depth += 1
        if self._depth > DEEPEST:
            raise FormulaError(
                f"More than {DEEPEST} brackets inside one another.",
                self._token.column,
                "Give the inner ones names under 'work out'.",
            )
        node = self._any_value()
        self._depth -= 1
        return node

    def _any_value(self) -> Node:
        token = self._token
        if token.quantity is not None:
            return self._from_quantity(token.quantity)
        if token.text == "(":
            opened = self._take()
            node = self._formula()
            self._close(opened)
            return node
        if token.piece is not Piece.NAME:
            raise self._no_value()
        if token.text in ("min", "max") and self._ahead(1) == "(":
            return self._extreme()
        if self._ahead(1) == "of":
            return self._of()
        if self._ahead(1) == "(":
            return self._call("")
        return self._name()

    def _no_value(self) -> FormulaError:
        after = f" after '{self._before}'" if self._at else ""
        if self._token.trouble:
            return self._token.trouble
        return FormulaError(
            f"A value is missing{after}.",
            self._token.column,
            "Write a name, a quantity with its unit, or a figure.",
        )

    def _from_quantity(self, quantity: Quantity) -> Node:
        """Read a quantity, a share (``85 % of F``) or a multiple (``1.25 times F``)."""
        token = self._take()
        literal = Literal(quantity, token.column)
        if self._token.text == "of":
            if quantity.kind is not Kind.PERCENT:
                raise FormulaError(
                    f"'{token.text}' can't be 'of' something; only a percentage can.",
                    self._token.column,
                    "Write for example 85 % of 24 V.",
                )
            self._take()
            return Share(quantity, self._value(), token.column)
        if quantity.kind is Kind.COUNT and self._starts_value():
            return Operation("times", literal, self._value(), token.column)
        return literal

    def _starts_value(self) -> bool:
        token = self._token
        return token.piece in (Piece.NAME, Piece.QUANTITY) or token.text == "("

    def _extreme(self) -> Node:
        word = self._take()
        opened = self._take()
        if self._token.text == ")":
            raise FormulaError(
                f"{word.text}() has nothing to choose from.",
                word.column,
                f"Write for example {word.text}(a, b).",
            )
        return Extreme(word.text, tuple(self._listed(opened)), word.column)

    def _listed(self, opened: Token) -> Iterator[Node]:
        """Read formulas parted by commas, and the closing bracket."""
        yield self._formula()
        while self._token.text == ",":
            self._take()
            yield self._formula()
        self._close(opened)

    def _of(self) -> Node:
        """Read ``low of NAME``, ``high of NAME`` or ``OUTPUT of FIGURE(…)``."""
        word = self._take()
        self._take()
        if self._token.piece is Piece.NAME and self._ahead(1) == "(":
            return self._call(word.text, word.column)
        if word.text not in ("low", "high"):
            raise FormulaError(
                f"'{word.text} of' is not followed by a figure and its brackets.",
                word.column,
                "Write low of NAME, high of NAME, or OUTPUT of FIGURE(…).",
            )
        if self._token.piece is not Piece.NAME:
            raise FormulaError(
                f"'{word.text} of' needs the name of a marking or of a set of readings.",
                self._token.column,
                f"Write for example {word.text} of rated_volts.",
            )
        return End(word.text, self._name().name, word.column)

    def _name(self) -> Name:
        first = self._take()
        if first.text != "the":
            return Name(first.text, first.column)
        words = ["the"]
        while self._token.piece is Piece.NAME:
            words.append(self._take().text)
        if len(words) == 1:
            raise FormulaError("'the' needs a name after it.", first.column, "Write the NAME.")
        return Name(" ".join(words), first.column)

    # --- figures ------------------------------------------------------------------------------

    def _call(self, output: str, column: int = 0) -> Node:
        word = self._take()
        figure = self._figures.get(word.text)
        if figure is None:
            raise FormulaError(
                f"There is no figure called {word.text}.",
                word.column,
                _nearest(
                    word.text, (*self._figures, "min", "max"), "'halfsplit figure' lists all."
                ),
            )
        outputs = [item.name for item in figure.outputs]
        if output and output not in outputs:
            raise FormulaError(
                f"{figure.name} does not give '{output}'.",
                column,
                _nearest(output, outputs, f"It gives {', '.join(outputs)}."),
            )
        arguments = self._arguments(figure, self._take(), word)
        return Call(figure.name, output or figure.principal, arguments, column or word.column)

    def _arguments(
        self, figure: Figure, opened: Token, word: Token
    ) -> tuple[tuple[str, tuple[Node, ...]], ...]:
        in_order: list[Node] = []
        named: dict[str, tuple[Node, ...]] = {}
        while self._token.text != ")":
            if self._ahead(1) == "is":
                item = self._input(figure, named)
                named[item.name] = (self._named_value(item),)
            elif named:
                raise FormulaError(
                    "An argument without a name can't follow one with a name.",
                    self._token.column,
                    "Write it first, or write INPUT is before it.",
                )
            else:
                in_order.append(self._formula())
            if self._token.text != ",":
                break
            self._take()
        self._close(opened)
        given = _shared_out(figure, in_order, frozenset(named), word) | named
        return tuple((item.name, given[item.name]) for item in figure.inputs if item.name in given)

    def _input(self, figure: Figure, named: Mapping[str, object]) -> Input:
        word = self._take()
        self._take()
        inputs = {item.name: item for item in figure.inputs}
        if word.text not in inputs:
            raise FormulaError(
                f"{figure.name} does not ask for '{word.text}'.",
                word.column,
                _nearest(word.text, inputs, f"It asks for {', '.join(inputs)}."),
            )
        if word.text in named:
            raise FormulaError(
                f"'{word.text}' is given twice.", word.column, "Keep the one that is meant."
            )
        return inputs[word.text]

    def _named_value(self, item: Input) -> Node:
        """Read what stands behind ``INPUT is``: a formula, or for a word input the word itself."""
        if item.kind is not None:
            return self._formula()
        first = last = self._token
        if first.text in (",", ")", ""):
            raise self._no_value()
        while self._token.text not in (",", ")", ""):
            last = self._take()
        text = self._text[first.column - 1 : last.end - 1].strip()
        lone_name = first is last and first.piece is Piece.NAME
        if text in item.words or (text and not item.words and not lone_name):
            return Said(text, first.column)
        if lone_name:
            return Name(text, first.column)
        raise FormulaError(
            f"'{item.name}' can't be '{text}'.",
            first.column,
            _nearest(text, item.words, f"It is one of {', '.join(item.words)}."),
        )


def _shared_out(
    figure: Figure, in_order: list[Node], named: frozenset[str], word: Token
) -> dict[str, tuple[Node, ...]]:
    """Give the arguments without a name to the inputs, in order."""
    open_inputs = [item for item in figure.inputs if item.name not in named]
    lists = sum(item.many for item in figure.inputs)
    given: dict[str, tuple[Node, ...]] = {}
    left = in_order
    for place, item in enumerate(open_inputs):
        if not left:
            break
        wanted = sum(not later.optional for later in open_inputs[place + 1 :])
        count = max(1, len(left) - wanted) if item.many and lists == 1 else 1
        given[item.name], left = tuple(left[:count]), left[count:]
    missing = [item.name for item in open_inputs if not item.optional and item.name not in given]
    if missing:
        raise FormulaError(
            f"{figure.name} needs {' and '.join(missing)}.", word.column, _usage(figure)
        )
    if left:
        raise FormulaError(
            f"{figure.name} is given {len(left)} too many.", word.column, _usage(figure)
        )
    return given


def _usage(figure: Figure) -> str:
    inputs = (f"[{item.name}]" if item.optional else item.name for item in figure.inputs)
    return f"Write {figure.name}({', '.join(inputs)})."


def _nearest(word: str, known: Iterable[str], otherwise: str) -> str:
    near = get_close_matches(word, list(known), 1, 0.7)
    return f"Did you mean {near[0]}?" if near else otherwise

"""The words of a formula: quantities, names, brackets, commas and the operator words.

A piece that can't be read does not stop the scan: it becomes a token that carries its own
`FormulaError`, raised by the grammar only where a value was wanted there. A word handed to a
figure (``system is 208Y/120``) may hold what would be nonsense as a number.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum
from fractions import Fraction

from engine.formula.node import FormulaError
from engine.quantity import UNITS, Quantity, spelled, unit_key, unit_named

LONGEST = 500
"""Characters in one formula. The longest a tree was ever seen to need is under 120."""
MOST_DIGITS = 15

OPERATORS = ("plus", "less", "times", "over")
_JOINERS = (*OPERATORS, "of", "is")
_WORD_FOR = {"+": "plus", "-": "less", "−": "less", "*": "times", "×": "times", "÷": "over"}
_WORD_FOR |= {"/": "over"}

_SPACE = re.compile(r"\s*")
_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]*(?:[-.][A-Za-z0-9_]+)*")
_NUMBER = re.compile(r"-?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)")
_UNIT = re.compile(r"\s*(%|[A-Za-z/µμΩ°Ω]+(?:\s+(?:apart|wc)\b)?)")
_THOUSANDS = re.compile(r"-?[0-9]+,[0-9]+")


class Piece(StrEnum):
    """What a token is."""

    QUANTITY = "quantity"
    NAME = "name"
    JOINER = "joining word"
    MARK = "bracket or comma"
    END = "end of the formula"
    UNREADABLE = "unreadable"


@dataclass(frozen=True, slots=True)
class Token:
    """One piece of a formula and the column (from 1) where it starts."""

    piece: Piece
    text: str
    column: int
    quantity: Quantity | None = None
    trouble: FormulaError | None = None

    @property
    def end(self) -> int:
        """Return the column just behind it."""
        return self.column + len(self.text)


def scan(text: str) -> tuple[Token, ...]:
    """Return the pieces of a formula, ending with one `Piece.END`; raises FormulaError if long."""
    if len(text) > LONGEST:
        raise FormulaError(
            f"This formula has {len(text)} characters; {LONGEST} are the most.",
            LONGEST,
            "Give parts of it names under 'work out'.",
        )
    found: list[Token] = []
    at = _skip(text, 0)
    while at < len(text):
        token = _next(text, at)
        found.append(token)
        at = _skip(text, at + len(token.text))
    found.append(Token(Piece.END, "", len(text) + 1))
    return tuple(found)


def _skip(text: str, at: int) -> int:
    space = _SPACE.match(text, at)
    return space.end() if space else at


def _next(text: str, at: int) -> Token:
    if number := _NUMBER.match(text, at):
        return _quantity(text, number)
    if name := _NAME.match(text, at):
        word = name.group()
        return Token(Piece.JOINER if word in _JOINERS else Piece.NAME, word, at + 1)
    if text[at] in "(),":
        return Token(Piece.MARK, text[at], at + 1)
    return _unreadable(text[at], at + 1, *_about_sign(text[at]))


def _about_sign(sign: str) -> tuple[str, str]:
    """Return the sentence and the fix for a character that no formula holds."""
    if sign in _WORD_FOR:
        return f"'{sign}' is not used in a formula.", f"Write {_WORD_FOR[sign]}."
    if sign in "<>=≤≥":
        return "A formula gives one value; it compares nothing.", "Compare with the band keys."
    if sign == "%":
        return "'%' has no number before it.", "Write for example 85 % of 24 V."
    return f"{sign!r} is not used in a formula.", "Use names, quantities, plus, less, times, over."


def _quantity(text: str, number: re.Match[str]) -> Token:
    """Read a number and its unit; every number of a formula carries one."""
    column = number.start() + 1
    digits = number.group()
    if comma := _THOUSANDS.match(text, number.start()):
        both = comma.group()
        sentence = f"'{both}' can be read in two ways: a comma stands between values."
        fix = f"Write {both.replace(',', '')}, or {both.replace(',', '.')} with a point."
        return _unreadable(digits, column, sentence, fix)
    if len(digits.strip("-").replace(".", "")) > MOST_DIGITS:
        sentence = f"This number has more than {MOST_DIGITS} digits."
        return _unreadable(digits, column, sentence, "Use a larger unit.")
    unit = _UNIT.match(text, number.end())
    symbol = " ".join(unit.group(1).split()) if unit else ""
    if not unit or (symbol in _JOINERS and symbol != "times"):
        example = f"Write for example {digits} V, {digits} % of 24 V, or {digits} times a name."
        return _unreadable(digits, column, f"'{digits}' has no unit.", example)
    known = unit_named(symbol)
    if known is None:
        return _unknown_unit(text[number.start() : unit.end()], column, symbol)
    value = Quantity.of(Fraction(digits), known.symbol)
    return Token(Piece.QUANTITY, text[number.start() : unit.end()], column, value)


def _unknown_unit(text: str, column: int, symbol: str) -> Token:
    near = [unit.symbol for unit in spelled(unit_key(symbol))]
    near = near or get_close_matches(symbol, UNITS, 1, 0.5)
    fix = f"Did you mean {near[0]}?" if near else "Units are V, A, ohm, uF, F, psi, % and such."
    return _unreadable(text, column, f"'{symbol}' is not a unit.", fix)


def _unreadable(text: str, column: int, sentence: str, fix: str) -> Token:
    trouble = FormulaError(sentence, column, fix)
    return Token(Piece.UNREADABLE, text, column, trouble=trouble)

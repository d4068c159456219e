"""Saying what is wrong with one line that somebody typed.

A refusal shows the line with a caret under the culprit, one whole sentence, and one example of
what would be right. Whatever was typed, what is shown holds no control character, keeps the
caret in its column and fits a narrow screen.
"""

from __future__ import annotations

WIDTH = 38
"""Columns of the typed line that are shown; a phone's terminal has 40."""

_MARKS = frozenset("Ω\u2126−–—’‘“”…")
"""Single-width characters beyond Latin and Greek letters that keyboards put into a reading."""


def visible(text: str) -> str:
    """Return text with a ``?`` for every character that is not one plain column wide.

    That is control characters and escapes, but also letters that combine, take two columns or
    run from right to left: they would push the caret out of its place.
    """
    return "".join(char if _is_plain(char) else "?" for char in text)


def _is_plain(char: str) -> bool:
    code = ord(char)
    alphabet = code < 0x300 or 0x370 <= code < 0x400
    return (alphabet or char in _MARKS) and char.isprintable()


def quoted(text: str, longest: int = 16) -> str:
    """Return a piece of what was typed for use inside a sentence, safe and short."""
    shown = visible(text[: longest + 1])
    return f"'{shown}'" if len(text) <= longest else f"'{shown[:longest]}…'"


class Refused(ValueError):  # noqa: N818 -- refusing a line is an answer, not an error
    """What was typed can't be taken: the line, the column (from 1), why, and a good example."""

    def __init__(self, text: str, column: int, sentence: str, example: str = "") -> None:
        super().__init__(sentence)
        self.text = text
        self.column = column
        self.sentence = sentence
        self.example = example

    def message(self) -> str:
        """Return three lines: the text as far as it is shown, the caret, the sentence."""
        shown, column = _cut(self.text, self.column)
        last = f"{self.sentence} For example: {self.example}" if self.example else self.sentence
        return f"{shown}\n{' ' * (column - 1)}^\n{last}"


def _cut(text: str, column: int) -> tuple[str, int]:
    """Return the part of a long line around the column, and the column in it."""
    if len(text) <= WIDTH:
        return visible(text), column
    start = max(0, min(column - 1 - WIDTH // 2, len(text) - WIDTH + 1))
    before = "…" if start else ""
    room = WIDTH - len(before)
    piece = text[start : start + room]
    after = start + room < len(text)
    shown = visible(piece[:-1] if after else piece)
    return f"{before}{shown}{'…' if after else ''}", column - start + len(before)

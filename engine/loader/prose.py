"""Sentences that the file format would misread: where, why, and what to write instead.

A technician writes ``title: Set the meter: capacitance`` and is right to. This module looks at a
line as its author does (an indent, a name, a text) and says what in it means something else. It
also gives the line as it was meant, so that the rest of the file can still be read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from engine.loader.wording import quote_it, shown

_NAME = r"(?:\"[^\"]*\"|'[^']*'|[^\s\"'\[\]{}#&*!|>@%`,-](?:.*?\S)??)"
_ENTRY = re.compile(rf"(?P<lead>\s*(?:-\s+)*)(?:(?P<name>{_NAME})\s*:(?:\s+|$))?")
_TIGHT_NAME = re.compile(r"\s*(?:-\s+)*(?P<name>[A-Za-z][\w' -]*):[^\s/]")
_TIGHT_INSIDE = re.compile(r"[{,]\s*(?P<name>[A-Za-z][\w' -]*):(?=[{\[])")
_LONG_TEXT = re.compile(r"[|>][-+0-9]*\s*(?:#.*)?$")
_COLON = re.compile(r":(?=\s|$)")
_REMARK = re.compile(r" +#")
_REAL_REMARK = re.compile(r" {2,}#+(?:\s|$)")
_BARE_NAME = re.compile(r"\{[^{}:,\"']+\}")
_CLOSES = {"{": "}", "[": "]"}


@dataclass(frozen=True, slots=True)
class Trap:
    """One misreading on a line: all columns count from 0."""

    code: str
    column: int
    sentence: str
    fix: str
    start: int
    end: int
    """``line[start:end]`` is what to put right."""
    meant: str | None = None
    """What to write there; None: the same in quotes."""


def trap_in(line: str) -> Trap | None:
    """Return what would be misread on a line, taken by itself; None where nothing would."""
    if not line.strip() or line.lstrip().startswith("#"):
        return None
    entry = _ENTRY.match(line)
    start = entry.end() if entry else 0
    return _value_trap(line, start, len(line.rstrip()))


def tight_name(line: str) -> Trap | None:
    """Return the problem of a name whose colon has no space after it."""
    entry = _TIGHT_NAME.match(line) or _TIGHT_INSIDE.search(line)
    if entry is None:
        return None
    return _tight(line, entry.start("name"), entry.end("name"), len(line.rstrip()))


def _tight(line: str, start: int, colon: int, end: int) -> Trap:
    name, value = line[start:colon], line[colon + 1 : end]
    return Trap(
        "no-space-after-colon",
        colon,
        f"`{shown(name)}:` has no space after its colon.",
        f"Write `{shown(f'{name}: {value}', 60)}`.",
        colon + 1,
        colon + 1,
        " ",
    )


def remark_trap(line: str, start: int, column: int) -> Trap | None:
    """Return the problem of a remark that may be a part of the text before it.

    ``line[start:]`` is the text and ``line[column]`` its ``#``. A remark after a text has two
    spaces or more before the ``#`` and one after it; anything else is taken for words.
    """
    before = len(line[:column].rstrip())
    if _REAL_REMARK.match(line, before):
        return None
    text = line[start:].strip()
    start = line.index(text, start)
    return Trap(
        "cut-short",
        column,
        f"The text breaks off before ` #`: `{shown(line[column:].rstrip())}` would be lost.",
        f"{quote_it(text)} A remark needs two spaces before # and one after it.",
        start,
        start + len(text),
    )


def value_start(line: str) -> int:
    """Return the column at which the text of a line begins, after its dashes and its name."""
    entry = _ENTRY.match(line)
    return entry.end() if entry else 0


def long_text_below(line: str) -> bool:
    """Tell whether the lines below, further in, are a text that holds whatever it likes."""
    return _LONG_TEXT.match(line, value_start(line)) is not None


def _value_trap(line: str, start: int, end: int, inside: str = "") -> Trap | None:
    """Return the trap in ``line[start:end]``: a value, or one in braces or brackets."""
    while start < end and line[start].isspace():
        start += 1
    while end > start and line[end - 1].isspace():
        end -= 1
    text = line[start:end]
    if not text:
        return None
    if text[0] in "\"'":
        return _quoted_trap(line, start, end)
    if text[0] in "{[":
        return _bracket_trap(line, start, end)
    if text[0] == "#":
        return remark_trap(line, start, start)
    return _start_trap(text, start, end) or _plain_trap(line, start, end, inside)


def _start_trap(text: str, start: int, end: int) -> Trap | None:
    first = text[0]
    alone = len(text) == 1 or text[1].isspace()
    if first in "|>" and _LONG_TEXT.match(text):
        return None
    if first not in "@`%*&!|>,]}" and not (first in "-?:" and alone):
        return None
    return text_start(text, start, end)


def text_start(text: str, start: int, end: int) -> Trap:
    """Return the problem of a text that begins with a character which means something else."""
    word = shown(text.split()[0], 20)
    return Trap(
        "text-start",
        start,
        f"A text cannot begin with `{word}` unless it is in quotes.",
        quote_it(text),
        start,
        end,
    )


def _quoted_trap(line: str, start: int, end: int) -> Trap | None:
    close = _quote_end(line, start, end)
    rest = line[close:end].lstrip()
    if not rest or rest[0] in "#,]}:":
        return None
    return Trap(
        "text-after-quote",
        end - len(rest),
        f"The text ends at its second quote, and `{shown(rest)}` is left over.",
        quote_it(line[start:end]),
        start,
        end,
    )


def _bracket_trap(line: str, start: int, end: int) -> Trap | None:
    close = _bracket_end(line, start, end)
    if close is None:
        return _entries_trap(line, start + 1, end, line[start])
    rest = line[close:end].lstrip()
    if not rest or rest[0] in "#,]}":
        return _entries_trap(line, start + 1, close - 1, line[start])
    if _BARE_NAME.match(line, start, end):
        return braces_trap(line, start, start, end)
    return text_start(line[start:end], start, end)


def braces_trap(line: str, column: int, start: int, end: int) -> Trap:
    """Return the problem of ``{name}``, or of a bracket, in a text where it begins entries."""
    name = _BARE_NAME.match(line, column)
    return Trap(
        "name-in-braces",
        column,
        f"A text with `{shown(name[0]) if name else line[column]}` must be in quotes here: "
        "a brace or a bracket begins a set of entries.",
        quote_it(line[start:end]),
        start,
        end,
    )


def _entries_trap(line: str, start: int, end: int, inside: str) -> Trap | None:
    for first, last in _entries(line, start, end):
        named = re.compile(rf"\s*{_NAME}\s*:(?:\s+|$)").match(line, first, last)
        found = _value_trap(line, named.end() if named else first, last, inside)
        if found is not None:
            return found
    return None


def _plain_trap(line: str, start: int, end: int, inside: str) -> Trap | None:
    remark = _REMARK.search(line, start, end)
    if remark is not None:
        found = remark_trap(line[:end], start, remark.end() - 1)
        if found is not None:
            return found
        end = remark.start()
    colon = _COLON.search(line, start, end)
    if colon is not None:
        return colon_trap(line[start:end], colon.start(), start, end)
    brace = re.compile(r"[{\[]").search(line, start, end) if inside else None
    if brace is not None and line[brace.start() - 1] == ":":
        return _tight(line, start, brace.start() - 1, end)
    if brace is not None:
        return braces_trap(line, brace.start(), start, end)
    return None


def colon_trap(text: str, column: int, start: int, end: int) -> Trap:
    """Return the problem of a colon and a space in the middle of a text."""
    return Trap(
        "colon-in-text",
        column,
        f"The colon makes a name of `{shown(text[: column - start])}`.",
        quote_it(text),
        start,
        end,
    )


def _quote_end(line: str, start: int, end: int) -> int:
    """Return the column after a closing quote, or ``end`` where it is not on this line."""
    quote, at = line[start], start + 1
    while at < end:
        if quote == '"' and line[at] == "\\":
            at += 2
        elif line[at] != quote:
            at += 1
        elif quote == "'" and line[at + 1 : at + 2] == "'":
            at += 2
        else:
            return at + 1
    return end


def _bracket_end(line: str, start: int, end: int) -> int | None:
    """Return the column after the bracket that closes the one at ``start``."""
    waiting: list[str] = []
    at = start
    while at < end:
        char = line[at]
        if char in "\"'" and _may_open(line, start, at):
            at = _quote_end(line, at, end)
            continue
        if char in _CLOSES:
            waiting.append(_CLOSES[char])
        elif waiting and char == waiting[-1]:
            waiting.pop()
            if not waiting:
                return at + 1
        at += 1
    return None


def _may_open(line: str, start: int, at: int) -> bool:
    """Tell a quote that opens a text from an apostrophe: it follows a mark, not a letter."""
    before = line[start:at].rstrip()
    return not before or before[-1] in "{[,:"


def _entries(line: str, start: int, end: int) -> Iterator[tuple[int, int]]:
    """Yield the columns of each entry between commas that no bracket or quote holds."""
    first = at = start
    while at < end:
        char = line[at]
        if char in "\"'" and _may_open(line, first, at):
            at = _quote_end(line, at, end)
            continue
        if char in _CLOSES:
            at = _bracket_end(line, at, end) or end
            continue
        if char == ",":
            yield first, at
            first = at + 1
        at += 1
    yield first, end

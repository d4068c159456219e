"""The writing of a file mended: braces that hold a sentence taken apart, traps put in quotes.

Every change is tried: it stays only if the file then says the same, or has a problem less.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

import yaml

from engine.loader import prose
from engine.loader.document import Document
from engine.loader.text import read

MOST_CHANGES = 100
"""Of those that are tried one by one."""
CERTAIN = ("colon-in-text", "text-start", "name-in-braces", "no-space-after-colon")
"""Problems of one line whose author can have meant one thing only."""
_SENTENCE = re.compile(r"[.!?]$|, |(?:\S+ ){6,}\S+")


@dataclass(frozen=True, slots=True)
class _Change:
    """A part of the text, and what is to stand there."""

    start: int
    end: int
    new: str
    said: str


def rewritten(text: str) -> tuple[str, tuple[str, ...]]:
    """Return a text with its writing mended, and what was done."""
    text, quoted = _one_by_one(text, _quoted)
    done = list(quoted)
    while changes := _outermost(_unfolded(text)):
        new = _applied(text, changes)
        if not _says_the_same(_read(text), _read(new)):
            text, some = _one_by_one(text, lambda now, _: _unfolded(now))
            return text, (*done, *some)
        text = new
        done += [one.said for one in changes]
    return text, tuple(done)


def _read(text: str) -> Document:
    return read("", text.encode("utf-8"))


def _one_by_one(
    text: str, changes: Callable[[str, Document], Iterator[_Change]]
) -> tuple[str, tuple[str, ...]]:
    """Return a text with each change in it that can be made, and what was done."""
    done: list[str] = []
    refused: set[str] = set()
    before = _read(text)
    while len(done) + len(refused) < MOST_CHANGES:
        change = next((one for one in changes(text, before) if one.said not in refused), None)
        if change is None:
            break
        new = _applied(text, [change])
        after = _read(new)
        if _says_the_same(before, after):
            text, before = new, after
            done.append(change.said)
        else:
            refused.add(change.said)
    return text, tuple(done)


def _outermost(changes: Iterable[_Change]) -> list[_Change]:
    """Return the changes that lie in no other one, in the order of the text."""
    found: list[_Change] = []
    for one in changes:
        if not found or one.start >= found[-1].end:
            found.append(one)
    return found


def _applied(text: str, changes: Iterable[_Change]) -> str:
    parts, at = [], 0
    for one in changes:
        parts += [text[at : one.start], one.new]
        at = one.end
    return "".join((*parts, text[at:]))


def _says_the_same(before: Document, after: Document) -> bool:
    if len(after.problems) != len(before.problems):
        return len(after.problems) < len(before.problems)
    return before.data is not None and after.data == before.data


# --- quotes ---------------------------------------------------------------------------------------


def _quoted(text: str, document: Document) -> Iterator[_Change]:
    """Yield a change for each line whose text would be misread."""
    lines = text.split("\n")
    for one in document.problems:
        if one.code not in CERTAIN or one.span.line > len(lines):
            continue
        line = lines[one.span.line - 1]
        trap = prose.trap_in(line) or prose.tight_name(line)
        if trap is None or trap.code != one.code:
            continue
        offset = sum(len(row) + 1 for row in lines[: one.span.line - 1])
        meant = trap.meant if trap.meant is not None else in_quotes(line[trap.start : trap.end])
        said = f"Line {one.span.line}: {line[trap.start : trap.end].strip()[:40]} in quotes."
        if trap.meant is not None:
            said = f"Line {one.span.line}: a space after the colon."
        yield _Change(offset + trap.start, offset + trap.end, meant, said)


def in_quotes(text: str) -> str:
    """Return a text in quotes of the kind that nothing in it ends."""
    if '"' in text or "\\" in text:
        return "'" + text.replace("'", "''") + "'"
    return f'"{text}"'


# --- braces ---------------------------------------------------------------------------------------


def _unfolded(text: str) -> Iterator[_Change]:
    """Yield a change for each set of names in braces that holds a sentence."""
    try:
        events: list[Any] = list(yaml.parse(text, Loader=yaml.SafeLoader))
    except yaml.YAMLError:
        return
    for at, event in enumerate(events):
        if isinstance(event, yaml.MappingStartEvent) and event.flow_style:
            change = _taken_apart(text, events, at)
            if change is not None:
                yield change


def _taken_apart(text: str, events: list[Any], at: int) -> _Change | None:
    start = events[at].start_mark
    line_start = text.rfind("\n", 0, start.index) + 1
    before = text[line_start : start.index]
    named = re.fullmatch(r"(?P<indent> *)(?P<name>[^\s{\[-][^{\[]*:)[ ]+", before)
    entries, end = _entries(text, events, at)
    if named is None or not any(_SENTENCE.search(value) for _, value in entries):
        return None
    line_end = text.find("\n", end)
    line_end = len(text) if line_end < 0 else line_end
    rest = text[end:line_end].strip()
    if "#" in text[start.index : end] or (rest and not rest.startswith("#")):
        return None
    indent = named["indent"] + "  "
    rows = [f"{named['indent']}{named['name']}{f'  {rest}' if rest else ''}"]
    rows += [f"{indent}{name}: {value}" for name, value in entries]
    said = f"Line {start.line + 1}: {named['name'].strip(' :')}, one line for each name."
    return _Change(line_start, line_end, "\n".join(rows), said)


def _entries(text: str, events: list[Any], at: int) -> tuple[list[tuple[str, str]], int]:
    """Return the names in braces with their values as written, and where the braces end.

    A name alone, as a comma in a text leaves it, belongs to the text before it.
    """
    found: list[tuple[str, str, int]] = []
    place = at + 1
    while not isinstance(events[place], yaml.MappingEndEvent):
        name = events[place]
        after = _after(events, place)
        last = _after(events, after)
        alone = events[after].start_mark.index == events[last - 1].end_mark.index
        begin = events[after].start_mark.index
        if alone and found and isinstance(name, yaml.ScalarEvent):
            before, _, first = found[-1]
            value = text[first : events[place].end_mark.index]
            found[-1] = before, _one_line(value), first
        else:
            words = text[name.start_mark.index : events[after - 1].end_mark.index]
            value = text[begin : events[last - 1].end_mark.index]
            found.append((_one_line(words), _one_line(value), begin))
        place = last
    return [(name, value) for name, value, _ in found], events[place].end_mark.index


def _after(events: list[Any], at: int) -> int:
    """Return the place after the value that begins at a place."""
    depth = 0
    while True:
        event = events[at]
        at += 1
        if isinstance(event, yaml.CollectionStartEvent):
            depth += 1
        elif isinstance(event, yaml.CollectionEndEvent):
            depth -= 1
        if not depth:
            return at


def _one_line(text: str) -> str:
    return " ".join(text.split())

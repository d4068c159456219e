"""Rows of text for a room of so many columns and rows: what matters stays in sight.

A screen is a list of `Part`s from top to bottom. Each says how it looks with room and without,
and from which form on something is missing. `paged` gives every part its place on the first page
and puts what had to be cut there on the pages after it, so that nothing is ever out of reach.
Pure functions: the same parts and the same room give the same rows.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from textual.content import Content
from textual.style import Style

Rows = tuple[Content, ...]
Pages = tuple[Rows, ...]
"""At least one."""

CUT = "…"
INDENT = "  "
"""Before the second row of a text and those after it."""


@dataclass(frozen=True, slots=True)
class Part:
    """Rows that belong together, in forms from the roomiest to the shortest."""

    forms: tuple[Rows, ...]
    complete: int
    """How many of the forms leave nothing out; the first does not."""
    rank: int = 5
    """Who gets room first: 0 before 9."""


def part(whole: Rows, *shorter: Rows, rank: int = 5) -> Part:
    """Return a part whose shorter forms leave something out."""
    return Part((whole, *shorter), 1, rank)


def wrapped(text: str, width: int, style: str = "", indent: str = "") -> Rows:
    """Return a text in rows of that width, words kept whole where they can be."""
    lines = textwrap.wrap(
        text, max(width, 1), subsequent_indent=indent, break_on_hyphens=False, drop_whitespace=True
    )
    return tuple(Content.styled(line, style) if style else Content(line) for line in lines)


def first_rows(rows: Rows, most: int, width: int) -> Rows:
    """Return the first rows, with a mark at the end of the last one if others follow."""
    if len(rows) <= most:
        return rows
    last = rows[most - 1]
    room = last.truncate(width - 2) if last.cell_length > width - 2 else last
    return (*rows[: most - 1], room + f" {CUT}")


def flowing(items: Sequence[Content], width: int, between: str = "  ") -> Rows:
    """Return items side by side, none broken over two rows unless it is wider than a row."""
    rows: list[Content] = []
    for item in items:
        if rows and rows[-1].cell_length + len(between) + item.cell_length <= width:
            rows[-1] = rows[-1] + between + item
        else:
            rows += item.wrap(width) if item.cell_length > width else [item]
    return tuple(rows)


def picking(row: Content, number: str) -> Content:
    """Return a row that enters the number when it is tapped."""
    return row.stylize(Style.from_meta({"@click": f"pick({number!r})"}))


def paged(parts: Iterable[Part], height: int) -> Pages:
    """Return the parts on as many pages of ``height`` rows as they need, the first one first.

    What is cut or has no room on the first page stands whole on the pages after it; where nothing
    could be cut, the parts simply go on there. None is broken over two pages that fits on one.
    """
    height = max(height, 1)
    every = [one for one in parts if one.forms[0]]
    chosen = _chosen(every, height)
    first: list[Content] = []
    left_out: list[Part] = []
    for one, form in zip(every, chosen, strict=True):
        first += one.forms[form]
        if form >= one.complete or len(first) > height:
            left_out.append(one)
    if not any(form >= one.complete for one, form in zip(every, chosen, strict=True)):
        shown = [one.forms[form] for one, form in zip(every, chosen, strict=True)]
        return _put_on_pages(shown, height) or ((),)
    rest = [one.forms[0] for one in left_out]
    return (tuple(first[:height]), *_put_on_pages(rest, height))


def listed(lines: Iterable[str], width: int) -> list[Part]:
    """Return lines as parts, a number at the beginning of one being what a tap on it enters.

    A short list, numbered from 1, stands side by side where it would need another page otherwise.
    """
    lines = tuple(lines)
    items = [line for line in lines if _number(line)]
    at = lines.index(items[0]) if items else 0
    in_order = [_number(line) for line in items] == [str(n) for n in range(1, len(items) + 1)]
    together = lines[at : at + len(items)] == tuple(items)
    short = len(items) <= MOST_SIDE_BY_SIDE and all(len(line) <= width for line in items)
    if not (len(items) > 1 and in_order and together and short):
        return [_line(line, width) for line in lines]
    rows = [picking(Content(line), _number(line)) for line in items]
    numbered = Part((tuple(rows), flowing(rows, width)), 2)
    before, after = lines[:at], lines[at + len(items) :]
    return [
        *(_line(line, width) for line in before),
        numbered,
        *(_line(line, width) for line in after),
    ]


MOST_SIDE_BY_SIDE = 12
"""Items of a list that may stand side by side; of more than that each keeps its own row."""


def _number(line: str) -> str:
    word = line.split(maxsplit=1)[0] if line.strip() else ""
    return word if word.isdigit() else ""


def _line(line: str, width: int) -> Part:
    rows = wrapped(line, width, "", INDENT) or (Content(""),)
    number = _number(line)
    return part(tuple(picking(row, number) for row in rows) if number else rows)


def _put_on_pages(parts: Sequence[Rows], height: int) -> Pages:
    """Return rows page by page; only what is higher than a page goes on over its end."""
    pages: list[Rows] = []
    for rows in parts:
        if pages and len(pages[-1]) + len(rows) <= height:
            pages[-1] = (*pages[-1], *rows)
        else:
            pages += (rows[at : at + height] for at in range(0, len(rows), height))
    return tuple(pages)


def _chosen(parts: Sequence[Part], height: int) -> list[int]:
    """Return the form of each part: all complete before any is roomy."""
    chosen = [len(one.forms) - 1 for one in parts]
    used = sum(len(one.forms[-1]) for one in parts)
    order = sorted(range(len(parts)), key=lambda at: parts[at].rank)
    for roomy in (False, True):
        for at in order:
            one = parts[at]
            best = range(0 if roomy else one.complete - 1, chosen[at])
            for form in best:
                more = len(one.forms[form]) - len(one.forms[chosen[at]])
                if used + more <= height:
                    chosen[at], used = form, used + more
                    break
    return chosen

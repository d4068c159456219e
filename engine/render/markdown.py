"""A report as Markdown: page one for the customer, page two for the record."""

from __future__ import annotations

import re
from collections.abc import Sequence

from engine.render.sections import (
    Block,
    Cell,
    Pairs,
    Signatures,
    Table,
    plain,
    record_blocks,
)
from engine.report.model import Label, Report

PAGE_BREAK = "---"
_SIGNS = re.compile(r"[\\*_`#\[\]~|]")
_BEGINNING = re.compile(r"\A(?P<number>\d*)(?P<sign>(?<=\d)[.)](?=\s|\Z)|(?<!\d)[-+>=])")
"""What would begin a list, a quotation or a heading at the beginning of a line."""


def as_markdown(report: Report) -> str:
    """Return the report as Markdown; the same report gives the same bytes."""
    parts = [f"# {_text(report.title)}", ""]
    for section in report.customer:
        parts += [f"**{_text(section.heading)}**", _text(" ".join(section.sentences)), ""]
    parts += [PAGE_BREAK, "", "# Record", ""]
    for block in record_blocks(report):
        parts += [f"## {_text(block.heading)}", "", *_content(block), ""]
    return "\n".join(parts).rstrip() + "\n"


def with_addenda(page: str, addenda: Sequence[str]) -> str:
    """Return a page as it was frozen, every byte of it, with what was added after the closing."""
    lines = "".join(f"- {_text(line)}\n" for line in addenda)
    return f"{page}\n{PAGE_BREAK}\n\n## Addenda, after the closing\n\n{lines}" if lines else page


def _content(block: Block) -> list[str]:
    content = block.content
    if isinstance(content, Table):
        return _table(content)
    if isinstance(content, Pairs):
        return [f"- {_text(name)}: {_text(value)}" for name, value in content.rows]
    if isinstance(content, Label):
        return [f"> **{content.signal}**", *(f">\n> {_text(line)}" for line in content.lines)]
    if isinstance(content, Signatures):
        return [f"- {who}: {_escaped('_' * 24)} Date: {_escaped('_' * 12)}" for who in content.who]
    return [f"- {_text(line)}" for line in content]


def _table(table: Table) -> list[str]:
    head = f"| {' | '.join(table.columns)} |"
    rule = "|" + "---|" * len(table.columns)
    rows = [f"| {' | '.join(_cell(cell) for cell in row)} |" for row in table.rows]
    return [head, rule, *rows, *(["", _text(table.note)] if table.note else [])]


def _cell(cell: Cell) -> str:
    if isinstance(cell, str):
        return _text(cell)
    windows = []
    for one in cell:
        words = _text(f"{one.span}: {one.verdict}" if one.verdict else one.span)
        windows.append(f"**{words}**" if one.here else words)
    return " · ".join(windows)


def _text(text: str) -> str:
    """Return text in which nothing is taken as a mark of Markdown or as HTML."""
    return _escaped(plain(text))


def _escaped(text: str) -> str:
    text = _SIGNS.sub(r"\\\g<0>", text.replace("&", "&amp;").replace("<", "&lt;"))
    return _BEGINNING.sub(r"\g<number>\\\g<sign>", text)

"""A report as Markdown: page one for the customer, page two for the record."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from engine.render.sections import Block, Table, record_blocks, title_of
from engine.report.model import Report

PAGE_BREAK = "\n---\n"


def as_markdown(report: Report) -> str:
    """Return the report as Markdown; the same report gives the same bytes."""
    parts = [f"# {_plain(title_of(report))}", ""]
    for section in report.customer:
        parts += [f"**{section.heading}** {_plain(' '.join(section.sentences))}", ""]
    parts += [PAGE_BREAK, "# Record", ""]
    for block in record_blocks(report):
        parts += _block(block)
    return "\n".join(parts).rstrip() + "\n"


def _block(block: Block) -> list[str]:
    lines = [f"## {block.heading}", ""]
    if isinstance(block.content, Table):
        lines += _table(block.content)
    else:
        lines += [f"- {_plain(line)}" for line in block.content]
    return [*lines, ""]


def _table(table: Table) -> list[str]:
    head = "| " + " | ".join(table.columns) + " |"
    rule = "|" + "---|" * len(table.columns)
    return [head, rule, *(_row(row) for row in table.rows)]


def _row(cells: Sequence[str]) -> str:
    return "| " + " | ".join(_cells(cells)) + " |"


def _cells(cells: Iterable[str]) -> list[str]:
    return [_plain(cell).replace("|", "\\|") for cell in cells]


def _plain(text: str) -> str:
    """Return text in which nothing is taken as a mark of Markdown or as HTML."""
    for sign in ("\\", "*", "_", "`", "#", "[", "]"):
        text = text.replace(sign, f"\\{sign}")
    return " ".join(text.replace("<", "&lt;").split())

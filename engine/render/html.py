"""A report as one HTML file with everything in it; a browser prints it on two pages or more."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from engine.render.sections import (
    TOGETHER,
    Block,
    Cell,
    Pairs,
    Signatures,
    Table,
    plain,
    record_blocks,
)
from engine.report.model import Label, Report

_STYLE = """
body { font: 16px/1.45 Georgia, "Times New Roman", serif; color: #000; background: #fff;
  max-width: 46em; margin: 2em auto; padding: 0 1em; overflow-wrap: break-word; }
h1 { font-size: 1.4em; line-height: 1.25; margin: 0 0 .8em; }
h2 { font-size: 1em; margin: 1.1em 0 .25em; break-after: avoid; }
.customer h2 { margin-top: 1.2em; } .customer p { margin: 0; font-size: 1.1em; }
.record { font-size: .85em; break-before: page; border-top: 3px solid #000; margin-top: 2.5em;
  padding-top: 1.5em; }
ul { margin: .2em 0; padding-left: 1.2em; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: .1em 1em; margin: .2em 0; }
dt { max-width: 16em; } dd { margin: 0; }
table { border-collapse: collapse; width: 100%; font-size: .92em; line-height: 1.3; }
thead { display: table-header-group; } tr { break-inside: avoid; }
th, td { border: 1px solid #000; padding: .2em .35em; text-align: left; vertical-align: top; }
col.narrow { width: 5%; } col.some { width: 12%; } col.wide { width: 24%; }
td span { white-space: nowrap; } td div { margin-bottom: .1em; } td .here { font-weight: bold; }
td .here::before { content: "\\25B6\\00A0"; font-size: .8em; }
.wide { overflow-x: auto; } .note { margin: .2em 0; }
.label { border: 3px solid #000; padding: .6em 1em; max-width: 30em; break-inside: avoid; }
.label p { margin: .3em 0; } .label .signal { font: bold 1.6em Arial, Helvetica, sans-serif; }
.sign { display: flex; gap: 1em; margin: 2.2em 0 0; break-inside: avoid; }
.sign span { border-top: 1px solid #000; flex: 3; padding-top: .2em; } .sign .day { flex: 1; }
@media print {
  body { margin: 0; padding: 0; max-width: none; font-size: 11pt; }
  .record { border-top: 0; margin-top: 0; padding-top: 0; } .wide { overflow: visible; }
  @page { size: letter; margin: 15mm; @bottom-right { content: counter(page); font-size: 9pt; } }
}
"""
LETTER = "letter"
_WIDTHS = {"Reading": "wide", "Allowed": "wide", "Times": "narrow"}
_END = "</body>\n</html>\n"


def as_html(report: Report, paper: str = LETTER) -> str:
    """Return the report as a self-contained HTML page; the same report gives the same bytes.

    ``paper`` is a page size of CSS, such as A4.
    """
    style = _STYLE.replace(f"size: {LETTER}", f"size: {escape(paper)}")
    title = _text(report.title)
    customer = "\n".join(
        f"<h2>{_text(one.heading)}</h2>\n<p>{_text(' '.join(one.sentences))}</p>"
        for one in report.customer
    )
    record = "\n".join(_block(block) for block in record_blocks(report))
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{title}</title>\n<style>{style}</style>\n</head>\n<body>\n"
        f'<section class="customer">\n<h1>{title}</h1>\n{customer}\n</section>\n'
        f'<section class="record">\n<h1>Record</h1>\n{record}\n</section>\n{_END}'
    )


def with_addenda(page: str, addenda: Sequence[str]) -> str:
    """Return a page as it was frozen with what was added after the closing at its end."""
    if not addenda:
        return page
    added = _block(Block("Addenda, after the closing", tuple(addenda)))
    return f'{page.removesuffix(_END)}<section class="record">\n{added}\n</section>\n{_END}'


def _block(block: Block) -> str:
    return f"<h2>{_text(block.heading)}</h2>\n{_content(block)}"


def _content(block: Block) -> str:
    content = block.content
    if isinstance(content, Table):
        return _table(content)
    if isinstance(content, Pairs):
        rows = "\n".join(
            f"<dt>{_text(name)}</dt><dd>{_text(value)}</dd>" for name, value in content.rows
        )
        return f"<dl>\n{rows}\n</dl>"
    if isinstance(content, Label):
        lines = "\n".join(f"<p>{_text(line)}</p>" for line in content.lines)
        return f'<div class="label">\n<p class="signal">{content.signal}</p>\n{lines}\n</div>'
    if isinstance(content, Signatures):
        return "\n".join(
            f'<p class="sign"><span>{_text(who)}</span><span class="day">Date</span></p>'
            for who in content.who
        )
    lines = "\n".join(f"<li>{_text(line)}</li>" for line in content)
    return f"<ul>\n{lines}\n</ul>"


def _table(table: Table) -> str:
    columns = "".join(f'<col class="{_WIDTHS.get(name, "some")}">' for name in table.columns)
    head = "".join(f"<th>{_text(name)}</th>" for name in table.columns)
    rows = "\n".join(
        "<tr>" + "".join(f"<td>{_cell(cell)}</td>" for cell in row) + "</tr>" for row in table.rows
    )
    note = f'\n<p class="note">{_text(table.note)}</p>' if table.note else ""
    return (
        f'<div class="wide"><table>\n<colgroup>{columns}</colgroup>\n'
        f"<thead><tr>{head}</tr></thead>\n"
        f"<tbody>\n{rows}\n</tbody>\n</table></div>{note}"
    )


def _cell(cell: Cell) -> str:
    if isinstance(cell, str):
        parts = cell.split(TOGETHER)
        return (
            TOGETHER.join(f"<span>{_text(part)}</span>" for part in parts)
            if parts[1:]
            else _text(cell)
        )
    windows = []
    for one in cell:
        words = _text(f"{one.span}: {one.verdict}" if one.verdict else one.span)
        windows.append(f'<div class="here">{words}</div>' if one.here else f"<div>{words}</div>")
    return "".join(windows)


def _text(text: str) -> str:
    return escape(plain(text))

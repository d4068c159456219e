"""A report as one HTML file with everything in it; a browser prints it on two pages or more."""

from __future__ import annotations

from html import escape

from engine.render.sections import Block, Table, record_blocks, title_of
from engine.report.model import Report

_STYLE = """
body { font: 16px/1.4 Georgia, serif; color: #000; background: #fff; max-width: 44em;
  margin: 2em auto; padding: 0 1em; }
h1 { font-size: 1.4em; } h2 { font-size: 1.05em; margin: 1.2em 0 .3em; }
.customer p { margin: .7em 0; } .customer b { display: block; }
.record { font-size: .85em; break-before: page; }
table { border-collapse: collapse; width: 100%; } thead { display: table-header-group; }
th, td { border: 1px solid #000; padding: .2em .4em; text-align: left; vertical-align: top; }
tr { break-inside: avoid; } ul { margin: .3em 0; padding-left: 1.2em; }
.wide { overflow-x: auto; }
@media print { body { margin: 0; max-width: none; font-size: 11pt; } @page { margin: 15mm; } }
"""


def as_html(report: Report) -> str:
    """Return the report as a self-contained HTML page; the same report gives the same bytes."""
    title = escape(title_of(report))
    customer = "\n".join(
        f"<p><b>{escape(one.heading)}</b> {escape(' '.join(one.sentences))}</p>"
        for one in report.customer
    )
    record = "\n".join(_block(block) for block in record_blocks(report))
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{title}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n"
        f'<section class="customer">\n<h1>{title}</h1>\n{customer}\n</section>\n'
        f'<section class="record">\n<h1>Record</h1>\n{record}\n</section>\n</body>\n</html>\n'
    )


def _block(block: Block) -> str:
    heading = f"<h2>{escape(block.heading)}</h2>"
    if isinstance(block.content, Table):
        return f"{heading}\n{_table(block.content)}"
    lines = "\n".join(f"<li>{escape(line)}</li>" for line in block.content)
    return f"{heading}\n<ul>\n{lines}\n</ul>"


def _table(table: Table) -> str:
    head = "".join(f"<th>{escape(name)}</th>" for name in table.columns)
    rows = "\n".join(
        "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>" for row in table.rows
    )
    return (
        f'<div class="wide"><table>\n<thead><tr>{head}</tr></thead>\n'
        f"<tbody>\n{rows}\n</tbody>\n</table></div>"
    )

"""A report in which every text tries to be something else."""

from __future__ import annotations

from dataclasses import replace

from engine.job.store import Header
from engine.report.model import (
    CauseRow,
    Label,
    ReadingRow,
    Report,
    Section,
    Window,
)


def report_saying(text: str) -> Report:
    """Return a report that has one text wherever a text can be."""
    lines = (text,)
    row = ReadingRow(
        text, text, (Window(text, text, here=True), Window(text, "")), text, text, text, text
    )
    return Report(
        header=Header(*lines * 11),
        title=text,
        trees=lines,
        draft=True,
        customer=(Section(text, lines),),
        people=lines,
        meters=lines,
        times=text,
        nameplate=((text, text),),
        supply=lines,
        readings=(row, replace(row, later=True, remark=text)),
        causes=(CauseRow(text, lines, text, text, lines, mended=True),),
        side_findings=lines,
        put_back=lines,
        after_repair=(row,),
        hazards=lines,
        not_touched=lines,
        left_so=lines,
        label=Label("WARNING", lines),
        follow_up=lines,
        notes=lines,
        photos=lines,
        taken_back=lines,
        addenda=lines,
        end=text,
        closing_code=text,
        seal=text,
        foot=lines,
        problems=lines,
    )


MEAN = (
    "<script>alert(1)</script>",
    "</section></body><img src=x onerror=y>",
    "a | b || c",
    "*bold* _it_ `code` ~~gone~~ **",
    "# not a heading",
    "- not a list",
    "1. not a list",
    "12) not a list",
    "> not quoted",
    "=====",
    "---",
    "[a link](http://example.org) ![p](x) [ref]: x",
    "&lt;b&gt; &amp; &copy;",
    "back\\slash\\*",
    "two\nlines\r\nand\ta tab",
    "\x1b[2J\x07\u202e\u200b",
    "<http://example.org>",
    "    indented",
    "```",
    "",
)

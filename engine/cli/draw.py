"""``halfsplit draw``: a tree or a procedure on paper, one drawing or numbered steps in a binder."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TextIO

from engine.cli import places, settings_file
from engine.cli.clock import clock
from engine.cli.exits import Exit
from engine.cli.parsing import Parser, UsageError
from engine.cli.walk import ready
from engine.drawing.alone import opened
from engine.drawing.chart import chart_of
from engine.drawing.titles import procedure_titles
from engine.job import disk
from engine.job.chain import JobError
from engine.loader.library import load_to_draw
from engine.tree import WalkTree

USAGE = """halfsplit draw TREE [--out FILE]           the whole tree as one drawing, SVG
       halfsplit draw PROCEDURE …                 a procedure by itself, in any of these forms
       halfsplit draw TREE --sheet [--out FILE]   numbered steps for a binder, HTML
       halfsplit draw TREE --json                 boxes and ways as one JSON object"""


def run(arguments: Sequence[str], out: TextIO, err: TextIO) -> int:
    """Run the command and return its exit code: 1 where the tree has a problem that stops it."""
    try:
        given = _parser().parse_args(arguments)
        loaded = load_to_draw(given.tree, places.home())
        walk = opened(loaded.alone) if loaded.alone else ready(loaded, err)
        if walk is None:
            return Exit.PROBLEMS
        titles = procedure_titles(loaded.files)
        make = _as_json if given.json else _sheet if given.sheet else _drawing
        text = make(walk, titles)
        if given.out:
            disk.write(Path(given.out), text.encode("utf-8", "replace"))
            edition = f", revision {walk.tree.revision}" if walk.tree.revision else ""
            err.write(f"{given.out} holds {walk.tree.name}{edition}.\n")
        else:
            out.write(text)
    except UsageError as error:
        (out if error.code is Exit.FINE else err).write(f"{error}\n")
        return error.code
    except JobError as error:
        err.write(f"{error}\n")
        return Exit.PROBLEMS
    return Exit.FINE


def _parser() -> Parser:
    parser = Parser(prog="halfsplit draw", usage=USAGE)
    parser.add_argument(
        "tree", metavar="TREE", help="the id of a tree or procedure, or its file's path"
    )
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--sheet", action="store_true", help="numbered steps with blanks, HTML")
    form.add_argument("--json", action="store_true", help="print one JSON object")
    parser.add_argument("--out", metavar="FILE", help="write it to a file")
    return parser


def _drawing(walk: WalkTree, titles: Mapping[str, str]) -> str:
    # Imported here: only a drawing needs the layout.
    from engine.drawing.svg import drawing

    return drawing(chart_of(walk, titles))


def _sheet(walk: WalkTree, titles: Mapping[str, str]) -> str:
    from engine.drawing.sheet_making import sheet_of
    from engine.drawing.sheet_page import as_html

    paper = settings_file.read(places.home())[0].paper
    return as_html(sheet_of(walk, titles), clock().date().isoformat(), paper)


def _as_json(walk: WalkTree, titles: Mapping[str, str]) -> str:
    return json.dumps(chart_of(walk, titles).as_json(), ensure_ascii=False) + "\n"

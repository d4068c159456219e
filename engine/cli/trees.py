"""``halfsplit trees``: which trees there are, one packed as one file, one taken in."""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence
from typing import TextIO

from engine.cli import places
from engine.cli.exits import Exit
from engine.cli.parsing import Parser, UsageError
from engine.job.chain import JobError
from engine.loader.heads import Head, heads

USAGE = """halfsplit trees [--json]                      which trees there are
       halfsplit trees pack TREE [FILE]              one file to send a tree in
       halfsplit trees add FILE [--yes]              take a packed tree in"""


def run(arguments: Sequence[str], out: TextIO, err: TextIO) -> int:
    """Run the command and return its exit code."""
    try:
        given = _parser().parse_args(arguments)
        if not given.words:
            return _list(out, as_json=given.json)
        act, *rest = given.words
        # Imported here: a list needs none of it.
        from engine.cli import sending

        if act == "pack":
            return sending.pack_tree(rest, out, err, as_json=given.json)
        if act == "add":
            return sending.add_tree(rest, out, err, yes=given.yes, as_json=given.json)
        raise UsageError(f"There is no trees {act}.\nusage: {USAGE}")
    except UsageError as error:
        (out if error.code is Exit.FINE else err).write(f"{error}\n")
        return error.code
    except JobError as error:
        err.write(f"{error}\n")
        return Exit.PROBLEMS


def _parser() -> argparse.ArgumentParser:
    parser = Parser(prog="halfsplit trees", usage=USAGE)
    parser.add_argument("words", nargs="*", help="nothing, or pack or add and what")
    parser.add_argument("--yes", action="store_true", help="add without asking")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    return parser


def _list(out: TextIO, *, as_json: bool) -> int:
    found = list(heads(places.home()))
    width = max((len(head.name) for head in found), default=0)
    if as_json:
        answer = {"trees": [_json(head) for head in found]}
        out.write(json.dumps(answer, ensure_ascii=False) + "\n")
    else:
        out.writelines(f"{_line(head, width)}\n" for head in found)
    return Exit.FINE


def _line(head: Head, width: int) -> str:
    whose = "shipped" if head.shipped else "your own"
    return f"{head.name:{width}}  {head.title}  revision {head.revision}, {head.status}  {whose}"


def _json(head: Head) -> dict[str, object]:
    return {
        "tree": head.name,
        "title": head.title,
        "revision": int(head.revision) if head.revision.isdecimal() else None,
        "status": head.status,
        "shipped": head.shipped,
        "path": head.path,
    }

"""``halfsplit walk``: a tree walked line by line, from a file of readings, or on the screen."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TextIO

from engine.cases import Readings
from engine.cli import places
from engine.cli.clock import clock
from engine.cli.exits import Exit
from engine.cli.parsing import Parser, UsageError
from engine.loader.library import Loaded, load, load_readings
from engine.problems import Problem, Severity
from engine.tree import WalkTree

USAGE = """halfsplit walk TREE [--plain] [--by NAME] [--meter METER] [--job JOB]
       halfsplit walk TREE --readings FILE [--json]"""


def run(arguments: Sequence[str], out: TextIO, err: TextIO) -> int | None:
    """Run the command; None where a screen is to be drawn."""
    try:
        given = parser().parse_args(arguments)
        if given.readings:
            return _from_file(given, out, err)
        if not given.plain:
            return None
        return _by_lines(given, out, err)
    except UsageError as error:
        (out if error.code is Exit.FINE else err).write(f"{error}\n")
        return error.code


def parser() -> Parser:
    """Return the parser of the command's own words."""
    parser = Parser(prog="halfsplit walk", usage=USAGE)
    parser.add_argument("tree", nargs="?", default="", help="a tree's id, or its file's path")
    parser.add_argument("--plain", action="store_true", help="ask line by line, draw nothing")
    parser.add_argument("--readings", metavar="FILE", help="take the answers from a file")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    parser.add_argument("--job", default="", metavar="JOB", help="go on with a job")
    parser.add_argument("--by", default="", metavar="NAME", help="who walks it")
    parser.add_argument("--meter", default="", metavar="METER", help="the meter in use")
    return parser


def ready(loaded: Loaded, err: TextIO) -> WalkTree | None:
    """Return the tree to walk; None, with every problem said, for one that is never offered."""
    stopping = [one for one in loaded.problems if one.severity is Severity.STOPS]
    say_problems(stopping, err)
    return None if stopping else loaded.walk


def say_problems(problems: Iterable[Problem], err: TextIO) -> None:
    """Write problems, a line each."""
    for problem in problems:
        err.write(f"{problem}\n")


def _from_file(given: argparse.Namespace, out: TextIO, err: TextIO) -> int:
    from engine.guide.headless import walk_through
    from engine.guide.transcribe import as_json, as_lines

    found = _answers(given, err)
    if found is None:
        return Exit.PROBLEMS
    walk, readings, problems = found
    walked = walk_through(
        walk,
        readings.nameplate,
        readings.answers,
        start=clock(),
        by=given.by or readings.job.get("by", ""),
        meter=given.meter or readings.job.get("meter", ""),
    )
    if given.json:
        out.write(json.dumps(as_json(walked), ensure_ascii=False) + "\n")
    else:
        out.write("\n".join(as_lines(walked)) + "\n")
    for name in walked.unused:
        err.write(f"The walk never came by {name}; its answer was not used.\n")
    sound = not (walked.missing or walked.refused or problems)
    return Exit.FINE if sound else Exit.PROBLEMS


def _answers(
    given: argparse.Namespace, err: TextIO
) -> tuple[WalkTree, Readings, tuple[Problem, ...]] | None:
    """Return the tree, its answers and what is wrong with them; None, all said, if one is not."""
    home = places.home()
    walk = ready(load(given.tree, home), err) if given.tree else None
    if given.tree and walk is None:
        return None
    readings, problems = load_readings(Path(given.readings), home, walk)
    say_problems(problems, err)
    if readings is None:
        return None
    if walk is None:
        walk = ready(load(readings.tree, home), err)
    elif walk.tree.name != readings.tree:
        err.write(f"{given.readings} holds readings for {readings.tree}, not {walk.tree.name}.\n")
        return None
    return (walk, readings, problems) if walk else None


def _by_lines(given: argparse.Namespace, out: TextIO, err: TextIO) -> int:
    from engine.cli.plain import asker
    from engine.cli.start import walk_a_job

    if not given.tree and not given.job:
        raise UsageError(f"Name a tree, or a job with --job.\nusage: {USAGE}")
    loaded = load(given.tree, places.home()) if given.tree else None
    if loaded is not None and ready(loaded, err) is None:
        return Exit.PROBLEMS
    ask = asker(out, sys.stdin)
    return walk_a_job(loaded, given.job, ask, out, err, by=given.by, meter=given.meter)

"""``halfsplit author``: a tree's file followed while it is written, or said once as text."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TextIO

from engine.cli import places
from engine.cli.exits import Exit
from engine.cli.parsing import Parser, UsageError
from engine.cli.width import say
from engine.loader.heads import heads

USAGE = "halfsplit author FILE | TREE [--once]"


def run(arguments: Sequence[str], out: TextIO, err: TextIO) -> Exit | None:
    """Say how a file stands, once; None where the screen is to be opened instead."""
    try:
        given = parser().parse_args(arguments)
        path = file_of(given.file)
    except UsageError as error:
        (out if error.code is Exit.FINE else err).write(f"{error}\n")
        return error.code
    if not given.once:
        return None
    return _once(path, out)


def parser() -> Parser:
    """Return the parser of the command line."""
    made = Parser(
        prog="halfsplit author",
        usage=USAGE,
        description="Keep FILE open in your own editor: every save is looked at.",
    )
    made.add_argument("file", metavar="FILE", help="the tree's file, or the name of a tree")
    made.add_argument("--once", action="store_true", help="say how it stands now, as text")
    return made


def file_of(word: str) -> Path:
    """Return the file of a tree, by its path or the tree's name; raises UsageError."""
    path = Path(word).expanduser()
    if path.is_file():
        return path
    found = next((head for head in heads(places.home()) if head.name == word), None)
    if found is None:
        raise UsageError(f"There is no file {word}, and no tree of that name.")
    if found.shipped:
        # Imported here: only a shipped tree's file has to be looked for.
        from engine.shipped import data

        return data("trees") / Path(found.path).relative_to("trees")
    return Path(found.path)


def _once(path: Path, out: TextIO) -> Exit:
    # Imported here: the screen, which is what is usually asked for, does its own loading.
    from engine.authoring import (
        costs_page,
        drawn,
        findings_page,
        problems_page,
        studied,
        summary,
        with_cases,
        with_proof,
    )

    study = with_cases(with_proof(studied(path, places.home())))
    say(out, (f"{path}: {summary(study)}", *problems_page(study), ""))
    if study.walk is not None:
        for one in drawn(study.walk):
            say(out, (f"{one.number} {one.heading}".strip(), f"    {one.about}"))
            say(out, [f"    {way}" for way in one.ways])
        say(out, ("", *findings_page(study), "", *costs_page(study)))
    return Exit.PROBLEMS if study.to_mend else Exit.FINE

"""``halfsplit check --fix``: what is certain is mended in a new file beside the old one."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TextIO

from engine.cli.author import file_of
from engine.cli.exits import Exit
from engine.cli.parsing import UsageError
from engine.cli.width import say
from engine.job import disk
from engine.job.chain import JobError
from engine.loader.loading import read_file
from engine.loader.shelves import ENDING, MENDED, Found
from engine.mending import mended, two_steps
from engine.problems import Problem


def run_fix(targets: Sequence[str], out: TextIO, err: TextIO, *, as_json: bool) -> Exit:
    """Write each file as mended beside it, never over it, and say what was done."""
    answers: list[dict[str, object]] = []
    try:
        if not targets:
            raise UsageError("Name the files to mend.\nusage: halfsplit check --fix FILE ...")
        for target in targets:
            answers.append(_fixed(file_of(target), out, say_it=not as_json))
    except UsageError as error:
        err.write(f"{error}\n")
        return error.code
    except JobError as error:
        err.write(f"{error}\n")
        return Exit.PROBLEMS
    if as_json:
        out.write(json.dumps({"mended": answers}, ensure_ascii=False) + "\n")
    return Exit.FINE


def steps_shown(problem: Problem) -> tuple[str, ...]:
    """Return the two steps that one with a verb of another act should be, where they are plain."""
    path = Path(problem.span.path)
    if not path.is_file():
        return ()
    every = two_steps(read_file(Found.at(path)))
    return next((one.shown() for one in every if one.span == problem.span), ())


def _fixed(path: Path, out: TextIO, *, say_it: bool) -> dict[str, object]:
    try:
        made = mended(Found.at(path))
    except OSError as error:
        raise JobError(f"{path} can't be read: {disk.reason(error)}.") from error
    new = _free(path) if made.done else None
    if new is not None:
        disk.write(new, made.text.encode("utf-8"))
    if say_it:
        say(out, [f"{path}:", *(f"  {one}" for one in made.done)])
        if new is None:
            say(out, ["  Nothing in it is certain to be mended."])
        else:
            say(out, [f"Written in {new}. Compare the two, then give it the old one's name."])
    return {"path": str(path), "new": str(new) if new else None, "done": list(made.done)}


def _free(path: Path) -> Path:
    stem = path.name.removesuffix(ENDING)
    number, new = 1, path.with_name(f"{stem}{MENDED}")
    while new.exists():
        number += 1
        new = path.with_name(f"{stem}-{number}{MENDED}")
    return new

"""``halfsplit jobs``: find jobs, check their records, send one as one file, take one in."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TextIO

from engine.cli import places
from engine.cli.exits import Exit
from engine.cli.parsing import Parser, UsageError
from engine.job.chain import JobError
from engine.job.finding import Listed, find

USAGE = """halfsplit jobs [WORD ...] [--json]       find by site, unit, name, date
       halfsplit jobs verify [JOB ...]         check that nothing was changed
       halfsplit jobs pack JOB FILE            one file to send a job in
       halfsplit jobs open FILE                take a packed job in"""

Printed = tuple[Exit, dict[str, object], list[str]]
"""How a command ends, its answer as JSON, and as lines."""


def run(arguments: Sequence[str], out: TextIO, err: TextIO) -> int:
    """Run the command and return its exit code."""
    try:
        given = _parser().parse_args(arguments)
        act = _ACTS.get(given.words[0]) if given.words else None
        code, answer, lines = act(given.words[1:]) if act else _list(given.words)
    except UsageError as error:
        (out if error.code is Exit.FINE else err).write(f"{error}\n")
        return error.code
    except JobError as error:
        err.write(f"{error}\n")
        return Exit.PROBLEMS
    if given.json:
        out.write(json.dumps(answer, ensure_ascii=False) + "\n")
    else:
        out.writelines(f"{line}\n" for line in lines)
    return code


def _parser() -> argparse.ArgumentParser:
    parser = Parser(prog="halfsplit jobs", usage=USAGE)
    parser.add_argument("words", nargs="*", help="words to find, or verify, pack, open")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    return parser


def _list(words: Sequence[str]) -> Printed:
    found = find(places.jobs(), tuple(words))
    lines = [_line(one) for one in found]
    if not found:
        lines = ["No job holds those words." if words else "There are no jobs yet."]
    return Exit.FINE, {"jobs": [_json(one) for one in found]}, lines


def _json(one: Listed) -> dict[str, object]:
    return {
        "job": one.folder.name,
        "site": one.header.site,
        "unit": one.header.unit,
        "by": one.header.by,
        "people": list(one.people),
        "created": one.header.created,
        "trees": list(one.trees),
        "entries": one.entries,
        "closed": one.closed,
        "problem": one.problem or None,
    }


def _line(one: Listed) -> str:
    if one.problem:
        return f"{one.folder.name}  {one.problem}"
    state = "closed" if one.closed else "open"
    where = ", ".join(word for word in (one.header.site, one.header.unit) if word) or "no site"
    return f"{one.folder.name}  {where}  {one.header.by or 'no name'}  {state}"


def job_folder(name: str) -> Path:
    """Return the folder of the job of that id; raises JobError with the nearest id there is."""
    folders = {one.folder.name: one.folder for one in find(places.jobs())}
    if name in folders:
        return folders[name]
    # Imported here: only a slip needs it.
    import difflib

    near = difflib.get_close_matches(name, folders, 1)
    hint = f" Did you mean {near[0]}?" if near else " halfsplit jobs lists them."
    raise JobError(f"There is no job {name}.{hint}")


def _verify(words: Sequence[str]) -> Printed:
    # Imported here: it loads trees, which a list of jobs never needs.
    from engine.job.verifying import problems_of

    folders = [job_folder(name) for name in words] or [one.folder for one in find(places.jobs())]
    found = {folder.name: problems_of(folder) for folder in folders}
    lines = [
        f"{name}: {problem}"
        for name, problems in found.items()
        for problem in problems or ("everything is as it was written.",)
    ]
    answer = {"jobs": [{"job": name, "problems": list(these)} for name, these in found.items()]}
    code = Exit.PROBLEMS if any(found.values()) else Exit.FINE
    return code, dict(answer), lines or ["There are no jobs yet."]


def _pack(words: Sequence[str]) -> Printed:
    from engine.job.packing import pack

    if len(words) != 2:
        raise UsageError("Name the job and the file to write.\nusage: halfsplit jobs pack JOB FILE")
    name, file = words
    pack(job_folder(name), Path(file))
    return Exit.FINE, {"job": name, "file": file}, [f"{file} holds {name}."]


def _open(words: Sequence[str]) -> Printed:
    from engine.job.packing import unpack
    from engine.job.verifying import problems_of

    if len(words) != 1:
        raise UsageError("Name the file.\nusage: halfsplit jobs open FILE")
    folder = unpack(Path(words[0]), places.jobs())
    problems = problems_of(folder)
    lines = [f"{folder.name} is among your jobs now.", *problems]
    code = Exit.PROBLEMS if problems else Exit.FINE
    return code, {"job": folder.name, "problems": list(problems)}, lines


_ACTS: Mapping[str, Callable[[Sequence[str]], Printed]] = {
    "verify": _verify,
    "pack": _pack,
    "open": _open,
}

"""``halfsplit jobs``: find jobs, check their records, send one as one file, take one in."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TextIO

from engine.cli import places
from engine.cli.exits import Exit
from engine.cli.parsing import Parser, UsageError
from engine.job.chain import JobError
from engine.job.finding import Listed, find, pack, unpack
from engine.job.store import read_job

USAGE = """halfsplit jobs [WORD ...] [--json]      find by site, unit, name, date
       halfsplit jobs verify [JOB ...]        check that no line was changed
       halfsplit jobs pack JOB FILE           one file to send a job in
       halfsplit jobs open FILE               take a packed job in"""


def run(arguments: Sequence[str], out: TextIO, err: TextIO) -> int:
    """Run the command and return its exit code."""
    parser = Parser(prog="halfsplit jobs", usage=USAGE)
    parser.add_argument("words", nargs="*")
    parser.add_argument("--json", action="store_true", help="print one JSON object")
    try:
        given = parser.parse_args(arguments)
        act = _ACTS.get(given.words[0]) if given.words else None
        if act is not None:
            return act(given.words[1:], out)
        return _list(given.words, given.json, out)
    except UsageError as error:
        (out if error.code is Exit.FINE else err).write(f"{error}\n")
        return error.code
    except JobError as error:
        err.write(f"{error}\n")
        return Exit.PROBLEMS


def _list(words: Sequence[str], as_json: bool, out: TextIO) -> int:
    found = find(places.jobs(), tuple(words))
    if as_json:
        out.write(json.dumps({"jobs": [_json(one) for one in found]}, ensure_ascii=False) + "\n")
        return Exit.FINE
    for one in found:
        out.write(f"{_line(one)}\n")
    if not found:
        out.write("No job holds those words.\n" if words else "There are no jobs yet.\n")
    return Exit.FINE


def _json(one: Listed) -> dict[str, object]:
    return {
        "job": one.header.id,
        "site": one.header.site,
        "unit": one.header.unit,
        "by": one.header.by,
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
    return f"{one.header.id}  {where}  {one.header.by or 'no name'}  {state}"


def job_folder(name: str) -> Path:
    """Return the folder of the job of that id; raises JobError with the nearest id there is."""
    folder = places.jobs() / name
    if not name or Path(name).name != name or not folder.is_dir():
        import difflib

        near = difflib.get_close_matches(name, [one.folder.name for one in find(places.jobs())], 1)
        hint = f" Did you mean {near[0]}?" if near else " halfsplit jobs lists them."
        raise JobError(f"There is no job {name}.{hint}")
    return folder


def _verify(words: Sequence[str], out: TextIO) -> int:
    folders = [job_folder(name) for name in words] or [one.folder for one in find(places.jobs())]
    bad = 0
    for folder in folders:
        problems = _problems(folder)
        bad += bool(problems)
        for problem in problems or ["every line is as it was written."]:
            out.write(f"{folder.name}: {problem}\n")
    return Exit.PROBLEMS if bad else Exit.FINE


def _problems(folder: Path) -> list[str]:
    try:
        job = read_job(folder)
    except JobError as error:
        return [str(error)]
    torn = (
        ["The last line was cut off; it is set aside when the job is opened."] if job.torn else []
    )
    return [*job.unsound, *torn]


def _pack(words: Sequence[str], out: TextIO) -> int:
    if len(words) != 2:
        raise UsageError("Name the job and the file to write.\nusage: halfsplit jobs pack JOB FILE")
    pack(job_folder(words[0]), Path(words[1]))
    out.write(f"{words[1]} holds {words[0]}.\n")
    return Exit.FINE


def _open(words: Sequence[str], out: TextIO) -> int:
    if len(words) != 1:
        raise UsageError("Name the file.\nusage: halfsplit jobs open FILE")
    folder = unpack(Path(words[0]), places.jobs())
    out.write(f"{folder.name} is among your jobs now.\n")
    return Exit.FINE


_ACTS: Mapping[str, Callable[[Sequence[str], TextIO], int]] = {
    "verify": _verify,
    "pack": _pack,
    "open": _open,
}

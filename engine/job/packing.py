"""A whole job as one file to send, and such a file taken in.

What is taken in may come from anywhere: nothing of it is written outside a folder of its own,
and the folder is not among the jobs before all of it was read and is a job.
"""

from __future__ import annotations

import shutil
import zipfile
from collections.abc import Iterator
from pathlib import Path

from engine.job import disk, zipped
from engine.job.chain import JobError
from engine.job.store import RECORD, read_job

LARGEST = 512 * 1024 * 1024
"""Bytes that a packed job may unpack to (judgement: a day of pictures)."""
MOST = 5_000
"""Files in it."""


def pack(folder: Path, target: Path) -> None:
    """Write a whole job into one file; raises JobError where it can't be read or written.

    A file that is there already is not written over.
    """
    read_job(folder)
    zipped.write(target, _packed(folder))


def _packed(folder: Path) -> Iterator[tuple[str, bytes]]:
    """Yield the job's own files, each with its name in the packed job."""
    for path in _files(folder):
        try:
            raw = path.read_bytes()
        except OSError as error:
            raise JobError(f"{path} can't be read: {disk.reason(error)}.") from error
        yield "/".join((folder.name, *path.relative_to(folder).parts)), raw


def _files(folder: Path) -> Iterator[Path]:
    """Yield the job's own files in order; what only points elsewhere is none of them."""
    for path in sorted(folder.rglob("*")):
        hidden = any(part.startswith(".") for part in path.relative_to(folder).parts)
        if path.is_file() and not hidden and path.resolve().is_relative_to(folder.resolve()):
            yield path


def unpack(file: Path, jobs: Path) -> Path:
    """Put a packed job among the others and return its folder.

    Raises JobError for a file that is no packed job, for names that would leave the folder or
    that some system can't hold, for one that is too large, and where a job of that name is there
    already; then nothing is changed.
    """
    half: Path | None = None
    try:
        with zipfile.ZipFile(file) as packed:
            members = _members(packed)
            folder = jobs / members[0].filename.split("/")[0]
            if folder.exists():
                raise JobError(f"{folder.name} is here already; nothing was changed.")
            half = jobs / f".{folder.name}.part"
            shutil.rmtree(half, ignore_errors=True)
            for one in members:
                disk.write(half.joinpath(*one.filename.split("/")[1:]), packed.read(one))
        read_job(half)
        half.rename(folder)
    except JobError as error:
        _forget(half)
        raise JobError(f"{file} was not taken in: {error}") from error
    except zipped.BROKEN as error:
        _forget(half)
        why = zipped.why(error)
        raise JobError(f"{file} is no packed job that can be read: {why}.") from error
    return folder


def _forget(half: Path | None) -> None:
    if half is not None:
        shutil.rmtree(half, ignore_errors=True)


def _members(packed: zipfile.ZipFile) -> list[zipfile.ZipInfo]:
    """Return the files of a packed job; raises JobError for what is none."""
    members = zipped.members(packed, "job", largest=LARGEST, most=MOST)
    top = members[0].filename.split("/")[0]
    if f"{top}/{RECORD}" not in [one.filename for one in members]:
        raise JobError("it is no packed job.")
    return members

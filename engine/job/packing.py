"""A whole job as one file to send, and such a file taken in.

What is taken in may come from anywhere: nothing of it is written outside a folder of its own,
and the folder is not among the jobs before all of it was read and is a job.
"""

from __future__ import annotations

import shutil
import stat
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from engine.job import disk
from engine.job.chain import JobError
from engine.job.naming import is_plain_name
from engine.job.store import RECORD, read_job

LARGEST = 512 * 1024 * 1024
"""Bytes that a packed job may unpack to (judgement: a day of pictures)."""
MOST = 5_000
"""Files in it."""
_LONG_AGO = (1980, 1, 1, 0, 0, 0)
"""The date on every packed file, so that the same job gives the same bytes."""
_KNOWN = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_BROKEN = (OSError, zipfile.BadZipFile, RuntimeError, ValueError, EOFError, zlib.error)
"""What the library raises for a file that is damaged, locked with a password, or no zip file."""


def pack(folder: Path, target: Path) -> None:
    """Write a whole job into one file; raises JobError where it can't be read or written.

    A file that is there already is not written over.
    """
    read_job(folder)
    if target.exists():
        raise JobError(f"{target} is there already; nothing was written.")
    files = list(_files(folder))
    half = target.with_name(f".{target.name}.part")
    try:
        with zipfile.ZipFile(half, "w") as packed:
            for path in files:
                name = "/".join((folder.name, *path.relative_to(folder).parts))
                packed.writestr(_member(name), path.read_bytes())
        half.rename(target)
    except OSError as error:
        with suppress(OSError):
            half.unlink(missing_ok=True)
        raise JobError(f"{target} can't be written: {disk.reason(error)}.") from error


def _files(folder: Path) -> Iterator[Path]:
    """Yield the job's own files in order; what only points elsewhere is none of them."""
    for path in sorted(folder.rglob("*")):
        hidden = any(part.startswith(".") for part in path.relative_to(folder).parts)
        if path.is_file() and not hidden and path.resolve().is_relative_to(folder.resolve()):
            yield path


def _member(name: str) -> zipfile.ZipInfo:
    member = zipfile.ZipInfo(name, _LONG_AGO)
    member.compress_type = zipfile.ZIP_DEFLATED
    member.external_attr = (stat.S_IFREG | 0o644) << 16
    return member


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
    except _BROKEN as error:
        _forget(half)
        why = disk.reason(error) if isinstance(error, OSError) else str(error).rstrip(".")
        raise JobError(f"{file} is no packed job that can be read: {why}.") from error
    return folder


def _forget(half: Path | None) -> None:
    if half is not None:
        shutil.rmtree(half, ignore_errors=True)


def _members(packed: zipfile.ZipFile) -> list[zipfile.ZipInfo]:
    """Return the files of a packed job; raises JobError for what is none."""
    members = [one for one in packed.infolist() if not one.is_dir()]
    names = [one.filename for one in members]
    tops = {name.split("/")[0] for name in names}
    if len(tops) != 1 or f"{min(tops)}/{RECORD}" not in names or min(tops).startswith("."):
        raise JobError("it is no packed job.")
    for one in members:
        mode = one.external_attr >> 16
        is_link = stat.S_IFMT(mode) not in (0, stat.S_IFREG)
        if is_link or one.compress_type not in _KNOWN or not is_plain_name(one.filename):
            raise JobError(f"it holds a file that can't be kept here, {one.filename!a:.60}.")
    if len({name.casefold() for name in names}) != len(names):
        raise JobError("it holds two files of one name.")
    if len(members) > MOST or sum(one.file_size for one in members) > LARGEST:
        raise JobError(f"it would unpack to more than {LARGEST // 2**20} MB or {MOST} files.")
    return members

"""How a job's bytes reach the disk: a line appended and flushed, or a whole file at once.

Everything raises JobError with a sentence, never an OSError: a full disk, a folder that may only
be read, a stick pulled out. What was on the disk before is still there afterwards.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from engine.job.chain import JobError


def reason(error: OSError) -> str:
    """Return why the machine refused, in its own words."""
    return error.strerror or type(error).__name__


def append(file: Path, line: bytes, size: int) -> int:
    """Append a line to a file of ``size`` bytes, flush it to the disk, return the new size.

    What was written of a line that the disk had no room for is taken off again.
    """
    try:
        with file.open("ab", buffering=0) as stream:
            if stream.seek(0, os.SEEK_END) != size:
                raise JobError("Another window wrote in this job meanwhile; open the job again.")
            try:
                _write(stream.fileno(), line)
            except OSError:
                with suppress(OSError):
                    stream.truncate(size)
                raise
    except OSError as error:
        raise JobError(f"The record can't be written: {reason(error)}.") from error
    return size + len(line)


def write(file: Path, raw: bytes) -> None:
    """Write a whole file: all of it is there afterwards, or what was there before."""
    beside = file.with_name(f".{file.name}.part")
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with beside.open("wb", buffering=0) as stream:
            _write(stream.fileno(), raw)
        beside.replace(file)
        settle(file.parent)
    except OSError as error:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
        raise JobError(f"{file.name} can't be written: {reason(error)}.") from error


def set_aside(file: Path, size: int, aside: Path) -> None:
    """Move what a file holds beyond ``size`` bytes to the end of another file."""
    try:
        with file.open("r+b", buffering=0) as stream:
            stream.seek(size)
            rest = stream.readall() or b""
            if rest.strip():
                with aside.open("ab", buffering=0) as kept:
                    _write(kept.fileno(), rest.rstrip(b"\n") + b"\n")
            stream.truncate(size)
            os.fsync(stream.fileno())
    except OSError as error:
        raise JobError(f"The torn line can't be set aside: {reason(error)}.") from error


def settle(folder: Path) -> None:
    """Flush a folder's list of names to the disk, where the system lets a folder be opened."""
    with suppress(OSError):
        number = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(number)
        finally:
            os.close(number)


def _write(number: int, raw: bytes) -> None:
    rest = memoryview(raw)
    while rest:
        rest = rest[os.write(number, rest) :]
    os.fsync(number)

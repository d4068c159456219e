"""Zip files to send and zip files from anywhere: what may be in one, and how one is written.

What is taken in is never trusted: no name may leave a folder, cover another or be one that some
system reads in a way of its own; no link, no password, no more bytes than were said.
"""

from __future__ import annotations

import stat
import zipfile
import zlib
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from engine.job import disk
from engine.job.chain import JobError
from engine.job.naming import is_plain_name

BROKEN = (OSError, zipfile.BadZipFile, RuntimeError, ValueError, EOFError, zlib.error)
"""What the library raises for a file that is damaged, locked with a password, or no zip file."""
_LONG_AGO = (1980, 1, 1, 0, 0, 0)
"""The date on every packed file, so that the same files give the same bytes."""
_KNOWN = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)


def write(target: Path, files: Iterable[tuple[str, bytes]]) -> None:
    """Write files, each with its name, into one; all of it is there afterwards, or nothing.

    Raises JobError for a target that is there already, or that can't be written.
    """
    if target.exists():
        raise JobError(f"{target} is there already; nothing was written.")
    half = target.with_name(f".{target.name}.part")
    try:
        with zipfile.ZipFile(half, "w") as packed:
            for name, raw in files:
                packed.writestr(_member(name), raw)
        half.rename(target)
    except (OSError, JobError) as error:
        with suppress(OSError):
            half.unlink(missing_ok=True)
        if isinstance(error, JobError):
            raise
        raise JobError(f"{target} can't be written: {disk.reason(error)}.") from error


def _member(name: str) -> zipfile.ZipInfo:
    member = zipfile.ZipInfo(name, _LONG_AGO)
    member.compress_type = zipfile.ZIP_DEFLATED
    member.external_attr = (stat.S_IFREG | 0o644) << 16
    return member


def members(
    packed: zipfile.ZipFile, what: str, *, largest: int, most: int
) -> list[zipfile.ZipInfo]:
    """Return the files in a packed job or tree (``what``), all of which lie in one folder.

    Raises JobError for any that can't be kept, and for more files or bytes than may be.
    """
    found = [one for one in packed.infolist() if not one.is_dir()]
    names = [one.filename for one in found]
    tops = {name.split("/")[0] for name in names}
    if len(tops) != 1 or min(tops).startswith("."):
        raise JobError(f"it is no packed {what}.")
    for one in found:
        is_link = stat.S_IFMT(one.external_attr >> 16) not in (0, stat.S_IFREG)
        if is_link or one.compress_type not in _KNOWN or not is_plain_name(one.filename):
            raise JobError(f"it holds a file that can't be kept here, {one.filename!a:.60}.")
    if len({name.casefold() for name in names}) != len(names):
        raise JobError("it holds two files of one name.")
    if len(found) > most or sum(one.file_size for one in found) > largest:
        raise JobError(f"it would unpack to more than {largest // 2**20} MB or {most} files.")
    return found


def why(error: Exception) -> str:
    """Return why a zip file can't be read, in the library's words, without a full stop."""
    return disk.reason(error) if isinstance(error, OSError) else str(error).rstrip(".")

"""Jobs by site, unit, name and date; what a unit's last visit said; one file to send a job in."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from engine.entries import Entry, EntryKind
from engine.job.chain import JobError
from engine.job.store import RECORD, Header, Job, read_job

LARGEST = 512 * 1024 * 1024
"""Bytes that a packed job may unpack to (judgement: a day of pictures)."""


@dataclass(frozen=True, slots=True)
class Listed:
    """A job in a list."""

    folder: Path
    header: Header
    entries: int
    closed: bool
    trees: tuple[str, ...]
    problem: str = ""
    """Why the job can't be read; then nothing else is known of it."""


def find(jobs: Path, words: tuple[str, ...] = ()) -> list[Listed]:
    """Return the jobs that hold every word in site, unit, name, date or id; newest first."""
    found = [_listed(folder) for folder in _folders(jobs)]
    wanted = [word.casefold() for word in words]
    kept = [one for one in found if all(word in _text(one) for word in wanted)]
    return sorted(kept, key=lambda one: (one.header.created, one.folder.name), reverse=True)


def _folders(jobs: Path) -> Iterator[Path]:
    if jobs.is_dir():
        yield from (one.parent for one in sorted(jobs.glob(f"*/{RECORD}")))


def _listed(folder: Path) -> Listed:
    try:
        job = read_job(folder)
    except JobError as error:
        return Listed(folder, Header(folder.name, "", ""), 0, False, (), str(error))
    trees = dict.fromkeys(one.tree for one in job.entries if one.tree)
    return Listed(folder, job.header, len(job.entries), job.closed, tuple(trees))


def _text(one: Listed) -> str:
    header = one.header
    words = (header.id, header.site, header.unit, header.by, header.created, header.firm)
    return " ".join((*words, *one.trees)).casefold()


def last_visit(jobs: Path, site: str, unit: str, besides: Path | None = None) -> Job | None:
    """Return the latest job at the same site and unit but ``besides``, or None; case counts not."""
    if not unit:
        return None
    for one in find(jobs):
        same = (one.header.site.casefold(), one.header.unit.casefold())
        if one.problem or one.folder == besides:
            continue
        if same == (site.casefold(), unit.casefold()):
            return read_job(one.folder)
    return None


def nameplate_of(job: Job) -> dict[str, Entry]:
    """Return the latest nameplate entry by field: to be offered again, never taken as answers."""
    struck = {one.of for one in job.entries if one.of}
    return {
        one.outcome: one
        for one in job.entries
        if one.kind is EntryKind.NAMEPLATE and one.n not in struck
    }


def pack(folder: Path, target: Path) -> None:
    """Write a whole job into one file; raises JobError where it can't be read or written."""
    read_job(folder)
    try:
        with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as packed:
            for path in sorted(folder.rglob("*")):
                if path.is_file():
                    packed.write(path, PurePosixPath(folder.name, *path.relative_to(folder).parts))
    except OSError as error:
        raise JobError(f"{target} can't be written: {error.strerror}.") from error


def unpack(file: Path, jobs: Path) -> Path:
    """Put a packed job among the others and return its folder.

    Raises JobError for a file that is no packed job, for names that would leave the folder, for
    one that is too large, and where a job of that name is there already.
    """
    try:
        with zipfile.ZipFile(file) as packed:
            members = [one for one in packed.infolist() if not one.is_dir()]
            folder = jobs / _one_folder(members, file)
            if folder.exists():
                raise JobError(f"{folder.name} is here already; nothing was changed.")
            for one in members:
                target = jobs.joinpath(*PurePosixPath(one.filename).parts)
                target.parent.mkdir(parents=True, exist_ok=True)
                target.write_bytes(packed.read(one))
    except (OSError, zipfile.BadZipFile) as error:
        raise JobError(f"{file} is not a packed job: {error}.") from error
    read_job(folder)
    return folder


def _one_folder(members: list[zipfile.ZipInfo], file: Path) -> str:
    names = [PurePosixPath(one.filename) for one in members]
    tops = {name.parts[0] for name in names if name.parts}
    wild = any(name.is_absolute() or ".." in name.parts or ":" in str(name) for name in names)
    if len(tops) != 1 or wild or not any(name.name == RECORD for name in names):
        raise JobError(f"{file} is not a packed job.")
    if sum(one.file_size for one in members) > LARGEST:
        raise JobError(f"{file} would unpack to more than {LARGEST // 2**20} MB.")
    return tops.pop()

"""A job's folder: made once, appended to, never rewritten.

``record.jsonl`` holds a header line and one line an entry, each written and flushed to the disk
before the screen moves on. Beside it lie the tree's own files as they were (``trees/DIGEST/``),
the pictures, and after closing the report. A line torn by a crash is set aside and said, never
silently dropped; a record that is not as it was written can be read, and nothing is added to it.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass, fields, replace
from datetime import datetime
from pathlib import Path

from engine.entries import Entry, EntryKind, FileSeal
from engine.job import disk
from engine.job.chain import (
    BEGINNING,
    FORMAT,
    JobError,
    Line,
    Lines,
    content_of,
    last_hash,
    read_lines,
    sealed,
    unsound,
)
from engine.job.naming import is_plain_name, slug
from engine.reading import visible

RECORD = "record.jsonl"
TORN = "torn.txt"
AFTER_CLOSING = frozenset({EntryKind.ADDENDUM})
"""All that may be added to a job that is closed."""
JOB = "halfsplit job"
"""What the first line of a record says that it is."""
_SHOWN = 80
"""Characters of a torn line that are shown; all of it is in `TORN`."""


@dataclass(frozen=True, slots=True)
class Header:
    """Who, where and what: the first line of a record."""

    id: str
    created: str
    by: str = ""
    site: str = ""
    unit: str = ""
    said: str = ""
    """What the customer said."""
    customer: str = ""
    """Who called."""
    firm: str = ""
    licence: str = ""
    meter: str = ""
    deference: str = ""
    """The sentence shown at job start."""


@dataclass
class Job:
    """An open job: its header, its entries so far, and the place to append to."""

    folder: Path
    header: Header
    entries: list[Entry]
    last_hash: str
    size: int
    torn: str = ""
    """What was found of a line that a crash had cut off, as far as it can be shown."""
    unsound: tuple[str, ...] = ()
    """What does not fit in the chain of lines."""

    @property
    def closed(self) -> bool:
        """True once the report is frozen."""
        return any(one.kind is EntryKind.CLOSE for one in self.entries)

    def append(self, entry: Entry) -> None:
        """Write an entry to the disk; raises JobError where it may not be or can't be written.

        When this returns, the line is on the disk: a crash after it loses nothing.
        """
        if self.unsound:
            raise JobError(f"Nothing is added to a record that was changed: {self.unsound[0]}")
        if self.closed and entry.kind not in AFTER_CLOSING:
            raise JobError("This job is closed; only an addendum can be added.")
        if entry.n != len(self.entries) + 1:
            raise JobError(f"Entry {entry.n} is out of order; the record was changed meanwhile.")
        line, own = sealed(self.last_hash, entry.as_json())
        kept = _as_read_back(line)
        self.size = disk.append(self.folder / RECORD, line, self.size)
        self.last_hash = own
        self.entries.append(kept)

    def keep_photo(self, picture: Path, n: int) -> FileSeal:
        """Copy a picture into the job and return its place there; raises JobError if it can't."""
        ending = re.sub(r"[^.a-z0-9]", "", picture.suffix.lower())
        name = f"photos/{n:03}-{slug(picture.stem) or 'photo'}{ending}"
        try:
            raw = picture.read_bytes()
        except (OSError, ValueError) as error:
            why = disk.reason(error) if isinstance(error, OSError) else "that is no file's name"
            raise JobError(f"{picture} can't be copied: {why}.") from error
        disk.write(self.folder / name, raw)
        return seal(name, raw)

    def keep_tree(self, digest: str, files: Mapping[str, bytes]) -> None:
        """Keep a tree's own files, so that this job is walked as it was begun.

        They are all there, or none is; a tree kept already stays as it is.
        """
        folder = self.kept_tree(digest)
        if folder.is_dir():
            return
        half = folder.with_name(f".{folder.name}.part")
        for name, raw in files.items():
            if not is_plain_name(name):
                raise JobError(f"A tree's file can't be kept under the name {visible(name)}.")
            disk.write(half / name, raw)
        try:
            half.mkdir(parents=True, exist_ok=True)
            half.rename(folder)
        except OSError as error:
            raise JobError(f"The tree's files can't be kept: {disk.reason(error)}.") from error

    def kept_tree(self, digest: str) -> Path:
        """Return the folder that holds the files kept of a tree."""
        return self.folder / "trees" / digest[:16]


def seal(name: str, raw: bytes) -> FileSeal:
    """Return what tells whether a file is still as it was."""
    return FileSeal(name, hashlib.sha256(raw).hexdigest())


def _as_read_back(line: bytes) -> Entry:
    """Return the entry as it will be read; what could not be read back is never written."""
    content = content_of(line) or {}
    content.pop("hash", "")
    try:
        return Entry.from_json(content)
    except ValueError as error:
        raise JobError(f"This can't be kept: {error}.") from error


def create(jobs: Path, header: Header) -> Job:
    """Make a new job's folder under ``jobs`` and return it open; its id is made unique."""
    stem = "-".join((header.created[:10], slug(header.site) or "job", slug(header.unit)))
    folder = _new_folder(jobs, re.sub(r"[^-.A-Za-z0-9]", "", stem).strip("-."))
    header = replace(header, id=folder.name)
    content = {"record": JOB, "format": FORMAT, **_said(header)}
    line, own = sealed(BEGINNING, content)
    size = disk.append(folder / RECORD, line, 0)
    disk.settle(folder)
    disk.settle(jobs)
    return Job(folder, header, [], own, size)


def _new_folder(jobs: Path, stem: str) -> Path:
    try:
        jobs.mkdir(parents=True, exist_ok=True)
        for number in range(1, 10_000):
            folder = jobs / (stem if number == 1 else f"{stem}-{number}")
            with suppress(FileExistsError):
                folder.mkdir()
                return folder
    except OSError as error:
        raise JobError(f"No job can be kept in {jobs}: {disk.reason(error)}.") from error
    raise JobError(f"There are too many jobs called {stem}.")


def _said(header: Header) -> dict[str, object]:
    return {name: value for name, value in asdict(header).items() if value}


def open_job(folder: Path) -> Job:
    """Open a job to go on with; a torn last line is set aside in ``torn.txt``.

    Raises JobError where the record is missing, of a newer format, not a job's, can't be written,
    or is not as it was written: a walk that went on from a changed history could take for locked
    what was not.
    """
    job, lines = _read(folder)
    if job.unsound:
        raise JobError(
            f"{folder.name} can't be gone on with: {job.unsound[0]} "
            "A report can still be made of it; go on in a new job."
        )
    record = folder / RECORD
    if lines.torn or job.size != _size(record):
        disk.set_aside(record, job.size, folder / TORN)
    if not lines.newline:
        job.size = disk.append(record, b"\n", job.size)
    return job


def _size(record: Path) -> int:
    try:
        return record.stat().st_size
    except OSError as error:
        raise JobError(f"The record can't be read: {disk.reason(error)}.") from error


def read_job(folder: Path) -> Job:
    """Return a job as it stands on the disk, changing nothing; raises JobError as `open_job`.

    A record that was changed is read as far as it can be; ``unsound`` tells of it.
    """
    return _read(folder)[0]


def _read(folder: Path) -> tuple[Job, Lines]:
    try:
        raw = (folder / RECORD).read_bytes()
    except OSError as error:
        raise JobError(f"{folder} holds no job that can be read: {disk.reason(error)}.") from error
    lines = read_lines(raw)
    header = _header(folder, lines)
    entries = [_entry(line) for line in lines.whole[1:]]
    job = Job(
        folder,
        header,
        entries,
        last_hash(lines.whole),
        lines.end,
        visible(lines.torn.decode("utf-8", "replace"))[:_SHOWN],
        (*unsound(lines), *_out_of_order(entries)),
    )
    return job, lines


def _header(folder: Path, lines: Lines) -> Header:
    first = lines.whole[0] if lines.whole else None
    if first is None or first.number != 1 or first.content.get("record") != JOB:
        if not lines.whole and lines.torn:
            raise JobError(f"{folder.name} was cut off before anything was entered in it.")
        raise JobError(f"{folder / RECORD} does not begin as a job's record does.")
    names = {field.name for field in fields(Header)}
    values = {name: str(value) for name, value in first.content.items() if name in names}
    try:
        return Header(**values)
    except TypeError as error:
        raise JobError("The record's first line does not say whose job it is.") from error


def read_header(folder: Path) -> Header:
    """Return the first line of a job's record and read no more of it; raises JobError."""
    try:
        with (folder / RECORD).open("rb") as record:
            return _header(folder, read_lines(record.readline()))
    except OSError as error:
        raise JobError(f"{folder} holds no job that can be read: {disk.reason(error)}.") from error


def _entry(line: Line) -> Entry:
    try:
        return Entry.from_json(line.content)
    except ValueError as error:
        raise JobError(
            f"Line {line.number} of this record can't be understood: {error}."
        ) from error


def _out_of_order(entries: list[Entry]) -> tuple[str, ...]:
    for place, one in enumerate(entries, 1):
        if one.n != place:
            return (f"Entry {one.n} stands where entry {place} should.",)
    return ()


def now_text(now: datetime) -> str:
    """Return a moment as records write it: ISO 8601 to the second, with the offset from UTC."""
    return now.isoformat(timespec="seconds")

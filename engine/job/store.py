"""A job's folder: made once, appended to, never rewritten.

``record.jsonl`` holds a header line and one line an entry, each written and flushed to the disk
before the screen moves on. Beside it lie the tree's own files as they were (``trees/DIGEST/``),
the pictures, and after closing the report. A line torn by a crash is set aside and said, never
silently dropped.
"""

from __future__ import annotations

import os
import re
import shutil
import unicodedata
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields, replace
from datetime import datetime
from pathlib import Path

from engine.entries import Entry, EntryKind
from engine.job.chain import BEGINNING, FORMAT, JobError, Line, read_lines, sealed, unsound

RECORD = "record.jsonl"
TORN = "torn.txt"
AFTER_CLOSING = frozenset({EntryKind.ADDENDUM})
"""All that may be added to a job that is closed."""


@dataclass(frozen=True, slots=True)
class Header:
    """Who, where and what: the first line of a record."""

    id: str
    created: str
    by: str
    site: str = ""
    unit: str = ""
    said: str = ""
    """What the customer said."""
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
    """What was found of a line that a crash had cut off."""
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
        if self.closed and entry.kind not in AFTER_CLOSING:
            raise JobError("This job is closed; only an addendum can be added.")
        if entry.n != (self.entries[-1].n if self.entries else 0) + 1:
            raise JobError(f"Entry {entry.n} is out of order; the record was changed meanwhile.")
        line, own = sealed(self.last_hash, entry.as_json())
        self.size = _append(self.folder / RECORD, line, self.size)
        self.last_hash = own
        self.entries.append(entry)

    def keep_photo(self, picture: Path, n: int) -> str:
        """Copy a picture into the job and return its name there; raises JobError if it can't."""
        target = self.folder / "photos" / f"{n:03}-{_slug(picture.stem)}{picture.suffix.lower()}"
        try:
            target.parent.mkdir(exist_ok=True)
            shutil.copyfile(picture, target)
        except OSError as error:
            raise JobError(f"{picture} can't be copied: {_reason(error)}.") from error
        return f"photos/{target.name}"

    def keep_tree(self, digest: str, files: Mapping[str, bytes]) -> None:
        """Keep a tree's own files, so that this job is walked as it was begun."""
        folder = self.folder / "trees" / digest[:16]
        for name, raw in files.items():
            target = folder / name
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(raw)

    def kept_tree(self, digest: str) -> Path:
        """Return the folder that holds the files kept of a tree."""
        return self.folder / "trees" / digest[:16]


def _append(record: Path, line: str, size: int) -> int:
    raw = line.encode("utf-8")
    try:
        with record.open("ab") as file:
            if file.tell() != size:
                raise JobError("Another window wrote in this job meanwhile; open it again.")
            file.write(raw)
            file.flush()
            os.fsync(file.fileno())
    except OSError as error:
        raise JobError(f"The record can't be written: {_reason(error)}.") from error
    return size + len(raw)


def create(jobs: Path, header: Header) -> Job:
    """Make a new job's folder under ``jobs`` and return it open; its id is made unique."""
    stem = f"{header.created[:10]}-{_slug(header.site) or 'job'}-{_slug(header.unit)}".strip("-")
    folder = _new_folder(jobs, stem)
    header = replace(header, id=folder.name)
    content = {"record": "halfsplit job", "format": FORMAT, **_said(header)}
    line, own = sealed(BEGINNING, content)
    size = _append(folder / RECORD, line, 0)
    return Job(folder, header, [], own, size)


def _new_folder(jobs: Path, stem: str) -> Path:
    for number in range(1, 10_000):
        folder = jobs / (stem if number == 1 else f"{stem}-{number}")
        try:
            folder.mkdir(parents=True)
        except FileExistsError:
            continue
        except OSError as error:
            raise JobError(f"No job can be kept in {jobs}: {_reason(error)}.") from error
        return folder
    raise JobError(f"There are too many jobs called {stem}.")


def _said(header: Header) -> dict[str, object]:
    return {name: value for name, value in asdict(header).items() if value}


def open_job(folder: Path) -> Job:
    """Open a job to go on with; a torn last line is set aside in ``torn.txt``.

    Raises JobError where the record is missing, of a newer format, or not a job's.
    """
    job = read_job(folder)
    if job.torn:
        record = folder / RECORD
        with (folder / TORN).open("a", encoding="utf-8", newline="\n") as aside:
            aside.write(job.torn + "\n")
        with record.open("r+b") as file:
            file.truncate(job.size)
    return job


def read_job(folder: Path) -> Job:
    """Return a job as it stands on the disk, changing nothing; raises JobError as `open_job`."""
    try:
        raw = (folder / RECORD).read_bytes()
    except OSError as error:
        raise JobError(f"{folder} holds no job that can be read: {_reason(error)}.") from error
    lines, torn = read_lines(raw)
    if not lines or lines[0].content.get("record") != "halfsplit job":
        raise JobError(f"{folder / RECORD} does not begin as a job's record does.")
    return Job(
        folder,
        _header(lines[0]),
        [_entry(line) for line in lines[1:]],
        lines[-1].hash,
        len(raw) - len(torn),
        torn.decode("utf-8", "replace").strip(),
        tuple(unsound(lines)),
    )


def _header(line: Line) -> Header:
    names = {field.name for field in fields(Header)}
    values = {name: str(value) for name, value in line.content.items() if name in names}
    try:
        return Header(**values)
    except TypeError as error:
        raise JobError("The record's first line does not say whose job it is.") from error


def _entry(line: Line) -> Entry:
    try:
        return Entry.from_json(line.content)
    except ValueError as error:
        raise JobError(f"Line {line.number}: {error}") from error


def now_text(now: datetime) -> str:
    """Return a moment as records write it: ISO 8601 to the second, with the offset from UTC."""
    return now.isoformat(timespec="seconds")


def _slug(text: str) -> str:
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii")
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:40]


def _reason(error: OSError) -> str:
    return error.strerror or type(error).__name__

"""Closing a job: its report's pages are frozen, and afterwards there are only addenda."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from datetime import datetime
from pathlib import Path

from engine.entries import Entry, EntryKind, FileSeal
from engine.job import disk
from engine.job.chain import JobError
from engine.job.store import Job, now_text, seal

REPORT = "report"
"""What the frozen pages are called, before their endings."""


def close(job: Job, pages: Mapping[str, bytes], by: str, now: datetime) -> Entry:
    """Freeze a job's report: write its pages (ending → bytes) into the folder, seal them, close.

    Raises JobError where the job is closed already or the disk can't be written; a job is closed
    only once its pages are on the disk.
    """
    if job.closed:
        raise JobError("This job is closed already; only an addendum can be added.")
    seals = []
    for ending, raw in pages.items():
        name = f"{REPORT}.{ending}"
        disk.write(job.folder / name, raw)
        seals.append(seal(name, raw))
    entry = Entry(len(job.entries) + 1, now_text(now), by, EntryKind.CLOSE, files=tuple(seals))
    job.append(entry)
    return entry


def add(job: Job, text: str, by: str, now: datetime) -> Entry:
    """Add something to a closed job; raises JobError where it is not closed or nothing is said."""
    if not job.closed:
        raise JobError("This job is not closed yet; an addendum is for what comes after that.")
    if not text.strip():
        raise JobError("An addendum needs a text.")
    entry = Entry(
        len(job.entries) + 1, now_text(now), by, EntryKind.ADDENDUM, typed=" ".join(text.split())
    )
    job.append(entry)
    return entry


def closing(job: Job) -> Entry | None:
    """Return the entry that closed a job; None while it is open."""
    return next((one for one in job.entries if one.kind is EntryKind.CLOSE), None)


def frozen_page(job: Job, ending: str) -> bytes | None:
    """Return a page as it was frozen; None where there is none or it is not as it was."""
    entry = closing(job)
    for one in entry.files if entry else ():
        if one.name == f"{REPORT}.{ending}" and not wrong_with(job.folder, one):
            return (job.folder / one.name).read_bytes()
    return None


def changed_files(job: Job) -> Iterator[str]:
    """Yield a sentence for every sealed file, a photo or a page, that is not as it was."""
    for entry in job.entries:
        for one in entry.files:
            wrong = wrong_with(job.folder, one)
            if wrong:
                yield wrong


def wrong_with(folder: Path, file: FileSeal) -> str:
    """Return what is wrong with a sealed file in a sentence; empty where nothing is."""
    try:
        raw = (folder / file.name).read_bytes()
    except (OSError, ValueError):
        return f"{file.name} is missing, or can't be read."
    same = hashlib.sha256(raw).hexdigest() == file.sha256
    return "" if same else f"{file.name} is not as it was kept."

"""Jobs with plain entries, for tests that care about the record and not about the walk."""

from __future__ import annotations

from pathlib import Path

from engine.entries import Entry, EntryKind, Said
from engine.job.store import RECORD, Header, Job, create

AT_NINE = "2026-03-14T09:00:00-05:00"
HEADER = Header("", AT_NINE, "Dana Ortiz", site="Elm Street Library", unit="RTU-2")


def note(n: int, text: str = "", time: str = AT_NINE) -> Entry:
    """Return the n-th entry: a note."""
    return Entry(n, time, "Dana Ortiz", EntryKind.NOTE, typed=text or f"note {n}, 24 °C")


def reading(n: int) -> Entry:
    """Return the n-th entry: an answer with two readings, one of them no number."""
    said = (
        Said("pairs", "L1-L2", "208", "voltage", "1", "3", "208", "V"),
        Said("pairs", "L2-L3", "OL", "", typed="OL"),
    )
    return Entry(
        n,
        AT_NINE,
        "Dana Ortiz",
        EntryKind.ANSWER,
        step="supply",
        typed="208 OL",
        said=said,
        window=("below 187.2 V: too low", "187.2 to 253 V: within 10 %"),
        outcome="up to most",
        verdict="within 10 %",
        title="Supply at the disconnect",
        source="standard: 10 %",
        tree="fan-stopped",
        revision=3,
    )


def job_with(jobs: Path, entries: int = 3, header: Header = HEADER) -> Job:
    """Return a new job with so many entries in it."""
    job = create(jobs, header)
    for n in range(1, entries + 1):
        job.append(reading(n) if n % 3 == 2 else note(n))
    return job


def raw_of(job: Job) -> bytes:
    """Return the bytes of a job's record."""
    return (job.folder / RECORD).read_bytes()


def rewrite(job: Job, raw: bytes) -> None:
    """Put other bytes in the place of a job's record."""
    (job.folder / RECORD).write_bytes(raw)

"""Whether a job is as it was written: its lines, its photos, its trees, its frozen pages."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from engine.job.chain import JobError
from engine.job.closing import changed_files
from engine.job.kept import kept_files, passages
from engine.job.store import Job, read_job


def problems_of(folder: Path) -> tuple[str, ...]:
    """Return a sentence for everything in a job that is not as it was written; empty if nothing."""
    try:
        job = read_job(folder)
    except JobError as error:
        return (str(error),)
    return tuple(_problems(job))


def _problems(job: Job) -> Iterator[str]:
    yield from job.unsound
    if job.torn:
        yield "The last line was cut off; it is set aside when the job is gone on with."
    yield from changed_files(job)
    for passage in passages(job):
        try:
            kept_files(job, passage)
        except JobError as error:
            yield str(error)

"""The beginning and the end of a job at the command line."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timezone
from pathlib import Path
from typing import TextIO

from engine.cli.plain import Ask, say
from engine.guide.visit import Visit, walk_entries
from engine.job.finding import find, last_visit
from engine.job.store import Header, Job, create, now_text, open_job
from engine.loader.library import Loaded
from engine.safe_words import DEFERENCE
from engine.session.folding import fold


def clock() -> datetime:
    """Return the moment now, with the offset from UTC that records are kept in."""
    return datetime.now(timezone.utc).astimezone()


def ask_header(ask: Ask, out: TextIO, now: datetime, by: str, meter: str) -> Header:
    """Ask who, where and what; Enter alone skips any of them."""
    say(out, [DEFERENCE, "", "Enter alone skips a question."])
    by = by or ask("Your name").strip()
    site = ask("Site").strip()
    unit = ask("Unit").strip()
    said = ask("What the customer says").strip()
    return Header(
        id="",
        created=now_text(now),
        by=by,
        site=site,
        unit=unit,
        said=said,
        meter=meter,
        deference=DEFERENCE,
    )


def new_job(jobs: Path, header: Header, loaded: Loaded) -> Job:
    """Make a job and keep the tree's own files in it."""
    job = create(jobs, header)
    job.keep_tree(loaded.digest, loaded.files)
    return job


def unfinished(jobs: Path, loaded: Loaded) -> Job | None:
    """Return the latest job whose walk in this tree was left before its end; None if none."""
    assert loaded.walk is not None
    for listed in find(jobs):
        if listed.closed or listed.problem or loaded.walk.tree.name not in listed.trees:
            continue
        job = open_job(listed.folder)
        state = fold(loaded.walk, walk_entries(job, loaded.walk))
        if not state.end:
            return job
    return None


def visit_for(
    job: Job, loaded: Loaded, jobs: Path, now: Callable[[], datetime], by: str, meter: str
) -> Visit:
    """Return the visit of a job, with the unit's last one beside it."""
    assert loaded.walk is not None
    last = last_visit(jobs, job.header.site, job.header.unit, besides=job.folder)
    return Visit(job, loaded.walk, now, by or job.header.by, meter or job.header.meter, last)

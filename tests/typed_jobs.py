"""Jobs for tests: a small library's roof unit, walked by typing lines at a fixed time.

The shelf in ``tests/data/shelf`` has a tree and procedures of its own, so that what is shipped
can change without changing a golden report.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime, timedelta, timezone
from functools import cache
from pathlib import Path

from engine.guide.visit import Visit
from engine.job.store import Header, Job, create, now_text
from engine.loader.library import Loaded, load_kept
from engine.safe_words import DEFERENCE

SHELF = Path(__file__).parent / "data" / "shelf"
TREE = "fan-stopped"
NINE = datetime(2026, 3, 14, 9, 0, tzinfo=timezone(timedelta(hours=-5)))
"""A Saturday in March; it could be any day."""
DANA = "Dana Ortiz"
HEADER = Header(
    id="",
    created=now_text(NINE),
    by=DANA,
    site="Elm Street Library",
    unit="RTU-2",
    said="The reading room is warm and the fan on the roof only hums.",
    customer="June Abara, librarian",
    firm="Fieldside Cooling",
    licence="C-0000",
    meter="",
    deference=DEFERENCE,
)

TO_THE_CAPACITOR = (
    "1",  # fit to work
    "2",  # filters loaded: noted
    "3",  # phases
    "208-230",
    "",  # disconnect box open
    "208 209 207",
    "",  # shut again
    "1",  # it hums
    "7.5",
    "",  # tolerance as usual
    "1",  # one feed, nobody else
    "",  # off
    "",  # locked
    "1",  # stays still
    "",  # control box open
    "120 0 0 0 0 0 0 120",
    "0 0 0 0",
)
PUT_BACK = (
    "",  # control box shut
    "",  # people and tools clear
    "",  # lock off
    "1",  # holds
    "1",  # the fan turns
    "",  # disconnect box open
    "207 208 206",
    "",  # shut again
    "1",  # runs on
    "",  # told
)
MADE_SAFE = (
    "",  # control box shut
    "",  # clear
    "",  # lock off
    "",  # clear
    "",  # off
    "",  # tagged
    "",  # told
)
REPAIRED = (*TO_THE_CAPACITOR, "4.1", "1", *PUT_BACK)
"""A weak capacitor, replaced; the unit runs again."""
LEFT_OPEN = (*TO_THE_CAPACITOR, "4.1", "2", *MADE_SAFE)
"""A weak capacitor, not replaced on this visit."""


@cache
def loaded() -> Loaded:
    """Return the tree of the shelf."""
    return load_kept(TREE, SHELF)


def ticking(start: datetime = NINE, seconds: int = 40) -> Callable[[], datetime]:
    """Return a clock that moves on by so much whenever it is looked at."""
    moments = (start + timedelta(seconds=seconds * n) for n in range(1, 100_000))
    return lambda: next(moments)


def new_job(jobs: Path, header: Header = HEADER) -> Job:
    """Return a job in which nothing is entered yet."""
    job = create(jobs, header)
    job.keep_tree(loaded().digest, loaded().files)
    return job


def visit(job: Job, clock: Callable[[], datetime] | None = None, by: str = DANA) -> Visit:
    """Return the walk of a job in the shelf's tree, begun or gone on with."""
    walk = loaded().walk
    assert walk is not None
    going = Visit(job, walk, clock or ticking(), by, "")
    going.begin()
    return going


def typed(job: Job, lines: Iterable[str], clock: Callable[[], datetime] | None = None) -> Visit:
    """Type lines at a job's walk; every one of them must be taken."""
    going = visit(job, clock)
    for line in lines:
        shown = going.enter(line)
        assert not shown.refused, (line, shown.refused)
    return going


def walked(jobs: Path, lines: Iterable[str] = REPAIRED, header: Header = HEADER) -> Job:
    """Return a new job with these lines typed."""
    job = new_job(jobs, header)
    typed(job, lines)
    return job

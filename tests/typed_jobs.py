"""Jobs for tests: a small library's roof unit, walked by typing lines at a fixed time.

The shelf in ``tests/data/shelf`` has a tree and procedures of its own, so that what is shipped
can change without changing a golden report.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from engine.guide.visit import Visit
from engine.job.store import RECORD, Header, Job, create, now_text, open_job
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
    "done",  # disconnect box open
    "208 209 207",
    "done",  # shut again
    "1",  # it hums
    "7.5",
    "",  # tolerance as usual
    "1",  # one feed, nobody else
    "done",  # off
    "done",  # locked
    "1",  # stays still
    "done",  # control box open
    "120 0 0 0 0 0 0 120",
    "0 0 0 0",
)
PUT_BACK = (
    "done",  # control box shut
    "done",  # people and tools clear
    "done",  # lock off
    "1",  # holds
    "1",  # the fan turns
    "done",  # disconnect box open
    "207 208 206",
    "done",  # shut again
    "1",  # runs on
    "done",  # told
)
MADE_SAFE = (
    "done",  # control box shut
    "done",  # clear
    "done",  # lock off
    "done",  # off
    "done",  # tagged
    "done",  # told
)
REPAIRED = (*TO_THE_CAPACITOR, "4.1", "1", *PUT_BACK)
"""A weak capacitor, replaced; the unit runs again."""
LEFT_OPEN = (*TO_THE_CAPACITOR, "4.1", "2", *MADE_SAFE)
"""A weak capacitor, not replaced on this visit."""


@cache
def loaded() -> Loaded:
    """Return the tree of the shelf."""
    return load_kept(TREE, SHELF)


@dataclass
class Watch:
    """A clock that stands still until it is moved on."""

    now: datetime = NINE

    def __call__(self) -> datetime:
        """Return the time it shows."""
        return self.now

    def moved_on(self, seconds: int = 40) -> None:
        """Let so much time pass."""
        self.now += timedelta(seconds=seconds)


def new_job(jobs: Path, header: Header = HEADER, tree: Loaded | None = None) -> Job:
    """Return a job in which nothing is entered yet."""
    tree = tree or loaded()
    job = create(jobs, header)
    job.keep_tree(tree.digest, tree.files)
    return job


def visit(
    job: Job, watch: Watch | None = None, by: str = DANA, tree: Loaded | None = None
) -> Visit:
    """Return the walk of a job in a tree, the shelf's if none is given, begun or gone on with."""
    walk = (tree or loaded()).walk
    assert walk is not None
    going = Visit(job, walk, watch or Watch(), by, "")
    going.begin()
    return going


def typed(job: Job, lines: Iterable[str], watch: Watch | None = None, by: str = DANA) -> Visit:
    """Type lines at a job's walk, one every 40 seconds; every one of them must be taken."""
    watch = watch or Watch()
    going = visit(job, watch, by)
    for line in lines:
        watch.moved_on()
        shown = going.enter(line)
        assert not shown.refused, (line, shown.refused)
    return going


def walked(jobs: Path, lines: Iterable[str] = REPAIRED, header: Header = HEADER) -> Job:
    """Return a new job with these lines typed."""
    lines = tuple(lines)
    job = new_job(jobs, header)
    if any(line.startswith("p ") for line in lines):
        typed(job, lines)
        return job
    name, raw = _record(lines, header)
    if name != job.folder.name:
        typed(job, lines)
        return job
    (job.folder / RECORD).write_bytes(raw)
    return open_job(job.folder)


@cache
def _record(lines: tuple[str, ...], header: Header) -> tuple[str, bytes]:
    """Return the id and the record of a job with these lines typed; each is typed once."""
    with TemporaryDirectory() as folder:
        job = new_job(Path(folder), header)
        typed(job, lines)
        return job.folder.name, (job.folder / RECORD).read_bytes()

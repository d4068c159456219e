"""Jobs by site, unit, name and date, and what a unit's last visit said."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from engine.entries import Entry, EntryKind
from engine.job.chain import JobError, content_of
from engine.job.store import RECORD, Header, Job, read_header, read_job


@dataclass(frozen=True, slots=True)
class Listed:
    """A job in a list."""

    folder: Path
    header: Header
    entries: int
    closed: bool
    trees: tuple[str, ...]
    people: tuple[str, ...] = ()
    """Everybody who entered something."""
    problem: str = ""
    """Why the job can't be read; then nothing else is known of it."""


def find(jobs: Path, words: tuple[str, ...] = ()) -> list[Listed]:
    """Return the jobs that hold every word in site, unit, name, date or id; newest first.

    A list is a glance: whether the lines are as they were written is for *verify* to say.
    """
    found = [listed(folder) for folder in _folders(jobs)]
    wanted = [word.casefold() for word in words]
    kept = [one for one in found if all(word in _text(one) for word in wanted)]
    return sorted(kept, key=lambda one: (one.header.created, one.folder.name), reverse=True)


def _folders(jobs: Path) -> Iterator[Path]:
    if jobs.is_dir():
        folders = (record.parent for record in jobs.glob(f"*/{RECORD}"))
        yield from sorted(one for one in folders if not one.name.startswith("."))


def listed(folder: Path) -> Listed:
    """Return a job as a list shows it."""
    try:
        header = read_header(folder)
        raw = (folder / RECORD).read_bytes()
    except JobError as error:
        return Listed(folder, Header(folder.name, "", ""), 0, False, (), problem=str(error))
    except OSError as error:
        why = f"It can't be read: {error.strerror}."
        return Listed(folder, Header(folder.name, "", ""), 0, False, (), problem=why)
    contents = [one for one in map(content_of, raw.split(b"\n")[1:]) if one is not None]
    return Listed(
        folder,
        header,
        len(contents),
        closed=any(one.get("kind") == EntryKind.CLOSE for one in contents),
        trees=_each(contents, "tree"),
        people=_each(contents, "by"),
    )


def _each(contents: list[dict[str, object]], name: str) -> tuple[str, ...]:
    """Return what the lines hold under a name, each once, in order."""
    return tuple(dict.fromkeys(str(one[name]) for one in contents if one.get(name)))


def _text(one: Listed) -> str:
    header = one.header
    who = (header.by, header.customer, header.firm, *one.people)
    words = (one.folder.name, header.site, header.unit, header.created, *who, *one.trees)
    return " ".join(words).casefold()


def last_visit(jobs: Path, site: str, unit: str, besides: Path | None = None) -> Job | None:
    """Return the latest readable job at the same site and unit but ``besides``, or None.

    Upper and lower case and spaces around make no difference. Only first lines are read on the
    way, so that a job begins as fast after a thousand visits as after one.
    """
    if not unit.strip():
        return None
    wanted = (_plain(site), _plain(unit))
    before = [
        (header.created, folder)
        for folder, header in _headers(jobs)
        if (_plain(header.site), _plain(header.unit)) == wanted and folder != besides
    ]
    for _, folder in sorted(before, reverse=True):
        try:
            job = read_job(folder)
        except JobError:
            continue
        if job.entries:
            return job
    return None


def _headers(jobs: Path) -> Iterator[tuple[Path, Header]]:
    for folder in _folders(jobs):
        try:
            yield folder, read_header(folder)
        except JobError:
            continue


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())


def nameplate_of(job: Job) -> dict[str, Entry]:
    """Return the latest nameplate entry by field: to be offered again, never taken as answers."""
    replaced = {one.of for one in job.entries if one.of}
    return {
        one.outcome: one
        for one in job.entries
        if one.kind is EntryKind.NAMEPLATE and one.n not in replaced
    }

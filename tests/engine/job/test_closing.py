"""Closing a job freezes its pages; afterwards there are only addenda."""

from __future__ import annotations

import errno
import hashlib
import os
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from engine.entries import EntryKind
from engine.job.chain import JobError
from engine.job.closing import add, changed_files, close, closing, frozen_page
from engine.job.store import Job, open_job
from engine.job.verifying import problems_of
from tests.engine.job.made import job_with, note, raw_of
from tests.typed_jobs import loaded, walked

NOON = datetime(2026, 3, 14, 12, 0, tzinfo=timezone(timedelta(hours=-5)))
PAGES = {"md": "# Fan, 24 °C\n".encode(), "html": b"<!DOCTYPE html>\n"}


@pytest.fixture
def closed(tmp_path: Path) -> Job:
    job = job_with(tmp_path, 2)
    close(job, PAGES, "Dana Ortiz", NOON)
    return job


def test_pages_and_their_hashes_are_kept(closed: Job) -> None:
    entry = closing(open_job(closed.folder))
    assert entry is not None
    assert (entry.kind, entry.by, entry.time) == (
        EntryKind.CLOSE,
        "Dana Ortiz",
        "2026-03-14T12:00:00-05:00",
    )
    assert {one.name: one.sha256 for one in entry.files} == {
        f"report.{ending}": hashlib.sha256(raw).hexdigest() for ending, raw in PAGES.items()
    }
    for ending, raw in PAGES.items():
        assert frozen_page(closed, ending) == raw
    assert frozen_page(closed, "pdf") is None


def test_only_an_addendum_can_be_added_afterwards(closed: Job) -> None:
    again = open_job(closed.folder)
    assert again.closed
    for entry in (note(4), closing(again)):
        assert entry is not None
        with pytest.raises(JobError, match="only an addendum can be added"):
            again.append(entry)
    with pytest.raises(JobError, match="closed already"):
        close(again, PAGES, "Dana Ortiz", NOON)
    kept = add(again, "  The part came in:\n fitted. ", "Sam Roe", NOON)
    assert kept.typed == "The part came in: fitted."
    assert open_job(closed.folder).entries[-1] == kept
    assert frozen_page(closed, "md") == PAGES["md"]


def test_an_addendum_wants_a_closed_job_and_a_text(closed: Job, tmp_path: Path) -> None:
    with pytest.raises(JobError, match="not closed yet"):
        add(job_with(tmp_path / "more", 1), "Something.", "Dana", NOON)
    with pytest.raises(JobError, match="needs a text"):
        add(closed, " \n", "Dana", NOON)


def test_a_job_is_closed_only_once_its_pages_are_on_the_disk(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = job_with(tmp_path, 1)
    before = raw_of(job)

    def full(number: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as disk:
        disk.setattr(os, "fsync", full)
        with pytest.raises(JobError, match=r"report\.md can't be written: No space left"):
            close(job, PAGES, "Dana", NOON)
    assert raw_of(job) == before
    assert not job.closed
    close(job, PAGES, "Dana", NOON)
    assert not list(changed_files(job))


def test_verifying_finds_a_changed_or_missing_page_and_photo(closed: Job, tmp_path: Path) -> None:
    assert problems_of(closed.folder) == ()
    page = closed.folder / "report.html"
    page.write_bytes(page.read_bytes() + b" ")
    assert problems_of(closed.folder) == ("report.html is not as it was kept.",)
    assert frozen_page(closed, "html") is None
    page.unlink()
    assert problems_of(closed.folder) == ("report.html is missing, or can't be read.",)


def test_verifying_finds_everything_that_is_not_as_it_was(tmp_path: Path) -> None:
    picture = tmp_path / "plate.jpg"
    picture.write_bytes(b"\xff\xd8 a plate")
    job = walked(tmp_path / "jobs", ["1", f"p {picture}"])
    photo = job.entries[-1]
    assert (photo.kind, photo.typed) == (EntryKind.PHOTO, photo.files[0].name)
    assert problems_of(job.folder) == ()
    (job.folder / photo.typed).write_bytes(b"\xff\xd8 another")
    kept = job.kept_tree(loaded().digest) / "fan-stopped.yaml"
    kept.write_bytes(kept.read_bytes().replace(b"10 %", b"90 %"))
    record = job.folder / "record.jsonl"
    record.write_bytes(record.read_bytes().replace(b"Dana Ortiz", b"Dana Ortez", 3) + b"torn")
    found = problems_of(job.folder)
    assert [line for line in found if line.startswith("Line ")]
    assert "The last line was cut off; it is set aside when the job is gone on with." in found
    assert f"{photo.typed} is not as it was kept." in found
    assert "The files of fan-stopped kept in this job are not as they were kept." in found
    (job.folder / "record.jsonl").write_bytes(b"")
    [line] = problems_of(job.folder)
    assert "does not begin as a job's record does" in line

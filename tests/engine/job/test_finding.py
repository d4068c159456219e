"""Jobs found by site, unit, name and date; a unit's last visit."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from engine.entries import Entry, EntryKind
from engine.job.finding import Listed, find, last_visit, nameplate_of
from engine.job.store import RECORD, Header, Job
from tests.engine.job.made import HEADER, job_with, note, raw_of, rewrite

ELM = HEADER
OAK = Header("", "2026-05-02T13:00:00-05:00", "Sam Roe", site="Oak Hall", unit="RTU-1")
LATER = replace(ELM, created="2026-06-20T08:00:00-05:00", by="Sam Roe", customer="June Abara")


@pytest.fixture
def jobs(tmp_path: Path) -> Path:
    for header in (ELM, OAK, LATER):
        job_with(tmp_path, 2, header)
    return tmp_path


def names(found: list[Listed]) -> list[str]:
    return [one.folder.name for one in found]


def test_all_jobs_newest_first(jobs: Path) -> None:
    assert names(find(jobs)) == [
        "2026-06-20-elm-street-library-rtu-2",
        "2026-05-02-oak-hall-rtu-1",
        "2026-03-14-elm-street-library-rtu-2",
    ]


@pytest.mark.parametrize(
    ("words", "dates"),
    [
        (("elm",), ["2026-06-20", "2026-03-14"]),
        (("STREET", "rtu-2"), ["2026-06-20", "2026-03-14"]),
        (("rtu-1",), ["2026-05-02"]),
        (("sam", "roe"), ["2026-06-20", "2026-05-02"]),
        (("abara",), ["2026-06-20"]),
        (("2026-05",), ["2026-05-02"]),
        (("oak", "2026-03"), []),
        (("ortiz",), ["2026-06-20", "2026-05-02", "2026-03-14"]),  # wrote the entries of each
    ],
)
def test_by_site_unit_name_and_date(jobs: Path, words: tuple[str, ...], dates: list[str]) -> None:
    assert [one.header.created[:10] for one in find(jobs, words)] == dates


def test_a_list_tells_how_far_a_job_is(jobs: Path) -> None:
    job = job_with(jobs, 0, Header("", "2026-07-01T08:00:00-05:00", "Dana", site="Elm"))
    walk = Entry(1, "2026-07-01T08:00:00-05:00", "Dana", EntryKind.WALK, tree="fan", revision=1)
    job.append(walk)
    job.append(Entry(2, "2026-07-01T08:00:00-05:00", "Kim", EntryKind.CLOSE))
    newest = find(jobs)[0]
    assert (newest.entries, newest.closed, newest.trees) == (2, True, ("fan",))
    assert newest.people == ("Dana", "Kim")


def test_a_job_that_can_not_be_read_is_listed_with_its_reason(jobs: Path) -> None:
    folder = jobs / "2026-03-14-elm-street-library-rtu-2"
    (folder / RECORD).write_bytes(b"not a record\n")
    listed = next(one for one in find(jobs) if one.folder == folder)
    assert "cut off before" in listed.problem
    assert find(jobs, ("2026-03-14",)) == [listed]


def test_files_and_folders_that_are_no_jobs_are_passed_over(jobs: Path) -> None:
    (jobs / "notes.txt").write_text("mine", encoding="utf-8")
    (jobs / "empty").mkdir()
    (jobs / ".half.part").mkdir()
    (jobs / ".half.part" / RECORD).write_bytes(b"")
    assert len(find(jobs)) == 3
    assert find(jobs / "nowhere") == []


# --- a unit seen before ---------------------------------------------------------------------------


def test_the_last_visit_is_the_latest_at_the_same_unit(jobs: Path) -> None:
    last = last_visit(jobs, " elm street  LIBRARY", "rtu-2 ")
    assert last is not None
    assert last.header.created == LATER.created
    before = last_visit(jobs, ELM.site, ELM.unit, besides=last.folder)
    assert before is not None
    assert before.header.created == ELM.created


@pytest.mark.parametrize(("site", "unit"), [("Elm Street Library", ""), ("Oak Hall", "RTU-2")])
def test_another_unit_has_no_last_visit(jobs: Path, site: str, unit: str) -> None:
    assert last_visit(jobs, site, unit) is None


def test_a_damaged_or_empty_last_visit_gives_way_to_the_one_before(jobs: Path) -> None:
    newest = find(jobs)[0].folder
    raw = (newest / RECORD).read_bytes()
    (newest / RECORD).write_bytes(raw.replace(b'"kind":"note"', b'"kind":"knot"'))
    job_with(jobs, 0, replace(ELM, created="2026-08-01T08:00:00-05:00"))
    last = last_visit(jobs, ELM.site, ELM.unit)
    assert last is not None
    assert last.header.created == ELM.created


def nameplate(job: Job, field: str, typed: str, of: int = 0) -> None:
    entry = note(len(job.entries) + 1, typed)
    job.append(replace(entry, kind=EntryKind.NAMEPLATE, outcome=field, of=of))


def test_the_nameplate_is_what_was_entered_last_and_not_taken_back(tmp_path: Path) -> None:
    job = job_with(tmp_path, 0)
    nameplate(job, "phases", "1")
    nameplate(job, "mca", "30 A")
    nameplate(job, "phases", "3", of=1)
    nameplate(job, "mocp", "50 A")
    strike = replace(note(5), kind=EntryKind.STRIKE, of=4)
    job.append(strike)
    found = nameplate_of(job)
    assert {name: one.typed for name, one in found.items()} == {"phases": "3", "mca": "30 A"}


def test_a_thousand_jobs_do_not_slow_the_next_one_down(tmp_path: Path) -> None:
    # Only first lines are read on the way to a unit's last visit: everything behind them could
    # be anything.
    for n in range(30):
        job = job_with(tmp_path, 1, replace(OAK, unit=f"RTU-{n}"))
        rewrite(job, raw_of(job) + b"\xff" * 100)
    last = last_visit(tmp_path, OAK.site, "RTU-7")
    assert last is not None
    assert last.header.unit == "RTU-7"

"""``halfsplit report``: pages on paper or on a pipe, and a closed job that stays as it was."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from engine.cli.exits import Exit
from engine.cli.report import run
from engine.job.store import Job, open_job
from engine.job.verifying import problems_of
from tests.typed_jobs import DANA, LEFT_OPEN, walked

ROOT = Path(__file__).resolve().parents[3]


@pytest.fixture
def job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Job:
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path / "home"))
    return walked(tmp_path / "home" / "jobs", LEFT_OPEN)


def report(job: Job | str, *words: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    code = run([job if isinstance(job, str) else job.folder.name, *words], out, err)
    return code, out.getvalue(), err.getvalue()


def answer(job: Job) -> Any:
    code, out, err = report(job, "--json")
    assert (code, err) == (Exit.FINE, "")
    return json.loads(out)


def test_markdown_is_the_usual(job: Job) -> None:
    code, out, err = report(job)
    assert (code, err) == (Exit.FINE, "")
    assert out.startswith("# Outdoor fan does not turn: Elm Street Library, RTU-2, 2026-03-14")
    assert report(job, "--markdown") == (code, out, err)
    assert report(job, "--html")[1].startswith("<!DOCTYPE html>\n")


def test_a_file_has_the_form_of_its_ending(job: Job, tmp_path: Path) -> None:
    for name, words, begins in (
        ("r.html", [], b"<!DOCTYPE html>\n"),
        ("r.md", [], b"# Outdoor"),
        ("r.txt", ["--html"], b"<!DOCTYPE html>\n"),
        ("r.htm", ["--markdown"], b"# Outdoor"),
    ):
        file = tmp_path / name
        code, out, err = report(job, "--out", str(file), *words)
        assert (code, out) == (Exit.FINE, "")
        assert err == f"{file} holds the report of {job.folder.name}.\n"
        assert file.read_bytes().startswith(begins)
        assert b"\r" not in file.read_bytes()


def test_json_has_everything_that_the_pages_have(job: Job) -> None:
    found = answer(job)
    assert found["job"] == job.folder.name
    assert (found["closed"], found["frozen"]) == (False, {})
    assert found["closing_code"] == "MADE SAFE / CAUSE FOUND, REPAIR OPEN"
    assert found["readings"][-1]["reading"] == "4.1 uF"
    assert found["readings"][-1]["allowed"][0] == {
        "span": "below 7.05 uF",
        "verdict": "weak",
        "here": True,
    }
    assert found["header"]["site"] == "Elm Street Library"


def test_closing_freezes_both_pages(job: Job) -> None:
    before = {form: report(job, form)[1] for form in ("--markdown", "--html")}
    code, out, err = report(job, "--close", "--by", "Sam Roe")
    assert (code, out) == (Exit.FINE, before["--markdown"])
    assert f"{job.folder.name} is closed; its report is frozen in " in err
    assert (job.folder / "report.md").read_bytes() == before["--markdown"].encode()
    assert (job.folder / "report.html").read_bytes() == before["--html"].encode()
    assert open_job(job.folder).entries[-1].by == "Sam Roe"
    assert set(answer(job)["frozen"]) == {"report.md", "report.html"}
    for form, page in before.items():
        assert report(job, form) == (Exit.FINE, page, "")
    assert report(job, "--close")[0] == Exit.PROBLEMS


def test_after_closing_there_are_only_addenda_and_they_are_shown_as_such(job: Job) -> None:
    assert report(job, "--addendum", "Too early.") == (
        Exit.PROBLEMS,
        "",
        "This job is not closed yet; an addendum is for what comes after that.\n",
    )
    report(job, "--close")
    frozen = (job.folder / "report.md").read_bytes()
    code, out, err = report(job, "--addendum", "The part came in.", "--by", "Sam Roe")
    assert (code, err) == (Exit.FINE, "")
    assert out.startswith(frozen.decode())
    assert "## Addenda, after the closing" in out.removeprefix(frozen.decode())
    assert "Sam Roe: The part came in." in out.removeprefix(frozen.decode())
    assert (job.folder / "report.md").read_bytes() == frozen
    assert "Sam Roe: The part came in." in report(job, "--html")[1]
    assert problems_of(job.folder) == ()
    assert report(job, "--addendum", " ")[2] == "An addendum needs a text.\n"


def test_a_frozen_page_that_was_changed_is_not_shown_as_one(job: Job) -> None:
    report(job, "--close")
    page = job.folder / "report.md"
    page.write_bytes(page.read_bytes().replace(b"4.1 uF", b"7.1 uF"))
    code, out, err = report(job)
    assert (code, err) == (Exit.PROBLEMS, "report.md is not as it was kept.\n")
    assert "4.1 uF" in out
    assert "report.md is not as it was kept." in out


def test_the_tree_as_it_is_now_makes_no_difference(
    job: Job, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = report(job)
    trees = tmp_path / "home" / "trees"
    trees.mkdir()
    (trees / "fan-stopped.yaml").write_text("tree: fan-stopped\n", encoding="utf-8")
    assert report(job) == before


def test_a_job_that_was_changed_is_reported_with_what_was_changed(job: Job) -> None:
    record = job.folder / "record.jsonl"
    record.write_bytes(record.read_bytes().replace(b'"typed":"4.1"', b'"typed":"7.1"'))
    code, out, err = report(job)
    assert code == Exit.PROBLEMS
    assert "is not as it was written" in err
    assert "## Not as it was written" in out
    assert report(job, "--close")[:2] == (Exit.PROBLEMS, "")
    assert not (job.folder / "report.md").exists()


def test_a_job_whose_tree_is_lost_says_so(job: Job) -> None:
    for file in (job.folder / "trees").rglob("*.yaml"):
        file.unlink()
    code, out, err = report(job)
    assert (code, out) == (Exit.PROBLEMS, "")
    assert err == "The files of fan-stopped kept in this job are not as they were kept.\n"


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        ([], Exit.USAGE, "usage: halfsplit report JOB"),
        (["zzz"], Exit.PROBLEMS, "There is no job zzz."),
        (["zzz", "--html", "--json"], Exit.USAGE, "not allowed with argument"),
        (["zzz", "--pdf"], Exit.USAGE, "nrecognized arguments: --pdf"),
    ],
)
def test_what_can_not_be_done_is_told(job: Job, words: list[str], code: int, says: str) -> None:
    out, err = io.StringIO(), io.StringIO()
    assert run(words, out, err) == code
    assert out.getvalue() == ""
    assert says in err.getvalue()


def test_a_file_that_can_not_be_written_says_so(job: Job, tmp_path: Path) -> None:
    (tmp_path / "taken").mkdir()
    code, out, err = report(job, "--out", str(tmp_path / "taken"))
    assert (code, out) == (Exit.PROBLEMS, "")
    assert "taken can't be written: " in err


def test_the_command_itself(job: Job, tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "tui", "report", job.folder.name],
        capture_output=True,
        cwd=ROOT,
        check=False,
    )
    assert (done.returncode, done.stderr) == (Exit.FINE, b"")
    assert done.stdout.decode("utf-8").replace("\r\n", "\n") == report(job)[1]
    assert DANA in done.stdout.decode("utf-8")

"""``halfsplit jobs``: found, verified, packed, taken in; every refusal is a sentence."""

from __future__ import annotations

import io
import json
import subprocess
import sys
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from engine.cli.exits import Exit
from engine.cli.jobs import job_folder, run
from engine.job.chain import JobError
from engine.job.store import RECORD
from tests.engine.job.made import HEADER, job_with
from tests.typed_jobs import LEFT_OPEN, walked

ROOT = Path(__file__).resolve().parents[3]
ELM = "2026-03-14-elm-street-library-rtu-2"
OAK = "2026-05-02-oak-hall-rtu-1"


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    home = tmp_path / "home"
    monkeypatch.setenv("HALFSPLIT_HOME", str(home))
    job_with(home / "jobs", 3)
    oak = replace(
        HEADER, created="2026-05-02T13:00:00-05:00", by="Sam Roe", site="Oak Hall", unit="RTU-1"
    )
    job_with(home / "jobs", 2, oak)
    return home


def jobs(*words: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    code = run(words, out, err)
    return code, out.getvalue(), err.getvalue()


def answer(*words: str) -> Any:
    _, out, err = jobs(*words, "--json")
    assert err == ""
    assert out.count("\n") == 1
    return json.loads(out)


def test_jobs_are_listed_newest_first(home: Path) -> None:
    assert jobs() == (
        Exit.FINE,
        f"{OAK}  Oak Hall, RTU-1  Sam Roe  open\n"
        f"{ELM}  Elm Street Library, RTU-2  Dana Ortiz  open\n",
        "",
    )


@pytest.mark.parametrize(
    ("words", "ids"),
    [
        (["elm"], [ELM]),
        (["RTU-1"], [OAK]),
        (["2026-05"], [OAK]),
        (["sam", "oak"], [OAK]),
        (["x"], []),
    ],
)
def test_jobs_are_found_by_site_unit_name_and_date(
    home: Path, words: list[str], ids: list[str]
) -> None:
    assert [one["job"] for one in answer(*words)["jobs"]] == ids


def test_a_job_as_json(home: Path) -> None:
    [job] = answer("elm")["jobs"]
    assert job == {
        "job": ELM,
        "site": "Elm Street Library",
        "unit": "RTU-2",
        "by": "Dana Ortiz",
        "people": ["Dana Ortiz"],
        "created": "2026-03-14T09:00:00-05:00",
        "trees": ["fan-stopped"],
        "entries": 3,
        "closed": False,
        "problem": None,
    }


def test_where_there_are_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path / "nowhere"))
    assert jobs() == (Exit.FINE, "There are no jobs yet.\n", "")
    assert jobs("verify") == (Exit.FINE, "There are no jobs yet.\n", "")
    assert answer() == {"jobs": []}


def test_no_job_with_those_words(home: Path) -> None:
    assert jobs("elm", "oak") == (Exit.FINE, "No job holds those words.\n", "")


def test_a_sound_job_verifies(home: Path, tmp_path: Path) -> None:
    job = walked(home / "jobs", LEFT_OPEN)
    assert jobs("verify", job.folder.name) == (
        Exit.FINE,
        f"{job.folder.name}: everything is as it was written.\n",
        "",
    )


def _changed(raw: bytes) -> bytes:
    return raw.replace(b"note 1", b"note 9")


def _torn(raw: bytes) -> bytes:
    return raw + b'{"by":'


def _newer(raw: bytes) -> bytes:
    return raw.replace(b'"format":1', b'"format":7')


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (_changed, "Line 2 is not as it was written, or a line before it is missing."),
        (_torn, "The last line was cut off; it is set aside when the job is gone on with."),
        (_newer, "Line 1 of this record has format 7; this version knows 1. "),
        (lambda raw: b"", "does not begin as a job's record does."),
    ],
)
def test_what_was_changed_is_told_and_the_others_are_verified(
    home: Path, change: Callable[[bytes], bytes], says: str
) -> None:
    # The tree that these entries name was never kept; what is told of that is not looked at.
    record = home / "jobs" / ELM / RECORD
    record.write_bytes(change(record.read_bytes()))
    code, out, err = jobs("verify")
    assert (code, err) == (Exit.PROBLEMS, "")
    assert says in out
    assert f"{OAK}: everything is as it was written.\n" in out
    found = {one["job"]: one["problems"] for one in answer("verify")["jobs"]}
    assert found[OAK] == []
    assert any(says in one for one in found[ELM])
    assert jobs()[0] == Exit.FINE


def test_a_job_goes_from_here_to_there(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = str(tmp_path / "sent.zip")
    assert jobs("pack", OAK, file) == (Exit.FINE, f"{file} holds {OAK}.\n", "")
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path / "there"))
    assert jobs("open", file) == (Exit.FINE, f"{OAK} is among your jobs now.\n", "")
    assert [one["job"] for one in answer()["jobs"]] == [OAK]
    code, out, err = jobs("open", file)
    assert (code, out) == (Exit.PROBLEMS, "")
    assert f"{OAK} is here already; nothing was changed." in err


def test_a_changed_job_is_taken_in_and_said_to_be_changed(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record = home / "jobs" / OAK / RECORD
    record.write_bytes(_changed(record.read_bytes()))
    jobs("pack", OAK, str(tmp_path / "sent.zip"))
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path / "there"))
    code, out, _ = jobs("open", str(tmp_path / "sent.zip"))
    assert code == Exit.PROBLEMS
    assert "Line 2 is not as it was written" in out


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["pack"], Exit.USAGE, "usage: halfsplit jobs pack JOB FILE"),
        (["pack", ELM], Exit.USAGE, "usage: halfsplit jobs pack JOB FILE"),
        (["open"], Exit.USAGE, "usage: halfsplit jobs open FILE"),
        (["open", "a", "b"], Exit.USAGE, "usage: halfsplit jobs open FILE"),
        (["open", "nowhere.zip"], Exit.PROBLEMS, "No such file"),
        (["verify", ELM[:-1]], Exit.PROBLEMS, f"Did you mean {ELM}?"),
        (["verify", "zzz"], Exit.PROBLEMS, "halfsplit jobs lists them."),
        (["pack", "..", "x.zip"], Exit.PROBLEMS, "There is no job ..."),
        (["pack", "../jobs", "x.zip"], Exit.PROBLEMS, "There is no job ../jobs."),
        (["--colour"], Exit.USAGE, "usage: halfsplit jobs"),
    ],
)
def test_what_can_not_be_done_is_told(home: Path, words: list[str], code: int, says: str) -> None:
    found, out, err = jobs(*words)
    assert (found, out) == (code, "")
    assert says in err


def test_help_is_no_problem(home: Path) -> None:
    code, out, err = jobs("--help")
    assert (code, err) == (Exit.FINE, "")
    assert "halfsplit jobs verify" in out


def test_a_job_is_named_by_its_folder_and_nothing_else(home: Path) -> None:
    assert job_folder(ELM) == home / "jobs" / ELM
    for name in ("", ".", "..", "/", str(home / "jobs" / ELM), "a\0b"):
        with pytest.raises(JobError, match="There is no job"):
            job_folder(name)


def test_the_command_itself(home: Path, tmp_path: Path) -> None:
    hostile = tmp_path / "bad.zip"
    with zipfile.ZipFile(hostile, "w") as packed:
        packed.writestr("../outside.txt", "x")
    done = subprocess.run(
        [sys.executable, "-m", "tui", "jobs", "open", str(hostile)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        cwd=ROOT,
        check=False,
    )
    assert (done.returncode, done.stdout) == (Exit.PROBLEMS, "")
    assert done.stderr == f"{hostile} was not taken in: it is no packed job.\n"
    assert not (tmp_path / "outside.txt").exists()

"""Beginning a job at the command line: who, where and what; going on with one left open."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import pytest

from engine.cli import places
from engine.cli.exits import Exit
from engine.cli.plain import Ask
from engine.cli.start import walk_a_job
from engine.job.finding import find
from engine.job.store import read_job
from engine.loader.library import Loaded, load


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Keep jobs and settings in a folder of the test's own."""
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path))
    return tmp_path


@pytest.fixture(scope="module")
def tree() -> Loaded:
    """Return a shipped tree."""
    return load("blank-thermostat")


def typing(out: io.StringIO, lines: tuple[str, ...]) -> Ask:
    """Return a way of asking that shows the question and what is typed at it."""
    source: Iterator[str] = iter(lines)

    def ask(wanted: str) -> str:
        line = next(source, None)
        if line is None:
            raise EOFError
        out.write(f"{wanted} > {line}\n")
        return line

    return ask


def walked(loaded: Loaded | None, *lines: str, job: str = "", by: str = "") -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    code = walk_a_job(loaded, job, typing(out, lines), out, err, by=by)
    return code, out.getvalue(), err.getvalue()


HEADER = ("Ana Diaz", "", "Elm Street", "RTU-1", "It is blank")


def test_a_job_begins_with_who_where_and_what(tree: Loaded) -> None:
    code, out, err = walked(tree, *HEADER, "2")
    assert (code, err) == (Exit.FINE, "")
    assert out.startswith("For people trained and authorised for this work; local code")
    (listed,) = find(places.jobs())
    assert (listed.header.by, listed.header.site, listed.header.unit, listed.header.said) == (
        "Ana Diaz",
        "Elm Street",
        "RTU-1",
        "It is blank",
    )
    assert [one.typed for one in read_job(listed.folder).entries[1:]] == ["2"]
    assert f"halfsplit walk --plain --job {listed.folder.name} goes on with it." in out.replace(
        "\n  ", " "
    )


def test_a_name_is_kept_where_that_is_wanted_and_asked_no_more(tree: Loaded) -> None:
    _, out, _ = walked(tree, "Ana Diaz", "Elm Street", "1", "", "", "")
    assert "  elm street\n  ^\n  1 yes, 2 no.\n" in out, "a wrong answer is shown back"
    _, out, _ = walked(tree, "2", "Oak Street", "", "")
    assert "Your name" not in out


def test_a_walk_left_open_is_offered(tree: Loaded) -> None:
    walked(tree, *HEADER, "2", "1")
    _, out, _ = walked(tree, "perhaps", "1", "1")
    assert "A walk in this tree was left before its end: Elm Street, RTU-1" in out
    assert "  perhaps\n  ^\n  1 yes, 2 no.\n" in out
    assert "As reported when you left:" in out
    assert len(find(places.jobs())) == 1
    walked(tree, "2", *HEADER)
    assert len(find(places.jobs())) == 2


def test_a_walk_that_has_ended_is_not_offered(tree: Loaded) -> None:
    _, out, _ = walked(tree, *HEADER, "1", "3", "1")
    assert "End: withdrawn" in out
    _, out, _ = walked(tree, *HEADER)
    assert "was left before its end" not in out


def test_a_job_is_gone_on_with_by_its_name(tree: Loaded) -> None:
    walked(tree, *HEADER, "2")
    (listed,) = find(places.jobs())
    code, out, _ = walked(None, "1", "1", "1", job=listed.folder.name)
    assert code == Exit.FINE
    assert "Look round before you begin" in out


def test_a_job_that_is_not_there_is_said(tree: Loaded) -> None:
    walked(tree, *HEADER)
    code, _, err = walked(None, job="2026-elm")
    assert code == Exit.PROBLEMS
    assert "There is no job 2026-elm." in err


def test_input_that_ends_before_the_job_begins_begins_nothing(tree: Loaded) -> None:
    code, out, _ = walked(tree, "Ana Diaz")
    assert code == Exit.STOPPED
    assert out.endswith("Nothing was begun.\n")
    assert find(places.jobs()) == []

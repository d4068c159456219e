"""The walk line by line, as a terminal shows it: two whole walks kept as text, and odd moments.

The walks are those of a new user: a wrong entry at each kind of question, a correction three steps
back, *can't*, leaving and coming back. ``python -m tests.engine.cli.test_plain`` writes the kept
texts anew, to be read before they are committed.
"""

from __future__ import annotations

import io
import tempfile
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from engine.cli.plain import asker, enter, page, walk_by_lines
from engine.cli.width import WIDTH, say
from engine.guide.prompt import Now
from engine.guide.visit import Visit
from engine.job.store import Header, create, open_job
from engine.session.folding import fold
from tests.engine.session.walking import small
from tests.technician import shipped

GOLDEN = Path(__file__).resolve().parents[2] / "golden" / "plain"
MORNING = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)

TO_FLAT_CELLS = (
    "",  # Enter is no answer to a choice
    "9",  # nor a number that is not there
    "2",
    "1",
    "1",
    "12,5 ohm",  # the wrong unit
    "1,250",  # could be two numbers
    "3",  # too close to call
    "0.2",
    "t",  # a correction three steps back
    "1",
    "1",
    "2",  # what feeds the display, taken back and said again
    "u",
    "1",
    "12",  # outside what a nameplate can say
    "9",
    "1",
    "c",  # can't, and then can after all
    "1",
    "u",
    "7.1",
    "l",
)
AFTER_LUNCH = ("1", "0.3", "1", "1", "1", "1", "", "over", "1", "1", "24.1", "1", "1", "1")

TO_THE_DRAIN = (
    "2", "1", "1", "0.2", "2", "0.1", "1", "1", "1",
    "2", "3", "208-230",  # two is no number of phases
    "1 99", "3 4 5",  # what is fitted: a number too many, then right
    "1", "24.1", "1", "1", "1",
    "", "1",  # Enter alone reports no lock
    "1", "1",
    "120 0 0 0 0 0 0 120 0",  # one reading too many
    "120 0", "0.1 0", "0 0 0 119", "0 0 0", "2.2", "1", "u",
    "OL", "OL", "OL", "1", "1", "1", "1", "1", "1", "1", "", "over", "1", "1", "24", "1", "1", "1",
)  # fmt: skip


class Clock:
    """A clock that goes on ten seconds with every look at it."""

    def __init__(self) -> None:
        self.now = MORNING

    def __call__(self) -> datetime:
        """Return the time."""
        self.now += timedelta(seconds=1)
        return self.now


def begun(folder: Path, clock: Clock) -> Visit:
    job = create(folder, Header("", MORNING.isoformat(), "Ana Diaz", "Elm Street", "RTU-1"))
    return Visit(job, shipped(), clock, "Ana Diaz")


def walked(visit: Visit, lines: tuple[str, ...], out: io.StringIO) -> bool:
    def typed() -> Iterator[str]:
        for line in lines:
            out.write(f"{line}\n")
            yield line

    return walk_by_lines(visit, asker(out, typed()), out)


def flat_cells(folder: Path) -> str:
    """Return what a terminal shows on the way to flat cells, with a lunch in between."""
    out, clock = io.StringIO(), Clock()
    visit = begun(folder, clock)
    assert not walked(visit, TO_FLAT_CELLS, out)
    clock.now += timedelta(minutes=50)
    again = Visit(open_job(visit.job.folder), visit.walk, clock, "Ana Diaz")
    assert walked(again, AFTER_LUNCH, out)
    assert [one.finding for one in again.state.found] == ["batteries-flat"]
    assert again.state.end == "in service"
    return out.getvalue()


def blocked_drain(folder: Path) -> str:
    """Return what a terminal shows on the way to a blocked drain."""
    out = io.StringIO()
    visit = begun(folder, Clock())
    assert walked(visit, TO_THE_DRAIN, out)
    assert [one.finding for one in visit.state.found] == ["drain-blocked"]
    assert visit.state.end == "in service"
    return out.getvalue()


WALKS = {"flat-cells": flat_cells, "blocked-drain": blocked_drain}


@pytest.mark.parametrize("name", WALKS)
def test_a_walk_reads_as_it_was_kept(name: str, tmp_path: Path) -> None:
    kept = (GOLDEN / f"{name}.txt").read_text(encoding="utf-8")
    assert WALKS[name](tmp_path) == kept


@pytest.mark.parametrize("name", WALKS)
def test_no_line_of_a_walk_is_too_wide(name: str, tmp_path: Path) -> None:
    for line in WALKS[name](tmp_path).splitlines():
        assert len(line) <= WIDTH, line


def test_a_narrow_terminal_is_kept_to(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    for line in flat_cells(tmp_path).splitlines():
        assert len(line) <= 40 or " > " in line, line


def test_when_the_input_ends_all_that_was_entered_is_kept(tmp_path: Path) -> None:
    out = io.StringIO()
    visit = begun(tmp_path, Clock())
    assert not walked(visit, ("2", "1", "1", "0.2"), out)
    assert out.getvalue().endswith("Left as it is; all that was entered is kept.\n")
    kept = open_job(visit.job.folder)
    assert [one.typed for one in kept.entries[1:]] == ["2", "1", "1", "0.2"]
    assert fold(visit.walk, kept.entries) == visit.state


def test_a_disk_that_cannot_be_written_is_said_and_nothing_is_taken(tmp_path: Path) -> None:
    out = io.StringIO()
    visit = begun(tmp_path, Clock())
    visit.begin()
    (visit.job.folder / "record.jsonl").write_bytes(b"changed by another window\n")
    assert enter(visit, "2", out), "the walk is not left for it"
    assert out.getvalue().startswith("Not kept: ")
    assert visit.state.step == "story"


def test_a_wait_that_is_over_is_gone_on_from_by_enter(tmp_path: Path) -> None:
    out, clock = io.StringIO(), Clock()
    job = create(tmp_path, Header("", MORNING.isoformat(), "Ana Diaz"))
    visit = Visit(job, small(), clock, "Ana Diaz")

    def typed() -> Iterator[str]:
        yield from ("1", "1")
        assert visit.prompt().now is Now.WAIT
        clock.now += timedelta(minutes=6)
        yield ""
        assert "1 warm at most" in out.getvalue().splitlines()[-3]

    assert not walk_by_lines(visit, asker(out, typed()), out)
    assert "Enter alone is no answer" not in out.getvalue()


def test_what_the_safety_model_refuses_says_so_and_what_leads_on(tmp_path: Path) -> None:
    visit = begun(tmp_path, Clock())
    visit.begin()
    shown = visit.prompt()
    refused = page(
        type(shown)(Now.REFUSED, 1, "x", "Switch on", refusals=("R5: It tripped.",)), MORNING
    )
    assert refused[-2:] == (
        "Not yet. R5: It tripped.",
        "c goes on without it, w says why, x stops the work.",
    )


def test_long_lines_are_folded_and_what_belongs_together_stays_together() -> None:
    out = io.StringIO()
    say(out, [f"  {'word ' * 30}", ""])
    lines = out.getvalue().splitlines()
    assert all(line.startswith("  ") for line in lines[:-1])
    assert lines[1].startswith("    ")
    assert lines[-1] == ""


if __name__ == "__main__":
    GOLDEN.mkdir(parents=True, exist_ok=True)
    for kept_name, made in WALKS.items():
        with tempfile.TemporaryDirectory() as kept_in:
            text = made(Path(kept_in))
        (GOLDEN / f"{kept_name}.txt").write_text(text, encoding="utf-8", newline="\n")

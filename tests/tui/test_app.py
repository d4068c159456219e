"""From the first screen through a job to its end and back: what is begun, kept and said."""

from __future__ import annotations

import sys
import threading
from pathlib import Path

import pytest

from engine.entries import EntryKind
from engine.job.finding import find
from engine.job.store import read_job
from engine.loader.heads import heads
from tests.tui.screen_text import screen_text
from tests.tui.site import TREE, say, until
from tui.__main__ import main
from tui.app import HalfsplitApp, Opening
from tui.screens.ending import EndScreen
from tui.screens.go_on import GoOnScreen
from tui.screens.questions import QuestionsScreen
from tui.screens.start import StartScreen
from tui.screens.walk import WalkScreen

OPENING = Opening(str(TREE), "Compressor hums, then goes quiet", by="Ann Lee")


async def test_what_is_typed_while_something_is_read_stands_on_the_next_line(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    go_on = threading.Event()
    monkeypatch.setattr("tui.app._name", lambda: go_on.wait(10) and "")
    app = HalfsplitApp()
    async with app.run_test(size=(40, 15)) as pilot:
        await pilot.pause()
        await say(pilot, "1")
        await pilot.press(*"Ann", "space", *"Lee", "enter", "x")
        go_on.set()
        await until(pilot, QuestionsScreen)
        await pilot.pause()
        assert isinstance(app.screen, QuestionsScreen)
        assert app.screen.entry.typed == "Ann Lee"
        await say(pilot, "")
        assert "1 Your name: Ann Lee" in screen_text(app)


async def test_the_first_screen_lists_what_customers_say() -> None:
    app = HalfsplitApp()
    async with app.run_test(size=(40, 30)) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, StartScreen)
        shown = screen_text(app)
        for number, head in enumerate(heads(), 1):
            assert f"{number} {head.title}" in shown
            assert head.said_as[0].split()[-1] in shown
        assert "(draft)" in shown
        await say(pilot, "99")
        assert "A number from 0 to" in screen_text(app)
        assert app.screen.entry.typed == "99"
        await say(pilot, "", "0")
        assert "There is no open job." in screen_text(app)
        await say(pilot, "b", "l")
    assert app.theme == "sun"
    assert app.return_code == 0


async def test_questions_are_skipped_changed_and_kept(home: Path) -> None:
    app = HalfsplitApp(Opening(str(TREE), "Hums"), settle=0)
    async with app.run_test(size=(40, 15)) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, QuestionsScreen)
        assert "licen" not in screen_text(app)
        assert "For people trained and authorised" in screen_text(app)
        await say(pilot, "Ann", "1", "Library", "", "")
        await say(pilot, "9")
        assert "changes an answer" in screen_text(app)
        await say(pilot, "", "3", "Public library", "")
        await until(pilot, WalkScreen)
    job = read_job(find(home / "jobs")[0].folder)
    assert (job.header.by, job.header.site, job.header.unit) == ("Ann", "Public library", "")
    assert job.header.deference.startswith("For people trained")
    assert '"name": "Ann"' in (home / "settings.json").read_text(encoding="utf-8")


async def test_no_job_is_begun_by_going_back(home: Path) -> None:
    app = HalfsplitApp(OPENING, settle=0)
    async with app.run_test(size=(40, 15)) as pilot:
        await pilot.pause()
        await pilot.press("ctrl+q")
        await pilot.pause()
    assert not find(home / "jobs")


async def test_a_walk_ends_with_its_report_and_a_closed_job(home: Path) -> None:
    app = HalfsplitApp(OPENING, settle=0)
    async with app.run_test(size=(40, 30)) as pilot:
        await pilot.pause()
        await say(pilot, "Public library", "RTU-1", "it hums", "")
        await until(pilot, WalkScreen)
        await say(pilot, "1", "2", "", "1")
        await until(pilot, EndScreen)
        assert "withdrawn" in screen_text(app)
        await say(pilot, "1")
        folder = find(home / "jobs")[0].folder
        assert "Public library" in (folder / "report.html").read_text(encoding="utf-8")
        await say(pilot, "2", "2")
        assert not read_job(folder).closed, "not yet"
        await say(pilot, "2", "1")
        assert read_job(folder).closed
        await say(pilot, "1", "Found the lock later")
        assert read_job(folder).entries[-1].kind is EntryKind.ADDENDUM
        await say(pilot, "2")
    assert app.return_code == 0


async def test_a_job_left_is_gone_on_with_from_the_first_screen(home: Path) -> None:
    app = HalfsplitApp(OPENING, settle=0)
    async with app.run_test(size=(40, 30)) as pilot:
        await pilot.pause()
        await say(pilot, "Public library", "RTU-1", "", "")
        await until(pilot, WalkScreen)
        await say(pilot, "1", "l", "", "")
    third = HalfsplitApp(OPENING, settle=0)
    async with third.run_test(size=(40, 15)) as pilot:
        await until(pilot, GoOnScreen)
        assert "end: Public library, RTU-1" in screen_text(third)
        await say(pilot, "7")
        assert "2 begins another" in screen_text(third)
        await say(pilot, "2")
        await until(pilot, QuestionsScreen)
        await pilot.press("ctrl+q")
    again = HalfsplitApp(settle=0)
    async with again.run_test(size=(40, 30)) as pilot:
        await pilot.pause()
        await say(pilot, "0")
        assert "Public library, RTU-1" in screen_text(again)
        await say(pilot, "1")
        await until(pilot, WalkScreen)
        assert "As reported when you left:" in screen_text(again)
        await say(pilot, "", "")
        assert isinstance(again.screen, WalkScreen)
        assert again.screen.visit.state.step == "size-up"


async def test_a_job_that_cannot_be_read_is_said_in_a_sentence(home: Path) -> None:
    folder = home / "jobs" / "2026-03-14-odd"
    folder.mkdir(parents=True)
    (folder / "record.jsonl").write_text("nothing\n", encoding="utf-8", newline="\n")
    app = HalfsplitApp(settle=0)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await say(pilot, "0", "1")
        await pilot.pause()
        await pilot.pause()
        assert isinstance(app.screen, StartScreen)
        assert app.screen.echo.says


def test_without_a_terminal_the_screens_say_what_to_do(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "argv", ["halfsplit"])
    assert main() == 2
    assert "--plain" in capsys.readouterr().err

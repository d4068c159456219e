"""What is kept for the next time, what stands beside STOP, a job begun and never walked."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.cli.start import new_job
from engine.job.finding import find
from engine.job.store import Header
from engine.loader.library import load
from tests.tui.screen_text import screen_text
from tests.tui.site import (
    TO_THE_CAPACITOR,
    TREE,
    Clock,
    WalkApp,
    new_visit,
    say,
    until,
    walked,
)
from tui.app import HalfsplitApp
from tui.screens.questions import QuestionsScreen
from tui.screens.start import StartScreen
from tui.screens.walk import WalkScreen
from tui.themes import INDOOR_NAME, SUN_NAME


async def test_bright_sun_is_kept_for_the_next_time(home: Path) -> None:
    app = HalfsplitApp(settle=0)
    async with app.run_test(size=(40, 15)) as pilot:
        await until(pilot, StartScreen)
        await say(pilot, "b", "l")
    again = HalfsplitApp(settle=0)
    async with again.run_test(size=(40, 15)) as pilot:
        await until(pilot, StartScreen)
        assert again.theme == SUN_NAME
        await say(pilot, "b")
        assert again.theme == INDOOR_NAME
    assert '"sun": false' in (home / "settings.json").read_text(encoding="utf-8")


async def test_a_setting_that_cannot_be_kept_is_said_and_the_screen_is_bright(home: Path) -> None:
    home.write_text("a file where the folder should be", encoding="utf-8", newline="\n")
    app = HalfsplitApp(settle=0)
    async with app.run_test(size=(40, 15)) as pilot:
        await until(pilot, StartScreen)
        await say(pilot, "b")
        assert app.theme == SUN_NAME
        assert "Not kept for the next time" in screen_text(app)


async def test_a_job_that_was_begun_but_never_walked_is_gone_on_with(home: Path) -> None:
    new_job(home / "jobs", Header("", "2026-03-14T10:42:00+00:00", "Ann Lee"), load(str(TREE)))
    app = HalfsplitApp(settle=0)
    async with app.run_test(size=(40, 30)) as pilot:
        await until(pilot, StartScreen)
        await say(pilot, "0", "1")
        await until(pilot, WalkScreen)
        assert isinstance(app.screen, WalkScreen)
        assert app.screen.visit.prompt().number == 1
    assert find(home / "jobs")[0].entries == 1, "the walk has begun now"


@pytest.mark.parametrize("size", [(40, 30), (100, 30)], ids=str)
async def test_nothing_that_is_still_possible_stands_beside_stop(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    app = WalkApp(walked(new_visit(tmp_path, Clock()), *TO_THE_CAPACITOR))
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        assert "Still possible" in screen_text(app)
        await say(pilot, "x")
        await pilot.pause()
        assert "Still possible" not in screen_text(app)
        await say(pilot, "")
        await pilot.pause()
        assert "Still possible" in screen_text(app), "back at the step"
        await say(pilot, "x", "1")
        await pilot.pause()
        assert "Still possible" not in screen_text(app)
        assert "Leave. Touch no switch." in screen_text(app)


async def test_the_reasons_to_stop_stand_on_one_page_of_a_phone(tmp_path: Path) -> None:
    app = WalkApp(new_visit(tmp_path, Clock()))
    async with app.run_test(size=(40, 15)) as pilot:
        await say(pilot, "x")
        await pilot.pause()
        shown = screen_text(app)
        assert all(f"{number} " in shown for number in range(1, 11))
        assert app.walk.sheet.page_count == 1


async def test_what_is_wanted_is_whole_from_the_first_moment_on() -> None:
    app = HalfsplitApp(settle=0)
    async with app.run_test(size=(40, 15)) as pilot:
        await until(pilot, StartScreen)
        questions = QuestionsScreen("It trips")
        app.push_screen(questions)
        for wanted in ("Name? >", "1 yes 2 no? >", "Site? >", "Unit? >", "They say? >"):
            await pilot.pause()
            row = screen_text(app).splitlines()[questions.entry.region.y]
            assert row.startswith(wanted)
            assert questions.entry._shown() == f"{wanted} "
            await say(pilot, "Ann" if wanted.startswith("Name") else "")


@pytest.mark.parametrize("width", [40, 80, 100])
async def test_an_entry_of_the_trail_is_on_one_page(tmp_path: Path, width: int) -> None:
    app = WalkApp(walked(new_visit(tmp_path, Clock()), *TO_THE_CAPACITOR))
    async with app.run_test(size=(width, 15)) as pilot:
        await say(pilot, "t")
        await pilot.pause()
        sheet = app.walk.sheet
        pages = ["\n".join(row.plain for row in page) for page in sheet._pages()]
        for one in sheet._lay(sheet.size.width):
            rows = "\n".join(row.plain for row in one.forms[0])
            assert any(rows in page for page in pages), rows

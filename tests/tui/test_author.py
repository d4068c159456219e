"""The author screen by keys: a file saved beside it, also by exchange; a pretend walk."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from engine.loader.heads import heads
from tests.engine.starter.answering import fan_tree
from tests.tui.screen_text import screen_text
from tests.tui.site import enter
from tui.app import HalfsplitApp, Opening
from tui.screens.author import LATE, AuthorScreen

PHONE, LAPTOP, WIDE = (40, 15), (80, 24), (100, 30)


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


@pytest.fixture
def fan(tmp_path: Path) -> Path:
    return fan_tree(tmp_path)


async def opened(pilot: Pilot[int], app: HalfsplitApp) -> AuthorScreen:
    await pilot.pause()
    screen = app.screen
    assert isinstance(screen, AuthorScreen)
    await studied(pilot, screen)
    return screen


async def studied(pilot: Pilot[int], screen: AuthorScreen) -> None:
    """Wait until the file has been loaded, proved and its cases walked."""
    screen.look()
    waiting = [one for one in pilot.app.workers if one.group == "study"]
    if waiting:  # without any, everything would be waited for, the application itself too
        await pilot.app.workers.wait_for_complete(waiting)
    await pilot.pause()


def saved(path: Path, old: str, new: str) -> None:
    """Save a change as editors do: write beside, then exchange."""
    text = path.read_text(encoding="utf-8")
    assert old in text
    other = path.with_name("beside.tmp")
    other.write_text(text.replace(old, new, 1), encoding="utf-8", newline="\n")
    other.replace(path)


def shown(app: HalfsplitApp) -> str:
    return " ".join(screen_text(app).split())


@pytest.mark.parametrize("size", [PHONE, WIDE], ids=str)
async def test_every_page_is_there_at_every_size(size: tuple[int, int], fan: Path) -> None:
    app = HalfsplitApp(Opening(author=fan), settle=0)
    async with app.run_test(size=size) as pilot:
        screen = await opened(pilot, app)
        assert "no problems" in shown(app)
        assert "1 story: Has a breaker tripped" in shown(app)
        await enter(pilot, "f")
        assert "fan-blocked: 'fan-blocked'" in shown(app)
        await enter(pilot, "c")
        assert "To the finding, expected:" in shown(app)
        await enter(pilot, "p")
        assert "No problems." in shown(app)
        await enter(pilot, "t")
        text = shown(app)
        while screen.sheet.more:
            await enter(pilot, "")
            text += shown(app)
        assert "FOUND contactor-coil" in text


async def test_a_broken_save_keeps_the_last_good_picture_with_the_problem(fan: Path) -> None:
    app = HalfsplitApp(Opening(author=fan), settle=0)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, app)
        saved(fan, "steps:\n", "steps: [\n")
        await studied(pilot, screen)
        assert screen.saves == 1
        assert "saved 1" in shown(app)
        assert "line " in shown(app)
        assert "to mend before it can be walked" in shown(app)
        await enter(pilot, "t")
        assert "As it was before the last save" in shown(app)
        assert "1 story: Has a breaker tripped" in shown(app)
        saved(fan, "steps: [\n", "steps:\n")
        await studied(pilot, screen)
        assert "As it was before" not in shown(app)
        assert screen.latest is not None
        assert screen.latest.reached is not None
        assert (screen.saves, screen.latest.to_mend) == (2, ())


async def test_a_file_that_is_gone_for_a_moment_is_waited_for(fan: Path) -> None:
    app = HalfsplitApp(Opening(author=fan), settle=0)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, app)
        raw = fan.read_bytes()
        fan.unlink()
        await studied(pilot, screen)
        assert (screen.saves, screen.latest is screen.good) == (0, True)
        assert "not there now" not in shown(app)
        for _ in range(LATE):
            screen.look()
        await pilot.pause()
        assert "not there now" in shown(app)
        fan.write_bytes(raw)
        await studied(pilot, screen)
        assert screen.saves == 1
        assert "not there now" not in shown(app)


@pytest.mark.parametrize("size", [PHONE, LAPTOP], ids=str)
async def test_a_branch_is_walked_at_once_and_nothing_is_kept(
    size: tuple[int, int], fan: Path, home: Path
) -> None:
    app = HalfsplitApp(Opening(author=fan), settle=0)
    async with app.run_test(size=size) as pilot:
        screen = await opened(pilot, app)
        await enter(pilot, "w check-contactor-coil")
        assert "PRETEND WALK" in shown(app)
        assert "every check is sound" in screen.echo.says
        await enter(pilot, "1.2")
        assert "which?" in shown(app)
        await enter(pilot, "1 ohm")
        assert "too low" in screen.echo.says
        await enter(pilot, "x")
        assert "STOP. What is it?" in shown(app)
        assert "9 unknown feed" in shown(app)
        await enter(pilot, "")
        assert "which?" in shown(app)
        await enter(pilot, "l")
        assert "PRETEND WALK" not in shown(app)
        assert "1 story" in shown(app) or "no problems" in shown(app)
        await enter(pilot, "w nowhere")
        assert "There is no step nowhere" in shown(app)
    assert not (home / "jobs").exists()


async def test_it_is_left_by_its_letter_and_the_program_with_it(fan: Path) -> None:
    app = HalfsplitApp(Opening(author=fan), settle=0)
    async with app.run_test(size=(80, 24)) as pilot:
        await opened(pilot, app)
        await enter(pilot, "l")
        await pilot.pause()
    assert app.return_value == 0


async def test_from_the_first_screen_a_tree_of_ones_own_is_picked(home: Path) -> None:
    (home / "trees").mkdir(parents=True)
    fan_tree(home / "trees")
    app = HalfsplitApp(settle=0)
    async with app.run_test(size=(40, 15)) as pilot:
        await pilot.pause()
        number = len(tuple(heads(home))) + 2
        assert f"{number} Write a tree" in shown(app)
        await enter(pilot, str(number))
        assert "1 Outdoor fan stands still" in shown(app)
        await enter(pilot, "7")
        assert "There is no such file." in shown(app)
        await enter(pilot, "1")
        await opened(pilot, app)
        await enter(pilot, "l")
        await pilot.pause()
        assert "New job: what does the customer say?" in shown(app)

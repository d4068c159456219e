"""*Work it out* by keys: from the first screen and from a walk, on a phone and on a laptop."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from engine.entries import EntryKind
from engine.guide.prompt import Now
from engine.guide.working_out import take
from engine.guide.working_page import page
from engine.guide.working_state import Working
from engine.loader.heads import heads
from engine.trade.catalogue import FIGURES
from tests.tui.contrast import contrast
from tests.tui.screen_text import pieces, screen_text
from tests.tui.site import (
    SIZES,
    TO_THE_LOCK,
    TO_THE_PROOF,
    TO_THE_WAIT,
    Clock,
    WalkApp,
    enter,
    new_visit,
    walked,
)
from tests.tui.test_themes import ENHANCED
from tui.app import HalfsplitApp
from tui.screens.figures import FiguresScreen, parts_of
from tui.screens.start import StartScreen
from tui.screens.walk import WalkScreen
from tui.widgets.fitting import paged

PHONE = (40, 15)
LAPTOP = (100, 30)
ROWS_ON_A_PHONE = 10
"""Rows between the title and the entry line at 40 × 15."""


def figures(app: HalfsplitApp) -> FiguresScreen:
    assert isinstance(app.screen, FiguresScreen)
    return app.screen


async def opened(pilot: Pilot[int], app: HalfsplitApp) -> FiguresScreen:
    """Open the figures from the first screen by their number."""
    await pilot.pause()
    await enter(pilot, str(len(tuple(heads())) + 1))
    await pilot.pause()
    return figures(app)


async def turned(pilot: Pilot[int], app: HalfsplitApp) -> str:
    """Return what the screen shows from here to its last page."""
    said = screen_text(app)
    while "Enter = more" in screen_text(app):
        await enter(pilot, "")
        said += f"\n{screen_text(app)}"
    return " ".join(said.split())


# -- from the first screen


@pytest.mark.parametrize("size", [PHONE, LAPTOP], ids=str)
async def test_a_figure_is_picked_filled_in_answered_and_changed(size: tuple[int, int]) -> None:
    app = HalfsplitApp(settle=0)
    async with app.run_test(size=size) as pilot:
        screen = await opened(pilot, app)
        assert "10 Control circuit" in screen_text(app)
        await enter(pilot, "10")
        assert "2 Contactor coil: pull-in and highest" in screen_text(app)
        await enter(pilot, "2")
        assert "volts? >" in screen_text(app)
        await enter(pilot, "20.8", "24", "")
        assert "accuracy: 0 %, not given" in screen.echo.says
        await enter(pilot, "")
        said = await turned(pilot, app)
        assert "verdict: good" in said
        assert "pull in: 20.4 V" in said
        for text in (FIGURES["coil"].formula, FIGURES["coil"].source, FIGURES["coil"].limits):
            assert " ".join(text.split()) in said.replace("  ", " ")
        await enter(pilot, "1")
        assert "Enter = keep 20.8 V" in screen_text(app)
        await enter(pilot, "18")
        assert "verdict: low" in screen_text(app)
        while screen.working.figure:
            await enter(pilot, "")
        assert "Refrigerant" in screen_text(app)
        await enter(pilot, "")
        assert isinstance(app.screen, StartScreen)


async def test_what_is_refused_stays_on_the_line_with_a_caret_below_it() -> None:
    app = HalfsplitApp(settle=0)
    async with app.run_test(size=PHONE) as pilot:
        screen = await opened(pilot, app)
        await enter(pilot, "winding balance", "1.02 1.03 kohm")
        rows = screen_text(app).splitlines()
        at = next(row for row, text in enumerate(rows) if text.startswith("ohms? > 1.02"))
        assert rows[at + 1].index("^") == rows[at].index("1.03")
        assert "mixes kohm and ohm" in screen_text(app)
        assert screen.entry.typed == "1.02 1.03 kohm"
        assert not screen.working.answers
        await pilot.press("right", *["backspace"] * 5, "space", "1", "full_stop", "0", "4", "enter")
        assert screen.working.answers["ohms"].text.split() == ["1.02", "1.03", "1.04"]


async def test_the_last_entry_is_taken_back_and_the_letters_are_listed() -> None:
    app = HalfsplitApp(settle=0)
    async with app.run_test(size=PHONE) as pilot:
        screen = await opened(pilot, app)
        await enter(pilot, "coil", "20.8", "u")
        assert "Taken back: volts." in screen.echo.says
        assert "volts? >" in screen_text(app)
        await enter(pilot, "m")
        assert "2 u take back" in " ".join(screen_text(app).split())
        await enter(pilot, "", "w")
        assert "85 % of rated" in screen_text(app)
        await enter(pilot, "", "b")
        assert app.theme == "sun"
        await enter(pilot, "l")
        assert isinstance(app.screen, StartScreen)


async def test_taps_pick_from_lists_at_once_and_answers_by_done() -> None:
    app = HalfsplitApp(settle=0)
    async with app.run_test(size=PHONE) as pilot:
        screen = await opened(pilot, app)
        await enter(pilot, "12")
        row = next(n for n, text in enumerate(screen_text(app).splitlines()) if text[:2] == "2 ")
        await pilot.click(offset=(4, row))
        assert screen.working.figure == "superheat"
        row = next(n for n, text in enumerate(screen_text(app).splitlines()) if text[:2] == "2 ")
        await pilot.click(offset=(4, row))
        assert screen.entry.typed == "2"
        assert screen.working.asking == "refrigerant"
        await pilot.click(offset=(6, 14))
        assert screen.working.asking == "psig"
        await pilot.click(offset=(19, 14))
        assert screen.working.asking == "refrigerant", "taken back by the middle field"


async def test_ctrl_q_goes_back_and_not_out_of_the_program() -> None:
    app = HalfsplitApp(settle=0)
    async with app.run_test(size=PHONE) as pilot:
        await opened(pilot, app)
        await pilot.press("ctrl+q")
        assert isinstance(app.screen, StartScreen)


# -- from a walk


@pytest.mark.parametrize("size", [PHONE, LAPTOP], ids=str)
async def test_from_a_walk_with_what_it_knows_and_back_to_the_same_step(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    visit = walked(new_visit(tmp_path, Clock()), *TO_THE_PROOF)
    app = WalkApp(visit)
    async with app.run_test(size=size) as pilot:
        await enter(pilot, "120 0")
        entries, before = list(visit.job.entries), screen_text(app)
        await enter(pilot, "v")
        await enter(pilot, "capacitor current")
        assert "From this walk: 45 uF (Run capacitor" in screen_text(app)
        await enter(pilot, "", "370", "")
        assert "amps: 6.277 A" in screen_text(app)
        assert "1 microfarads: 45 uF, from this walk" in screen_text(app)
        while isinstance(app.screen, FiguresScreen):
            await enter(pilot, "")
        await pilot.pause()
        assert screen_text(app).splitlines()[:-4] == before.splitlines()[:-4]
        assert list(visit.job.entries) == entries
        await enter(pilot, "0 0 120")
        assert app.walk.looking, "the three readings that were still open are taken"


async def test_everything_lists_it_and_its_number_opens_it(tmp_path: Path) -> None:
    app = WalkApp(walked(new_visit(tmp_path, Clock()), *TO_THE_LOCK))
    async with app.run_test(size=LAPTOP) as pilot:
        await enter(pilot, "m")
        row = next(text for text in screen_text(app).splitlines() if " v " in text)
        await enter(pilot, row.split()[0])
        assert figures(app).working.on_walk
        await enter(pilot, "")
        assert isinstance(app.screen, WalkScreen)
        assert not app.walk.reading
        assert not app.visit.talk.mode


async def test_stop_comes_through_from_a_figure(tmp_path: Path) -> None:
    visit = walked(new_visit(tmp_path, Clock()), *TO_THE_LOCK)
    app = WalkApp(visit)
    async with app.run_test(size=PHONE) as pilot:
        await enter(pilot, "v coil", "20", "x")
        await pilot.pause()
        assert "STOP. What is it?" in screen_text(app)
        await enter(pilot, "2")
        assert visit.job.entries[-1].kind is EntryKind.STOP


async def test_a_wait_goes_on_and_rings_while_a_figure_is_worked_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = Clock()
    app = WalkApp(walked(new_visit(tmp_path, clock), *TO_THE_WAIT))
    rung: list[bool] = []
    monkeypatch.setattr(app, "bell", lambda: rung.append(True))
    async with app.run_test(size=PHONE) as pilot:
        await pilot.pause()
        walk = app.walk
        await enter(pilot, "v coil", "20")
        clock.go(301)
        walk.count_down()
        assert rung == [True]
        assert figures(app).working.asking == "rated", "what was begun is not disturbed"
        await enter(pilot, "l")
        await pilot.pause()
        assert app.walk.visit.prompt().now is Now.STEP
        assert "which? >" in screen_text(app)


@pytest.mark.parametrize("width", [24, 5, 1])
async def test_no_width_is_too_narrow_to_run(width: int) -> None:
    app = HalfsplitApp(settle=0)
    async with app.run_test(size=(width, 8)) as pilot:
        screen = await opened(pilot, app)
        await enter(pilot, "coil", "20.8", "2x", "24")
        await pilot.resize_terminal(100, 30)
        await pilot.resize_terminal(width, 4)
        await enter(pilot, "c", "c")
        assert screen.working.answer()["verdict"] == "good"


async def test_a_name_that_no_figure_has_is_said_on_the_step(tmp_path: Path) -> None:
    app = WalkApp(walked(new_visit(tmp_path, Clock()), *TO_THE_LOCK))
    async with app.run_test(size=PHONE) as pilot:
        await enter(pilot, "v zzz")
        rows = screen_text(app).splitlines()
        at = next(row for row, text in enumerate(rows) if text.endswith("> v zzz"))
        assert rows[at + 1].index("^") == rows[at].index("zzz")


# -- room and colours


@pytest.mark.parametrize("size", SIZES, ids=str)
async def test_the_entry_line_never_moves(size: tuple[int, int]) -> None:
    app = HalfsplitApp(settle=0)
    rows = set()
    async with app.run_test(size=size) as pilot:
        screen = await opened(pilot, app)
        for line in ("99", "supply", "231.3 231.5 233.3", "117 206 115", "", "", "m", "", "w"):
            await enter(pilot, line)
            rows.add(screen.entry.region.y)
            before = screen_text(app).splitlines()
            await pilot.press("7")
            after = screen_text(app).splitlines()
            assert [n for n, text in enumerate(after) if text != before[n]] == [min(rows)]
            await pilot.press("backspace")
    assert len(rows) == 1


@pytest.mark.parametrize("name", FIGURES)
def test_every_question_stands_whole_on_a_phone(name: str) -> None:
    turn = take(Working(), name)
    assert turn.working is not None
    for item in FIGURES[name].inputs:
        shown = page(Working(figure=name, asking=item.name))
        pages = paged(parts_of(shown, 40), ROWS_ON_A_PHONE)
        said = " ".join(row.plain for row in pages[0])
        assert len(pages) == 1
        assert "".join(item.sentence.split()) in "".join(said.split())
        for option in shown.options:
            assert f"{option.number} {option.words}".strip() in said
        assert len(f"{shown.wanted} > ") <= 40 - 13, "what is wanted is never cut"


def test_subjects_stand_side_by_side_where_there_is_no_room_for_more() -> None:
    narrow = paged(parts_of(page(Working()), 40), ROWS_ON_A_PHONE)
    wide = paged(parts_of(page(Working()), 100), 30)
    assert len(narrow) == len(wide) == 1
    assert any(row.plain.startswith("1 Supply  2 Voltage") for row in narrow[0])
    assert any(row.plain.startswith("2 Voltage  open leg; resistive load") for row in wide[0])


@pytest.mark.parametrize("theme", ["indoor", "sun"])
async def test_everything_that_is_drawn_can_be_read(theme: str) -> None:
    app = HalfsplitApp(settle=0)
    async with app.run_test(size=LAPTOP) as pilot:
        await opened(pilot, app)
        if theme == "sun":
            await enter(pilot, "b")
        for line in ("", "coil", "2x", "20", "24", "", "", "w"):
            await enter(pilot, line)
            await pilot.pause()
            low = [one for one in pieces(app) if contrast(one.colour, one.ground) < ENHANCED]
            assert not [one for one in low if one.text.strip("─│ ")]

"""What the walk screen shows and when: verdicts, pages, waits, taps, and what never moves."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.guide.line import Action
from engine.guide.prompt import Now
from tests.tui.screen_text import screen_text
from tests.tui.site import (
    SIZES,
    TO_THE_CAPACITOR,
    TO_THE_LOCK,
    TO_THE_PROOF,
    TO_THE_WAIT,
    Clock,
    WalkApp,
    came_back,
    enter,
    new_visit,
    walked,
)
from tui.screens.walk import SHORT_WORDS, WalkScreen


async def test_a_verdict_stays_until_the_next_key_and_enter_answers_nothing_unseen(
    tmp_path: Path,
) -> None:
    visit = walked(new_visit(tmp_path, Clock()), *TO_THE_CAPACITOR)
    app = WalkApp(visit)
    async with app.run_test(size=(40, 15)) as pilot:
        await enter(pilot, "41.2")
        entries = len(visit.job.entries)
        rows = screen_text(app).splitlines()
        assert rows[2].strip().endswith("Run capacitor, HERM to C"), "the step read is still there"
        assert "41.2 uF: weak." in rows
        assert "▲ 41.2 uF" in screen_text(app)
        await enter(pilot, "")
        assert len(visit.job.entries) == entries, "Enter went on, and was no answer"
        assert visit.state.step == "repair capacitor-weak"
        assert "41.2 uF: weak." not in screen_text(app)


async def test_the_next_digit_begins_a_new_line_under_the_next_step(tmp_path: Path) -> None:
    visit = walked(new_visit(tmp_path, Clock()), *TO_THE_CAPACITOR)
    app = WalkApp(visit)
    async with app.run_test(size=(40, 15)) as pilot:
        await enter(pilot, "41.2")
        await pilot.press("2")
        assert app.walk.entry.typed == "2"
        assert "Weak run capacitor" in screen_text(app).splitlines()[2]


@pytest.mark.parametrize("size", SIZES, ids=str)
async def test_nothing_moves_while_a_reading_is_typed(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    visit = walked(new_visit(tmp_path, Clock()), *TO_THE_CAPACITOR)
    app = WalkApp(visit)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        before = screen_text(app).splitlines()
        entry = app.walk.entry.region.y
        await pilot.press("4", "1")
        after = screen_text(app).splitlines()
        assert [row for row, text in enumerate(after) if text != before[row]] == [entry]


@pytest.mark.parametrize("size", SIZES[::3], ids=str)
async def test_the_entry_line_is_on_the_same_row_whatever_is_shown(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    app = WalkApp(new_visit(tmp_path, Clock()))
    rows = set()
    async with app.run_test(size=size) as pilot:
        for line in ("9", "1", "m", "", "", "", "1", "w", ""):
            await enter(pilot, line)
            rows.add(app.walk.entry.region.y)
    assert len(rows) == 1


async def test_a_page_is_turned_and_closed_before_enter_means_done(tmp_path: Path) -> None:
    visit = walked(new_visit(tmp_path, Clock()), *TO_THE_LOCK, "1", "1")
    app = WalkApp(visit)
    async with app.run_test(size=(40, 15)) as pilot:
        await enter(pilot, "m")
        assert visit.state.step.endswith("/lock")
        while f"{len(Action)} m" not in screen_text(app):
            assert "Everything" in screen_text(app)
            await enter(pilot, "")
        await enter(pilot, "")
        assert "Everything" not in screen_text(app)
        assert visit.state.step.endswith("/lock"), "nothing was answered on the way"
        await enter(pilot, "1")
        assert visit.state.step.endswith("/try-it")


async def test_no_step_is_answered_that_a_page_still_hides(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tui.screens.walk.ECHO_ROWS", 0)
    visit = new_visit(tmp_path, Clock())
    app = WalkApp(visit)
    async with app.run_test(size=(40, 15)) as pilot:
        first = visit.prompt().title
        await enter(pilot, "1")
        screen = pilot.app.screen
        assert isinstance(screen, WalkScreen)
        kept, behind = len(visit.job.entries), visit.prompt().title
        assert screen.reading
        assert behind != first
        await enter(pilot, "1")
        assert (len(visit.job.entries), screen.entry.typed) == (kept, "1")
        assert behind in screen_text(app)
        await enter(pilot, "")
        assert len(visit.job.entries) == kept + 1


async def test_enter_that_bounced_is_no_answer_to_a_step_just_shown(tmp_path: Path) -> None:
    visit = walked(new_visit(tmp_path, Clock()), *TO_THE_WAIT, "over", "1")
    app = WalkApp(visit, settle=60)
    async with app.run_test(size=(40, 15)) as pilot:
        await enter(pilot, "45")
        assert "Enter = take 6 %" in screen_text(app)
        await pilot.press("enter", "enter")
        assert visit.state.needs == "tolerance"


async def test_a_wait_counts_down_and_rings_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = Clock()
    app = WalkApp(walked(new_visit(tmp_path, clock), *TO_THE_WAIT))
    rung: list[bool] = []
    monkeypatch.setattr(app, "bell", lambda: rung.append(True))
    async with app.run_test(size=(40, 15)) as pilot:
        await pilot.pause()
        assert "wait 5:00" in screen_text(app)
        clock.go(61)
        app.walk.count_down()
        await pilot.pause()
        assert "wait 3:59" in screen_text(app)
        clock.go(240)
        app.walk.count_down()
        app.walk.count_down()
        await pilot.pause()
        assert app.visit.prompt().now is Now.STEP
        assert rung == [True]
        assert "which? >" in screen_text(app)


async def test_the_countdown_survives_being_left(tmp_path: Path) -> None:
    clock = Clock()
    visit = walked(new_visit(tmp_path, clock), *TO_THE_WAIT)
    clock.go(100)
    app = came_back(visit, clock)
    async with app.run_test(size=(40, 30)) as pilot:
        await enter(pilot, "")
        shown = screen_text(app)
    # Coming back counts as having been away: the job is looked over first, then the wait goes on.
    assert "wait" in shown or "Look" in shown


async def test_no_timer_runs_where_nothing_is_waited_for(tmp_path: Path) -> None:
    app = WalkApp(walked(new_visit(tmp_path, Clock()), *TO_THE_WAIT))
    async with app.run_test(size=(40, 15)) as pilot:
        await pilot.pause()
        assert app.walk.ticking
        await enter(pilot, "over")
        assert not app.walk.ticking


async def test_taps_do_what_the_letters_do(tmp_path: Path) -> None:
    visit = new_visit(tmp_path, Clock())
    app = WalkApp(visit)
    async with app.run_test(size=(40, 15)) as pilot:
        await pilot.pause()
        row = next(n for n, text in enumerate(screen_text(app).splitlines()) if text[:2] == "3 ")
        await pilot.click(offset=(4, row))
        assert app.walk.entry.typed == "3", "a tapped answer waits for Done"
        assert visit.state.step == "story"
        await pilot.click(offset=(6, 14))
        assert visit.state.step == "size-up"
        await pilot.click(offset=(19, 14))
        assert "Why not?" in screen_text(app)
        await pilot.press("escape")
        await pilot.click(offset=(32, 14))
        assert "1 x  STOP" in screen_text(app)
        await pilot.click(offset=(5, 4))
        assert "Before you go" in screen_text(app), "a number of a list is taken at once"


async def test_a_thing_to_do_is_done_by_two_taps_that_do_not_bounce(tmp_path: Path) -> None:
    visit = walked(new_visit(tmp_path, Clock()), *TO_THE_LOCK, "1", "1")
    app = WalkApp(visit)
    async with app.run_test(size=(40, 15)) as pilot:
        await pilot.click(offset=(6, 14))
        assert app.walk.entry.typed == "1"
        assert "Done? Tap again." in screen_text(app)
        assert visit.state.step.endswith("/lock")
        await pilot.click(offset=(6, 14))
        assert visit.state.step.endswith("/try-it")
    app = WalkApp(walked(visit, "1"), settle=60)
    async with app.run_test(size=(40, 15)) as pilot:
        step = visit.state.step
        await pilot.click(offset=(6, 14))
        await pilot.click(offset=(6, 14))
        assert visit.state.step == step


async def test_the_focus_never_leaves_the_entry_line(tmp_path: Path) -> None:
    app = WalkApp(new_visit(tmp_path, Clock()))
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("tab", "shift+tab", "escape")
        await pilot.click(offset=(80, 10))
        await pilot.click(offset=(10, 20))
        await pilot.press("1")
        assert app.walk.entry.typed == "1"


async def test_bright_sun_changes_the_theme_and_keeps_the_line_asked(tmp_path: Path) -> None:
    app = WalkApp(walked(new_visit(tmp_path, Clock()), *TO_THE_PROOF))
    async with app.run_test(size=(40, 15)) as pilot:
        await enter(pilot, "b")
        assert app.theme == "sun"
        await enter(pilot, "b")
        assert app.theme == "indoor"


async def test_the_side_shows_what_is_possible_and_the_trail_newest_first(tmp_path: Path) -> None:
    visit = walked(new_visit(tmp_path, Clock()), *TO_THE_WAIT)
    app = WalkApp(visit)
    async with app.run_test(size=(100, 30)) as pilot:
        await enter(pilot, "u")
        side = [row[63:] for row in screen_text(app).splitlines()]
        shown = "\n".join(side)
        assert "Weak run capacitor" in shown
        assert shown.index("Look round before you begin") < shown.index("Ask how often")
        assert "(taken back)" in shown


@pytest.mark.parametrize("width", [12, 1])
async def test_no_width_is_too_narrow_to_run(tmp_path: Path, width: int) -> None:
    app = WalkApp(walked(new_visit(tmp_path, Clock()), *TO_THE_CAPACITOR))
    async with app.run_test(size=(width, 8)) as pilot:
        await enter(pilot, "")
        await pilot.resize_terminal(100, 30)
        await pilot.resize_terminal(width, 4)
        await enter(pilot, "45")
        assert app.visit.state.passed[-1].verdict == "good"


def test_every_action_of_the_entry_line_has_its_letter_on_the_screen() -> None:
    assert sorted(letter for letter, _ in SHORT_WORDS) == sorted(Action)
    assert {text for text, _ in WalkScreen.narrow_taps} == {"", Action.CANNOT, Action.EVERYTHING}

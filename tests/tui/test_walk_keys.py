"""The walk screen by keys alone: a whole job, wrong entries, taking back, correcting, leaving."""

from __future__ import annotations

from pathlib import Path

from textual.message import Message
from textual.widgets import Input

from engine.entries import EntryKind
from tests.tui.screen_text import screen_text
from tests.tui.site import (
    TO_THE_CAPACITOR,
    TO_THE_LOCK,
    TO_THE_PROOF,
    Clock,
    WalkApp,
    came_back,
    enter,
    new_visit,
    walked,
)
from tui.widgets.reading_input import ReadingInput

PHONE = (40, 15)


async def test_a_whole_job_with_digits_letters_point_space_and_enter(tmp_path: Path) -> None:
    visit = new_visit(tmp_path, Clock())
    app = WalkApp(visit)
    messages: list[Message] = []
    async with app.run_test(size=PHONE, message_hook=messages.append) as pilot:
        await enter(pilot, *TO_THE_PROOF)
        assert visit.state.step == "enter unit dead/prove-it/prove/prove/unit/volts-gone"
        await enter(pilot, "120 0", "0 0 120")
        assert app.walk.looking, "five readings in two lines, and their verdict waits"
        await enter(pilot, "0", "0.0", "", "41.2")
        assert [one.finding for one in visit.state.found] == ["capacitor-weak"]
        assert "Cause found: Weak run capacitor." in screen_text(app)
        await enter(pilot, "1", "1", "1", "1", "1", "1", "1", "1")
    assert visit.state.end == "in service"
    assert app.results == [True]
    every = {id(one): one for one in messages}.values()
    entered = [one.text for one in every if isinstance(one, ReadingInput.Entered)]
    assert entered[:3] == ["1", "1", "over"]
    raw = [one for one in every if isinstance(one, Input.Submitted | Input.Changed)]
    assert raw
    assert all(one._stop_propagation for one in raw), "raw events stay inside the entry line"


async def test_what_is_refused_stays_on_the_line_with_a_caret_below_it(tmp_path: Path) -> None:
    visit = walked(new_visit(tmp_path, Clock()), *TO_THE_CAPACITOR)
    before = len(visit.job.entries)
    app = WalkApp(visit)
    async with app.run_test(size=PHONE) as pilot:
        await enter(pilot, "45 mV")
        rows = screen_text(app).splitlines()
        at = next(row for row, text in enumerate(rows) if text.startswith("uF? > 45 mV"))
        assert rows[at + 1].index("^") == rows[at].index("mV")
        assert app.walk.entry.typed == "45 mV"
        assert not visit.job.entries[before + 1 :], "nothing was written down for it"
        await pilot.press("4")
        assert app.walk.entry.typed == "4", "the next digit replaces what was refused"
        await pilot.press("up")
        assert app.walk.entry.typed == "45 mV", "and up brings it back"
        await pilot.press("enter", "enter")
        assert app.walk.entry.typed == "", "refused again and entered as it stands, it is cleared"


async def test_a_line_that_was_refused_is_mended_where_it_is_wrong(tmp_path: Path) -> None:
    visit = walked(new_visit(tmp_path, Clock()), *TO_THE_CAPACITOR)
    app = WalkApp(visit)
    async with app.run_test(size=PHONE) as pilot:
        await enter(pilot, "45..1")
        await pilot.press("right", "left", "left", "backspace", "enter")
        assert app.walk.looking
        assert visit.state.passed[-1].verdict == "good"


async def test_a_wrong_answer_at_each_kind_of_question_changes_nothing(tmp_path: Path) -> None:
    visit = new_visit(tmp_path, Clock())
    app = WalkApp(visit)
    async with app.run_test(size=PHONE) as pilot:
        await enter(pilot, "9")
        assert visit.state.step == "story", "a choice"
        await enter(pilot, "1", "", "1")
        assert visit.state.step == "quiet", "Enter alone is no answer to a choice"
        await enter(pilot, "2")
        assert "to go" in screen_text(app), "a wait"
        await enter(pilot, "over", "1", "4000")
        assert visit.state.needs == "rated_capacitance", "a nameplate"
        await enter(pilot, "45", "", "1", "1", "no", "", "1")
        assert visit.state.step.endswith("/try-it"), "a thing to do"
    assert [one.typed for one in visit.job.entries if one.kind is EntryKind.NAMEPLATE] == [
        "45",
        "6 %",
    ]


async def test_taking_back_and_reading_again_keep_the_record(tmp_path: Path) -> None:
    visit = walked(new_visit(tmp_path, Clock()), *TO_THE_CAPACITOR)
    app = WalkApp(visit)
    async with app.run_test(size=PHONE) as pilot:
        await enter(pilot, "45")
        await enter(pilot, "r")
        assert visit.state.step == "capacitor"
        await enter(pilot, "45", "u")
        assert visit.state.step == "capacitor"
        assert "Taken back" in app.walk.echo.says
    struck = [one for one in visit.job.entries if one.kind is EntryKind.STRIKE]
    assert len(struck) == 2


async def test_an_entry_three_steps_back_is_corrected_from_the_trail(tmp_path: Path) -> None:
    visit = walked(new_visit(tmp_path, Clock()), *TO_THE_LOCK, "1")
    app = WalkApp(visit)
    async with app.run_test(size=PHONE) as pilot:
        await enter(pilot, "t")
        assert app.walk.reading
        assert "4 Run capacitor rating" in screen_text(app)
        await enter(pilot, "4")
        assert "It was 45" in screen_text(app)
        await enter(pilot, "50")
        assert "Taken as 50 uF." in app.walk.echo.says
    assert visit.state.numbers["rated_capacitance"] is not None
    assert [one.of for one in visit.job.entries if one.of], "the first answer is struck, not gone"


async def test_a_check_that_cannot_be_done_goes_on_elsewhere(tmp_path: Path) -> None:
    visit = walked(new_visit(tmp_path, Clock()), *TO_THE_CAPACITOR)
    app = WalkApp(visit)
    async with app.run_test(size=PHONE) as pilot:
        await enter(pilot, "c")
        assert "3 no meter for it" in screen_text(app)
        await enter(pilot, "3")
        assert visit.state.step == "windings"


async def test_leaving_says_how_things_stand_and_coming_back_why_proofs_no_longer_count(
    tmp_path: Path,
) -> None:
    clock = Clock()
    visit = walked(new_visit(tmp_path, clock), *TO_THE_CAPACITOR)
    app = WalkApp(visit)
    async with app.run_test(size=(40, 30)) as pilot:
        await enter(pilot, "l")
        first = screen_text(app)
        await enter(pilot, "")
        listed = first + screen_text(app)
        assert "disconnect: off, my lock on it" in listed
        assert "Shut the control box" in listed
        await enter(pilot, "")
    assert app.results == [False]
    again = came_back(visit, clock)
    async with again.run_test(size=(40, 30)) as pilot:
        assert "As reported when you left:" in screen_text(again)
        assert "What was proven no longer counts" in screen_text(again)
        await enter(pilot, "")
        assert again.visit.state.step != "capacitor", "the unit is proven dead anew first"
        assert again.visit.state.numbers, "and nothing that was read off the plate is lost"


async def test_ctrl_q_leaves_as_the_letter_does(tmp_path: Path) -> None:
    visit = walked(new_visit(tmp_path, Clock()), "1")
    app = WalkApp(visit)
    async with app.run_test(size=PHONE) as pilot:
        await pilot.press("escape", "4", "ctrl+q")
        assert "Before you go" in screen_text(app)
        assert visit.job.entries[-1].kind is EntryKind.LEAVE
        await pilot.press("ctrl+q")
        assert not app.is_running or app.return_code == 0


async def test_the_order_to_stop_comes_first_and_alone(tmp_path: Path) -> None:
    visit = walked(new_visit(tmp_path, Clock()), *TO_THE_LOCK)
    app = WalkApp(visit)
    async with app.run_test(size=PHONE) as pilot:
        await enter(pilot, "x", "2")
        rows = screen_text(app).splitlines()
        assert rows[2].split() == ["STOP"]
        assert rows[3].startswith("Leave. Warn people.")
        assert visit.state.stopped == "smoke"
        await enter(pilot, "")
        assert "Warn whoever is near" in screen_text(app)

"""The end screen: the report's own words in reach at every size, STOP, and the way back."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from engine.cli.start import ending
from engine.entries import EntryKind
from engine.guide.visit import Visit
from engine.job import closing
from tests.tui.screen_text import screen_text
from tests.tui.site import SIZES, Clock, new_visit, say, walked
from tui.app import HalfsplitApp
from tui.screens.ending import EndScreen, Next

TO_THE_END = ("1", "2", "1")
"""Lines that lead to the end of a walk on which work is not begun."""


class EndApp(HalfsplitApp):
    """The application with nothing but the end of a visit's walk."""

    def __init__(self, visit: Visit) -> None:
        super().__init__(settle=0)
        self.visit = visit
        self.results: list[Next | None] = []

    def follow(self) -> None:  # type: ignore[override]
        """Show what the walk came to, and keep what comes of it."""
        self.push_screen(EndScreen(self.visit), self.results.append)


@pytest.fixture
def ended(tmp_path: Path) -> Visit:
    return walked(new_visit(tmp_path, Clock()), *TO_THE_END)


async def pages(pilot: Pilot[int]) -> list[str]:
    """Return every page, turned by Enter, without title and entry line."""
    await pilot.pause()
    read = [screen_text(pilot.app)]
    for _ in range(12):
        await pilot.press("enter")
        await pilot.pause()
        if screen_text(pilot.app).splitlines()[3] == read[0].splitlines()[3]:
            return read
        read.append(screen_text(pilot.app))
    raise AssertionError("The pages never end.")


@pytest.mark.parametrize("size", SIZES, ids=str)
async def test_every_word_of_the_end_is_in_reach_and_the_choices_at_once(
    ended: Visit, size: tuple[int, int]
) -> None:
    app = EndApp(ended)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        first = screen_text(app)
        assert "End: withdrawn" in first
        for choice in ("1 write the report", "2 close the job", "4 leave the job open"):
            assert choice in first
        said = " ".join(" ".join(await pages(pilot)).split())
    for section in ending(ended):
        for word in f"{section.heading}: {' '.join(section.sentences)}".split():
            assert word in said, (section.heading, word)


async def test_stop_at_the_end_says_first_what_to_do(ended: Visit) -> None:
    app = EndApp(ended)
    async with app.run_test(size=(40, 15)) as pilot:
        await say(pilot, "x")
        shown = screen_text(app)
        for words in ("1 smell of gas", "10 somebody else's lock"):
            assert words in shown, "the whole list stands on one page"
        await say(pilot, "1")
        assert "Leave. Touch no switch." in screen_text(app)
        await say(pilot, "")
        assert "End: withdrawn" in screen_text(app)
        assert "Hazards left: Work was stopped" in screen_text(app), "the report has it"
    assert ended.job.entries[-1].kind is EntryKind.STOP


async def test_stop_in_a_closed_job_says_it_too_and_enters_nothing(ended: Visit) -> None:
    closing.close(ended.job, {"md": b"# Visit"}, "Ann Lee", Clock()())
    app = EndApp(ended)
    async with app.run_test(size=(80, 24)) as pilot:
        entries = len(ended.job.entries)
        await say(pilot, "x", "1")
        assert "Leave. Touch no switch." in screen_text(app)
        await say(pilot, "n too late", "u")
        assert len(ended.job.entries) == entries
        assert not app.results


async def test_what_was_entered_last_is_taken_back_into_the_walk(ended: Visit) -> None:
    app = EndApp(ended)
    async with app.run_test(size=(100, 30)) as pilot:
        await say(pilot, "n left by the roof hatch")
        assert "Noted." in screen_text(app)
        await say(pilot, "u")
        await pilot.pause()
    assert app.results == [Next.WALK]
    assert ended.state.step

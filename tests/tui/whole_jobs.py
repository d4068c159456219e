"""A whole job on the screen, from the first screen to the closed report, and what never may happen.

The lines are those of `tests.stories.sittings`; the hands here only do what somebody does between
them: read a page to its end, look at a verdict, go on.
"""

from __future__ import annotations

from collections.abc import Sequence

from textual.pilot import Pilot

from engine.guide.prompt import Now
from engine.job.finding import find
from engine.job.store import Job, read_job
from engine.job.verifying import problems_of
from engine.loader.heads import heads
from tests.pictures import empty_home
from tests.stories import BY, LEAVE, LIBRARY, Story, shipped, sittings
from tests.tui.screen_text import screen_text
from tests.tui.site import say, until
from tui.app import HalfsplitApp
from tui.screens.ending import EndScreen
from tui.screens.start import StartScreen
from tui.screens.walk import WalkScreen

MOST_PAGES = 12
"""Pages that anything to be read has at most."""


async def walk_at(story: Story, size: tuple[int, int]) -> None:
    """Walk a story at a size and close the job; fail unless it came to what the story says."""
    with empty_home() as home:
        first, *later = sittings(story.name)
        await _sitting(story, size, first, begins=True)
        for lines in later:
            await _sitting(story, size, lines, begins=False)
        _came_to(story, read_job(find(home / "jobs")[0].folder))


async def _sitting(
    story: Story, size: tuple[int, int], lines: Sequence[str], *, begins: bool
) -> None:
    app = HalfsplitApp(settle=0)
    async with app.run_test(size=size) as pilot:
        await until(pilot, StartScreen)
        if begins:
            await say(pilot, _number(story), BY, "", LIBRARY, story.unit, story.said, "")
        else:
            await say(pilot, "0", "1")
        await until(pilot, WalkScreen)
        await _walk(pilot, lines)
        if lines[-1] != LEAVE:
            await until(pilot, EndScreen)
            await _end(pilot, story)
        await until(pilot, StartScreen)
        await say(pilot, LEAVE)
    assert app.return_code == 0


def _number(story: Story) -> str:
    """Return the number of a complaint on the first screen."""
    return str([head.name for head in heads()].index(story.tree) + 1)


async def _walk(pilot: Pilot[int], lines: Sequence[str]) -> None:
    """Type the lines of a walk, each under the step that it answers."""
    row = _walk_screen(pilot).entry.region.y
    await _read(pilot)
    for line in lines:
        _in_sight(_walk_screen(pilot), row)
        await say(pilot, line)
        await pilot.pause()
        await _read(pilot)


def _walk_screen(pilot: Pilot[int]) -> WalkScreen:
    assert isinstance(pilot.app.screen, WalkScreen)
    return pilot.app.screen


def _in_sight(screen: WalkScreen, row: int) -> None:
    """Fail unless title and entry line are where they always are."""
    prompt = screen.visit.prompt()
    rows = screen_text(screen.app).splitlines()
    assert screen.entry.region.y == row
    assert rows[row].startswith(screen.visit.asks[:20]), rows[row]
    if prompt.now is not Now.ENDED and not screen.visit.talk.mode:
        assert rows[2].strip().startswith(f"{prompt.number}  {prompt.title}"[:12]), rows[2]


async def _read(pilot: Pilot[int]) -> None:
    """Go on from a verdict, and read what is only shown to its end."""
    for _ in range(MOST_PAGES):
        screen = pilot.app.screen
        if not isinstance(screen, WalkScreen):
            return
        reading = screen.reading and not screen.visit.talk.mode
        if not (screen.looking or reading):
            return
        await pilot.press("enter")
        await pilot.pause()
    raise AssertionError("It is never read to its end.")


async def _end(pilot: Pilot[int], story: Story) -> None:
    """See what was found, and close the job."""
    shown = screen_text(pilot.app)
    assert f"End: {story.end}" in shown
    await say(pilot, "2", "1", "2")


def _came_to(story: Story, job: Job) -> None:
    walk = shipped(story.tree).walk
    assert walk is not None
    report = (job.folder / "report.md").read_text(encoding="utf-8")
    assert job.closed
    assert problems_of(job.folder) == ()
    assert (job.header.by, job.header.unit, job.header.said) == (BY, story.unit, story.said)
    for cause in story.findings:
        assert walk.tree.findings[cause].title in report

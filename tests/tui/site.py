"""A walk on the screen for tests: a small tree, a clock that stands still, a job in a folder."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

from textual.events import Paste
from textual.pilot import Pilot
from textual.screen import Screen

from engine.guide.visit import Visit
from engine.job.store import Header, create, open_job
from engine.loader.library import load
from engine.tree import WalkTree
from tui.app import HalfsplitApp
from tui.screens.walk import WalkScreen

TREE = Path(__file__).parent / "trees" / "hums-and-stops.yaml"
SIZES = ((40, 15), (40, 30), (80, 24), (100, 30))

TO_THE_WAIT = ("1", "1")
TO_THE_LOCK = (*TO_THE_WAIT, "over", "1", "45", "")
TO_THE_PROOF = (*TO_THE_LOCK, "1", "1", "1", "1", "1", "0", "1")
TO_THE_CAPACITOR = (*TO_THE_PROOF, "120 0 0 0 120", "0")
"""Lines that lead to a step, in digits and Enter."""


@dataclass
class Clock:
    """A clock that moves only when it is told to."""

    now: datetime = datetime(2026, 3, 14, 10, 42, tzinfo=UTC)

    def __call__(self) -> datetime:
        """Return the time."""
        return self.now

    def go(self, seconds: int) -> None:
        """Let time pass."""
        self.now += timedelta(seconds=seconds)


@cache
def small_tree() -> WalkTree:
    """Return the tree that the screens are tried with."""
    loaded = load(str(TREE))
    assert loaded.walk is not None, [str(one) for one in loaded.problems]
    return loaded.walk


def new_visit(folder: Path, clock: Clock) -> Visit:
    """Return a visit of a new job in the small tree, begun."""
    header = Header("", clock().isoformat(), "Ann Lee", "Public library", "RTU-1")
    visit = Visit(create(folder, header), small_tree(), clock, "Ann Lee")
    visit.begin()
    return visit


def came_back(visit: Visit, clock: Clock) -> WalkApp:
    """Return the screens of a job opened again from its folder."""
    again = Visit(open_job(visit.job.folder), visit.walk, clock, "Ann Lee")
    return WalkApp(again, said=again.begin())


def walked(visit: Visit, *lines: str) -> Visit:
    """Return the visit after lines typed, each of which has to be taken."""
    for line in lines:
        shown = visit.enter(line)
        assert not shown.refused, (line, shown.refused)
    return visit


class WalkApp(HalfsplitApp):
    """The application with nothing but one walk screen, whose visit has begun."""

    def __init__(self, visit: Visit, settle: float = 0, said: tuple[str, ...] = ()) -> None:
        super().__init__(settle=settle)
        self.visit = visit
        self.said = said
        self.results: list[bool | None] = []

    def follow(self) -> None:  # type: ignore[override]
        """Show the walk, and keep what comes of it."""
        screen = WalkScreen(self.visit, self.said, settle=self.settle)
        self.push_screen(screen, self.results.append)

    @property
    def walk(self) -> WalkScreen:
        """The walk's screen."""
        assert isinstance(self.screen, WalkScreen)
        return self.screen


async def until(pilot: Pilot[int], screen: type[Screen[Any]]) -> None:
    """Wait until a screen of that kind is up: a tree is loaded beside the one before it."""
    for _ in range(1500):
        if isinstance(pilot.app.screen, screen):
            await pilot.pause()
            return
        await pilot.pause(0.02)
    raise AssertionError(f"{screen.__name__} did not come up")


async def say(pilot: Pilot[int], *lines: str) -> None:
    """Enter lines, each pasted whole: as good as typed where the keys are not what is tried."""
    for line in lines:
        if line:
            pilot.app.post_message(Paste(line))
        await pilot.press("enter")


async def enter(pilot: Pilot[int], *lines: str) -> None:
    """Type lines, each with Enter, key by key."""
    for line in lines:
        await pilot.press(*(_KEYS.get(letter, letter) for letter in line), "enter")


_KEYS = {" ": "space", ".": "full_stop", ",": "comma", "-": "minus"}

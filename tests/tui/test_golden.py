"""The screens as text, whole, at the four sizes: looked at once, then compared.

``HALFSPLIT_GOLDEN=write`` in the environment writes them anew; look at each before it is kept.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from textual.pilot import Pilot

from engine.loader.heads import Head
from tests.tui.screen_text import screen_text
from tests.tui.site import SIZES, TO_THE_CAPACITOR, Clock, WalkApp, new_visit, say, walked
from tui.app import HalfsplitApp
from tui.screens.questions import QuestionsScreen
from tui.screens.start import StartScreen

GOLDEN = Path(__file__).parents[1] / "golden" / "tui"

HEADS = (
    Head("no-heat", "No heat", ("it blows cold",), "1", "reviewed", "trees/no-heat.yaml", True),
    Head(
        "hums-and-stops",
        "Compressor hums, then goes quiet",
        ("it hums and stops", "it tries to start"),
        "1",
        "draft",
        "trees/hums-and-stops.yaml",
        True,
    ),
)


class BeginningApp(HalfsplitApp):
    """The application with the screens before a job, and two trees of its own."""

    def follow(self) -> None:  # type: ignore[override]
        """Show the first screen over the questions."""
        self.push_screen(QuestionsScreen("Compressor hums, then goes quiet"))
        self.push_screen(StartScreen(HEADS, tuple))


def same_as_kept(name: str, shown: list[tuple[str, str]]) -> None:
    """Compare screens with the file that is kept of them, or write it if that is asked for."""
    text = "".join(f"==== {title}\n{screen}\n" for title, screen in shown)
    file = GOLDEN / f"{name}.txt"
    if os.environ.get("HALFSPLIT_GOLDEN") == "write":
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8", newline="\n")
    assert text == file.read_text(encoding="utf-8")


@pytest.mark.parametrize("size", SIZES, ids=lambda one: f"{one[0]}x{one[1]}")
async def test_a_walk_at_every_size(tmp_path: Path, size: tuple[int, int]) -> None:
    visit = new_visit(tmp_path, Clock())
    app = WalkApp(visit)
    shown: list[tuple[str, str]] = []

    async def keep(pilot: Pilot[int], title: str, *lines: str) -> None:
        await say(pilot, *lines)
        await pilot.pause()
        shown.append((title, screen_text(app)))

    async with app.run_test(size=size) as pilot:
        await keep(pilot, "a choice")
        await keep(pilot, "a line refused", "7")
        await keep(pilot, "a caution", "1")
        await keep(pilot, "a wait", "1")
        await keep(pilot, "a nameplate question", "over", "1")
        walked(visit, *TO_THE_CAPACITOR[4:])
        app.walk.show()
        await keep(pilot, "a reading")
        await keep(pilot, "its verdict", "41.2")
        await keep(pilot, "the repair", "")
        await keep(pilot, "taken back", "u")
        await keep(pilot, "why not", "c")
    same_as_kept(f"walk-{size[0]}x{size[1]}", shown)


@pytest.mark.parametrize("size", SIZES[::3], ids=lambda one: f"{one[0]}x{one[1]}")
async def test_the_beginning_small_and_wide(size: tuple[int, int]) -> None:
    app = BeginningApp()
    shown: list[tuple[str, str]] = []
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        shown.append(("first screen", screen_text(app)))
        await say(pilot, "l")
        await pilot.pause()
        shown.append(("first question", screen_text(app)))
        await say(pilot, "Ann Lee", "", "Public library", "RTU-1", "")
        await pilot.pause()
        shown.append(("all answers", screen_text(app)))
    same_as_kept(f"beginning-{size[0]}x{size[1]}", shown)

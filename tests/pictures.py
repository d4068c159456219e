"""The pictures of the README, made from the real screens: ``python -m tests.pictures``.

They show jobs of `tests.stories` on the shipped trees. Followed by a folder, the command makes
every scene at every size in both themes there, to be looked at.
"""

from __future__ import annotations

import asyncio
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from engine.guide.prompt import Now, Prompt
from tests.stories import STORIES, Reader, ended, new_visit, type_on
from tests.tui.screen_svg import screen_svg
from tests.tui.site import SIZES, WalkApp, say
from tests.typed_jobs import Watch
from tui.app import HalfsplitApp
from tui.screens.ending import EndScreen
from tui.themes import INDOOR_NAME, SUN_NAME

HERE = Path(__file__).parent / "golden" / "pictures"
HOME = "HALFSPLIT_HOME"
Size = tuple[int, int]


class EndApp(WalkApp):
    """The application with nothing but the end of a walk."""

    def follow(self) -> None:  # type: ignore[override]
        """Show what the walk came to."""
        self.push_screen(EndScreen(self.visit))


def beginning(folder: Path) -> HalfsplitApp:
    """Return the application as it opens."""
    return HalfsplitApp(settle=0)


def at_step(
    story: str, until: Callable[[Prompt], bool], app: type[WalkApp] = WalkApp
) -> Callable[[Path], HalfsplitApp]:
    """Return what makes the application in the middle of a story."""

    def make(folder: Path) -> HalfsplitApp:
        watch = Watch()
        visit = new_visit(STORIES[story], folder, watch)
        type_on(visit, Reader(STORIES[story]), watch, until)
        return app(visit)

    return make


def asks(step: str, now: Now = Now.STEP) -> Callable[[Prompt], bool]:
    """Return whether that step, or a question of the nameplate for it, is shown."""
    return lambda shown: shown.step == step and shown.now is now


WEAK = "weak capacitor"


@dataclass(frozen=True)
class Scene:
    """Something to see: how one comes there, and what is typed then."""

    title: str
    app: Callable[[Path], HalfsplitApp]
    lines: tuple[str, ...] = ()


SCENES = {
    "first-screen": Scene("The first screen: what does the customer say?", beginning),
    "nameplate": Scene(
        "A question about the nameplate", at_step(WEAK, asks("capacitor", Now.NAMEPLATE))
    ),
    "instruction": Scene("A reading is asked for", at_step(WEAK, asks("capacitor"))),
    "verdict": Scene(
        "A reading, where it fell and what it means", at_step(WEAK, asks("capacitor")), ("38.2",)
    ),
    "work-it-out": Scene(
        "A figure of the trade worked out", beginning, ("v", "unbalance", "208 209 203", "", "", "")
    ),
    "trail": Scene(
        "The trail, where any entry can be corrected",
        at_step(WEAK, asks("repair weak-capacitor")),
        ("t",),
    ),
    "stop": Scene("STOP: what to do at once", at_step(WEAK, asks("capacitor")), ("x", "1")),
    "end": Scene("The end: cause found", at_step(WEAK, ended, EndApp)),
}


@dataclass(frozen=True)
class Picture:
    """A scene at a size in a theme."""

    scene: str
    size: Size
    theme: str = INDOOR_NAME

    @property
    def name(self) -> str:
        """The name of its file."""
        return f"{self.scene}-{self.size[0]}x{self.size[1]}-{self.theme}.svg"


PHONE, TALL, TAILGATE, LAPTOP = SIZES
SHOWN = (
    Picture("verdict", LAPTOP),
    Picture("first-screen", TAILGATE),
    Picture("nameplate", PHONE, SUN_NAME),
    Picture("instruction", PHONE),
    Picture("verdict", PHONE, SUN_NAME),
    Picture("stop", PHONE),
    Picture("verdict", TALL, SUN_NAME),
    Picture("trail", TALL),
    Picture("work-it-out", TAILGATE, SUN_NAME),
    Picture("end", LAPTOP, SUN_NAME),
)
"""What the README shows: every scene, every size, both themes."""


@contextmanager
def empty_home() -> Iterator[Path]:
    """Give a folder for jobs and settings in the place of the user's own."""
    before = os.environ.get(HOME)
    with TemporaryDirectory() as folder:
        os.environ[HOME] = folder
        try:
            yield Path(folder)
        finally:
            del os.environ[HOME]
            if before is not None:
                os.environ[HOME] = before


async def taken(picture: Picture) -> str:
    """Return a picture as SVG."""
    scene = SCENES[picture.scene]
    with empty_home() as folder:
        app = scene.app(folder / "jobs")
        async with app.run_test(size=picture.size) as pilot:
            await pilot.pause()
            app.theme = picture.theme
            await say(pilot, *scene.lines)
            await pilot.pause()
            return screen_svg(app, scene.title)


async def write(pictures: tuple[Picture, ...], folder: Path) -> None:
    """Write pictures into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for picture in pictures:
        (folder / picture.name).write_text(await taken(picture), encoding="utf-8", newline="\n")


def main(arguments: list[str]) -> None:
    """Write the pictures of the README, or every picture there could be into a folder."""
    every = (
        Picture(scene, size, theme)
        for scene in SCENES
        for size in SIZES
        for theme in (INDOOR_NAME, SUN_NAME)
    )
    if arguments:
        asyncio.run(write(tuple(every), Path(arguments[0])))
    else:
        asyncio.run(write(SHOWN, HERE))


if __name__ == "__main__":
    main(sys.argv[1:])

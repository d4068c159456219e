"""The application: which screen comes after which, the themes, and leaving.

The first screen is up before the walk's own modules are read; a tree is loaded beside the
questions. No screen is waited for: each says by its result what comes next.
"""

from __future__ import annotations

import sys
import traceback
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from textual import events, work
from textual.app import App, ComposeResult
from textual.widgets import Static
from textual.worker import Worker, WorkerFailed

from engine.cli import places
from engine.cli.exits import Exit
from engine.loader.heads import heads
from tui.screens.entry_screen import EntryScreen
from tui.screens.start import NewJob, OpenJob, StartScreen
from tui.themes import INDOOR, INDOOR_NAME, SUN, SUN_NAME

if TYPE_CHECKING:
    from engine.guide.visit import Visit
    from engine.job.finding import Listed
    from engine.loader.library import Loaded
    from tui.screens.questions import Answers

SETTLE = 0.3
"""Seconds after a new step in which Enter alone is taken for a key that bounced."""

Made = TypeVar("Made")
Said = TypeVar("Said")

LEAVES = "l and Enter leaves, or ctrl+q; all that was entered is kept."
SETTINGS = "settings.json"
TROUBLE = "trouble.txt"
FAILED = (
    "The program itself failed; everything entered is kept in the job, and halfsplit goes on with "
    "it. What happened is written in"
)
NEEDS_TERMINAL = (
    "The screens need a terminal; halfsplit walk TREE --plain asks line by line without one.\n"
)


@dataclass(frozen=True)
class Opening:
    """What the command line asked for: a tree, a job, or neither."""

    tree: str = ""
    title: str = ""
    job: Path | None = None
    by: str = ""
    meter: str = ""
    author: Path | None = None
    """The tree's file that is being written."""

    @property
    def first(self) -> NewJob | OpenJob | None:
        """What is begun with instead of the first screen."""
        if self.job:
            return OpenJob(self.job)
        return NewJob(self.tree, self.title) if self.tree else None


class HalfsplitApp(App[int]):
    """The screens of halfsplit."""

    CSS_PATH = Path(__file__).with_name("app.tcss")
    ENABLE_COMMAND_PALETTE = False
    HORIZONTAL_BREAKPOINTS = [  # noqa: RUF012
        (0, "-narrow"),
        (80, "-normal"),
        (100, "-wide"),
    ]
    VERTICAL_BREAKPOINTS = [  # noqa: RUF012
        (0, "-short"),
        (24, "-tall"),
        (28, "-high"),
    ]

    def __init__(
        self,
        opening: Opening | None = None,
        settle: float = SETTLE,
        *,
        tells_failures: bool = False,
    ) -> None:
        """Make the application; with ``tells_failures`` no traceback reaches whoever sits there."""
        super().__init__()
        self._tells_failures = tells_failures
        self.opening = opening or Opening()
        self.settle = settle
        self._typed_ahead = ""
        self.register_theme(INDOOR)
        self.register_theme(SUN)
        self.theme = INDOOR_NAME

    def compose(self) -> ComposeResult:
        """Show, below every screen, that something is being read."""
        yield Static("Reading …", markup=False)

    def on_mount(self) -> None:
        """Begin, in the theme that the settings want."""
        if (places.home() / SETTINGS).is_file():
            self.theme = _theme()
        self.follow()

    def on_key(self, event: events.Key) -> None:
        """Keep what is typed while something is read and no line is there to take it."""
        if isinstance(self.screen, EntryScreen):
            return
        if event.key == "enter":
            self._typed_ahead += "\n"
        elif event.character and event.is_printable:
            self._typed_ahead += event.character

    # --- which screen comes next ------------------------------------------------------------------

    async def _through(self, screen: EntryScreen[Said]) -> Said:
        """Show a screen until it says what comes next.

        A line typed ahead stands on its entry line and is not entered: it was typed before what
        is asked could be seen.
        """
        ahead, self._typed_ahead = self._typed_ahead.partition("\n")[0], ""
        screen.typed_ahead = ahead
        return await self.push_screen_wait(screen)

    @work(exclusive=True)
    async def follow(self) -> None:
        """Go from the first screen into a job and back, until it is left."""
        if self.opening.author:
            await self._author(self.opening.author)
            self.exit(int(Exit.FINE))
            return
        first = self.opening.first
        said: tuple[str, ...] = ()
        while True:
            chosen = first or await self._through(self._start(said))
            if chosen is None:
                break
            said = await self._job(chosen)
            if first:
                break
        self.exit(int(Exit.FINE), message="\n".join(said) or None if first else None)

    async def _author(self, path: Path) -> None:
        """Follow a tree's file until that is left."""
        from tui.screens.author import AuthorScreen

        await self._through(AuthorScreen(path))

    def _start(self, said: Sequence[str] = ()) -> StartScreen:
        return StartScreen(heads(places.home()), _open_jobs, said)

    async def _job(self, chosen: NewJob | OpenJob) -> tuple[str, ...]:
        """Go through one job and return what to say after it."""
        try:
            picked = await self._left(chosen) if isinstance(chosen, NewJob) else chosen
            if isinstance(picked, OpenJob):
                return await self._walks(
                    *await self._aside(partial(_go_on, picked.folder, self.opening))
                )
            visit = await self._new(picked) if picked else None
            return () if visit is None else await self._walks(visit)
        except ValueError as error:
            # A JobError, whose class is not worth loading before a job is.
            return (str(error),)

    async def _left(self, chosen: NewJob) -> NewJob | OpenJob | None:
        """Ask whether to go on with a walk left in the tree; None to go back."""
        left = await self._aside(partial(_left_before_its_end, chosen.tree))
        if left is None:
            return chosen
        from tui.screens.go_on import GoOnScreen

        folder, words = left
        goes_on = await self._through(GoOnScreen(chosen.title, words))
        if goes_on is None:
            return None
        return OpenJob(folder) if goes_on else chosen

    async def _aside(self, make: Callable[[], Made]) -> Made:
        """Do what takes longer than a key press beside the screens; raises what it raises."""
        worker = self.run_worker(make, thread=True, exit_on_error=False, group="reading")
        return await _result(worker)

    async def _new(self, chosen: NewJob) -> Visit | None:
        """Ask the questions before a job while its tree is loaded; None where it is not begun."""
        from tui.screens.questions import QuestionsScreen

        by = self.opening.by or await self._aside(_name)
        loading = self.run_worker(
            partial(_ready, chosen.tree), thread=True, exit_on_error=False, group="reading"
        )
        answers = await self._through(QuestionsScreen(chosen.title, by))
        if answers is None:
            return None
        loaded = await _result(loading)
        return _begin(answers, loaded, self.opening)

    async def _walks(self, visit: Visit, said: tuple[str, ...] = ()) -> tuple[str, ...]:
        """Walk one tree after the other in a job, as long as that is wanted."""
        from tui.screens.walk import WalkScreen

        said = (*said, *visit.begin())
        while await self._through(WalkScreen(visit, said, self.settle)):
            from tui.screens.ending import EndScreen, Next

            said = ()
            after = await self._through(EndScreen(visit))
            if after is Next.START:
                break
            if after is Next.WALK:
                continue
            chosen = await self._through(self._start(("Another tree on the same job.",)))
            if not isinstance(chosen, NewJob):
                break
            visit = await self._aside(partial(_another, visit, chosen.tree))
            said = visit.begin()
        return (f"Kept: {visit.job.folder.name}.",)

    def _handle_exception(self, error: Exception) -> None:
        """Say that the program itself failed, and where that is written."""
        if not self._tells_failures:
            super()._handle_exception(error)
            return
        file = places.home() / TROUBLE
        with suppress(OSError):
            file.parent.mkdir(parents=True, exist_ok=True)
            said = "".join(traceback.format_exception(error))
            file.write_text(said, encoding="utf-8", newline="\n")
        self.exit(int(Exit.PROBLEMS), message=f"{FAILED} {file}")

    # --- keys of the application ------------------------------------------------------------------

    async def action_quit(self) -> None:
        """Leave the screen as ``l`` does; leave the program where there is nothing to leave."""
        if not (isinstance(self.screen, EntryScreen) and self.screen.leave()):
            self.exit(int(Exit.FINE))

    def action_help_quit(self) -> None:
        """Say how to leave, where ctrl+c was pressed for it."""
        if isinstance(self.screen, EntryScreen):
            self.screen.say((LEAVES,))


async def _result(worker: Worker[Made]) -> Made:
    """Return what a worker made; raises what it raised."""
    try:
        return await worker.wait()
    except WorkerFailed as failed:
        raise failed.error from None


# The walk's own modules are imported where they are first needed: the first screen is up by then.


def _open_jobs() -> Sequence[Listed]:
    from tui.jobs import open_jobs

    return open_jobs()


def _theme() -> str:
    from engine.cli import settings_file

    return SUN_NAME if settings_file.read(places.home())[0].sun else INDOOR_NAME


def _left_before_its_end(tree: str) -> tuple[Path, str] | None:
    from tui.jobs import left_before_its_end

    return left_before_its_end(tree)


def _name() -> str:
    from tui.jobs import settings

    return settings().name


def _ready(tree: str) -> Loaded:
    from tui.jobs import ready

    return ready(tree)


def _begin(answers: Answers, loaded: Loaded, opening: Opening) -> Visit:
    from tui.jobs import begin

    return begin(answers, loaded, opening.meter)


def _go_on(folder: Path, opening: Opening) -> tuple[Visit, tuple[str, ...]]:
    from tui.jobs import go_on

    return go_on(folder, opening.by, opening.meter)


def _another(visit: Visit, tree: str) -> Visit:
    from tui.jobs import ready, walk_another

    return walk_another(visit.job, ready(tree), visit)


# --- the command line -----------------------------------------------------------------------------


def draw(arguments: Sequence[str]) -> int:
    """Open the screens for a command line that draws them and return the exit code."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        sys.stderr.write(NEEDS_TERMINAL)
        return Exit.USAGE
    opening: Opening | Exit = Opening()
    if arguments:
        command, *words = arguments
        opening = _authoring(words) if command == "author" else _opening(words)
    if isinstance(opening, Exit):
        return opening
    code = HalfsplitApp(opening, tells_failures=True).run()
    return Exit.FINE if code is None else code


def _authoring(words: Sequence[str]) -> Opening | Exit:
    """Return which file ``author`` asks for, or the exit code after saying why it can't be had."""
    from engine.cli.author import file_of, parser
    from engine.cli.parsing import UsageError

    try:
        return Opening(author=file_of(parser().parse_args(words).file))
    except UsageError as error:
        sys.stderr.write(f"{error}\n")
        return error.code


def _opening(words: Sequence[str]) -> Opening | Exit:
    """Return what ``walk`` asks for, or the exit code after saying why it can't be had."""
    from engine.cli.jobs import job_folder
    from engine.cli.parsing import UsageError
    from engine.cli.walk import parser, ready
    from engine.job.chain import JobError
    from engine.loader.library import load

    try:
        given = parser().parse_args(words)
        if given.job:
            return Opening(job=job_folder(given.job), by=given.by, meter=given.meter)
    except (UsageError, JobError) as error:
        sys.stderr.write(f"{error}\n")
        return error.code if isinstance(error, UsageError) else Exit.PROBLEMS
    if not given.tree:
        return Opening(by=given.by, meter=given.meter)
    walk = ready(load(given.tree, places.home()), sys.stderr)
    if walk is None:
        return Exit.PROBLEMS
    return Opening(given.tree, walk.tree.title, by=given.by, meter=given.meter)

"""The first screen: what the customer says, or a job to go on with. Of trees it reads the heads."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from tui.screens.entry_screen import BACK, EntryScreen
from tui.widgets.fitting import Part, part, picking, wrapped
from tui.widgets.taps import DONE, Fields

if TYPE_CHECKING:
    # Listing jobs loads more than a first screen needs; it is asked for when they are.
    from engine.job.finding import Listed
    from engine.loader.heads import Head

OPEN_JOBS = "0"
WORK_IT_OUT = ("v", "work it out")
DRAFT = "draft"


@dataclass(frozen=True, slots=True)
class NewJob:
    """A job to be begun in a tree."""

    tree: str
    title: str


@dataclass(frozen=True, slots=True)
class OpenJob:
    """A job to be gone on with."""

    folder: Path


class StartScreen(EntryScreen[NewJob | OpenJob | None]):
    """Lists complaints and open jobs; dismissed with what was picked, None to leave."""

    narrow_taps: ClassVar[Fields] = ((DONE, "DONE"), ("b", "SUN"), ("l", "LEAVE"))
    wide_taps: ClassVar[Fields] = ((DONE, "Enter: take the number"), ("b", "sun"), ("l", "leave"))

    def __init__(
        self,
        heads: Iterable[Head],
        open_jobs: Callable[[], Sequence[Listed]],
        said: Sequence[str] = (),
        *,
        jobs_first: bool = False,
    ) -> None:
        super().__init__()
        self._heads = tuple(heads)
        self._open_jobs = open_jobs
        self._said = tuple(said)
        self._jobs: tuple[Listed, ...] = ()
        self._jobs_first = jobs_first

    def on_mount(self) -> None:
        """Show the complaints."""
        self.say(self._said)
        self.show()

    # --- showing ----------------------------------------------------------------------------------

    def show(self) -> None:
        """Show what can be begun."""
        self.lay("halfsplit", self._parts)
        self.ask("which?")

    def _parts(self, width: int) -> list[Part]:
        heading = wrapped("New job: what does the customer say?", width, "bold")
        rows = [part(heading, rank=0)]
        for number, head in enumerate(self._heads, 1):
            rows.append(_numbered(str(number), _title(head), ", ".join(head.said_as), width))
        rows.append(_numbered(self._figures, "Work it out", "a figure of the trade", width))
        rows.append(
            _numbered(self._writing, "Write a tree", "its file followed as you save it", width)
        )
        rows.append(_numbered(OPEN_JOBS, "go on with an open job", "", width))
        return rows

    @property
    def _figures(self) -> str:
        """The number under which figures are worked out."""
        return str(len(self._heads) + 1)

    @property
    def _writing(self) -> str:
        """The number under which a tree is written."""
        return str(len(self._heads) + 2)

    def _write(self) -> None:
        from tui.screens.writing import WritingScreen

        self.app.push_screen(WritingScreen(self._heads))

    def _work_out(self) -> None:
        # What figures stand on is loaded when one is wanted, not before the first screen is up.
        from engine.cli import places, settings_file
        from engine.guide.working_state import Working
        from tui.screens.figures import FiguresScreen

        settings, _ = settings_file.read(places.home())
        self.app.push_screen(FiguresScreen(Working(degrees=settings.degrees)))

    def _show_jobs(self) -> None:
        self._jobs = tuple(self._open_jobs())
        if not self._jobs:
            self.say(("There is no open job.",))
            return
        self.reading = True
        self.sheet.show("Open jobs", self._job_parts, returns=False)
        self.ask("which?", BACK)

    def _job_parts(self, width: int) -> list[Part]:
        return [
            _numbered(str(number), _place(one), _about(one), width)
            for number, one in enumerate(self._jobs, 1)
        ]

    # --- taking -----------------------------------------------------------------------------------

    def take(self, text: str) -> None:
        """Take a number, a letter, or words that one complaint holds."""
        said = text.strip().casefold()
        if said == "l":
            self.dismiss(None)
        elif said == "b":
            self.entry.clear()
            self.change_theme()
        elif self.reading:
            self._pick_job(text)
        elif said == self._figures or said in WORK_IT_OUT:
            self.entry.clear()
            self.say()
            self._work_out()
        elif said == self._writing:
            self.entry.clear()
            self.say()
            self._write()
        elif said == OPEN_JOBS:
            self.entry.clear()
            self.say()
            self._show_jobs()
        else:
            self._pick_tree(text)

    def _pick_tree(self, text: str) -> None:
        said = text.strip().casefold()
        found = [
            head
            for number, head in enumerate(self._heads, 1)
            if said == str(number) or (said and not said.isdigit() and said in _words(head))
        ]
        if len(found) == 1:
            self.dismiss(NewJob(found[0].name, found[0].title))
            return
        sentence = f"A number from 0 to {self._writing} is wanted; l leaves, b is for bright sun."
        if len(found) > 1:
            sentence = f"{len(found)} complaints hold that; give the number."
        self.refuse(text, ("", "^", sentence))

    def _pick_job(self, text: str) -> None:
        said = text.strip()
        if said.isdigit() and 1 <= int(said) <= len(self._jobs):
            self.dismiss(OpenJob(self._jobs[int(said) - 1].folder))
            return
        self.refuse(text, ("", "^", f"1 to {len(self._jobs)}; Enter alone goes back."))

    def leave(self) -> bool:
        """Leave; there is nothing to keep."""
        self.dismiss(None)
        return True


def _numbered(number: str, title: str, more: str, width: int) -> Part:
    """Return a row that a tap picks, with a quiet line below it where there is room for one."""
    rows = tuple(picking(row, number) for row in wrapped(f"{number} {title}", width, "", "  "))
    below = tuple(picking(row, number) for row in wrapped(f"  {more}", width, "$quiet", "  "))
    if not more:
        return part(rows, rank=1)
    return Part(((*rows, *below), rows), 2, 8)


def _title(head: Head) -> str:
    return f"{head.title} ({DRAFT})" if head.status == DRAFT else head.title


def _words(head: Head) -> str:
    return " ".join((head.name, head.title, *head.said_as)).casefold()


def _place(one: Listed) -> str:
    where = ", ".join(word for word in (one.header.site, one.header.unit) if word)
    when = one.header.created[:16].replace("T", " ")
    return f"{when} {where or one.folder.name}".strip()


def _about(one: Listed) -> str:
    return one.problem or ", ".join((*one.trees, *(name for name in one.people if name)))

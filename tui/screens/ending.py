"""The end of a walk: what was found, how things stand, the report, closing the job."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from enum import Enum
from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import Vertical

from engine.cli import report
from engine.cli.start import ending
from engine.guide import pages
from engine.guide.line import Action, read_line
from engine.guide.visit import Visit
from engine.job import closing, disk
from engine.job.chain import JobError
from tui.screens.entry_screen import EntryScreen
from tui.widgets.fitting import Part, listed, part
from tui.widgets.one_line import OneLine
from tui.widgets.taps import DONE, Fields


class Next(Enum):
    """What comes after the end of a walk."""

    START = "back to the first screen"
    ANOTHER = "another complaint on the same job"


class Asking(Enum):
    """What the entry line asks at the end."""

    WHICH = "which?"
    SURE = "1 close 2 not yet?"
    ADDENDUM = "addendum?"


class EndScreen(EntryScreen[Next]):
    """Shows what a walk came to; dismissed with what comes next."""

    narrow_taps: ClassVar[Fields] = ((DONE, "DONE"), ("b", "SUN"), ("l", "LEAVE"))
    wide_taps: ClassVar[Fields] = (
        (DONE, "Enter: take the number"),
        ("z", "all zones"),
        ("a", "what to tell the customer"),
        ("b", "sun"),
        ("l", "leave"),
    )

    def __init__(self, visit: Visit) -> None:
        super().__init__()
        self.visit = visit
        self.power = OneLine()
        self._asking = Asking.WHICH

    def compose_above(self) -> ComposeResult:
        """Put the power lines on top here, too."""
        yield self.power
        with Vertical(id="main"):
            yield self.sheet

    def on_mount(self) -> None:
        """Show what the walk came to."""
        self.power.show(self.visit.prompt().zones, f"{self.visit.clock():%H:%M}")
        self.show()

    # --- showing ----------------------------------------------------------------------------------

    def show(self) -> None:
        """Show the findings and what can be done with the job."""
        self._asking = Asking.WHICH
        closed = " (closed)" if self.visit.job.closed else ""
        self.lay(f"End of the walk{closed}", self._parts)
        self.ask(Asking.WHICH.value)

    def _parts(self, width: int) -> list[Part]:
        choices = [f"{number} {words}" for number, (words, _) in self._menu().items()]
        stands = pages.standing(self.visit.walk, self.visit.state)
        rows = tuple(row for one in listed(stands, width) for row in one.forms[0])
        return [*listed((*ending(self.visit), *choices), width), part(rows, (), rank=9)]

    def _menu(self) -> Mapping[str, tuple[str, Callable[[], None]]]:
        if self.visit.job.closed:
            return {
                "1": ("add something to the closed job", self._ask_addendum),
                "2": (Next.START.value, self._leave),
            }
        return {
            "1": ("write the report", self._write),
            "2": ("close the job: the report is frozen", self._ask_close),
            "3": (Next.ANOTHER.value, lambda: self._go(Next.ANOTHER)),
            "4": ("leave the job open", self._leave),
        }

    # --- taking -----------------------------------------------------------------------------------

    def take(self, text: str) -> None:
        """Take a number of the list, a letter, or what was asked for."""
        said = text.strip()
        if self._asking is Asking.ADDENDUM:
            self._answered(text, said, self._add)
        elif self._asking is Asking.SURE:
            self._answered(text, said, self._close)
        elif said in self._menu():
            self.entry.clear()
            self.say()
            self._menu()[said][1]()
        else:
            self._letter(text)

    def _letter(self, text: str) -> None:
        action = read_line(text).action
        self.entry.clear()
        if action is Action.SUN:
            self.change_theme()
        elif action is Action.LEAVE:
            self._leave()
        elif action is Action.ZONES:
            self.read("All zones", pages.standing(self.visit.walk, self.visit.state))
        elif action is Action.CUSTOMER:
            told = pages.customer(self.visit.view, self.visit.prompt())
            self.read("What to tell the customer", told)
        else:
            self.refuse(text, ("", "^", f"A number from 1 to {len(self._menu())} is wanted here."))

    def _answered(self, text: str, said: str, act: Callable[[str], str]) -> None:
        """Take the answer to a question of this screen; Enter alone drops it."""
        try:
            came_to = act(said) if said else "Nothing was changed."
        except JobError as error:
            self.refuse(text, ("", "^", str(error)))
            return
        self.entry.clear()
        self.show()
        self.say((came_to,))

    def _ask_close(self) -> None:
        self._asking = Asking.SURE
        self.say(("The report is frozen then; afterwards only addenda. 1 close 2 not yet",))
        self.ask(Asking.SURE.value, "not yet")

    def _close(self, said: str) -> str:
        if said not in ("1", "2"):
            raise JobError("1 close, 2 not yet.")
        if said == "2":
            return "Nothing was changed."
        job = self.visit.job
        # The moment of closing is worked out before the record has it: the pages come first.
        closing.close(job, report.pages(self.visit.job), self.visit.by, self.visit.clock())
        return f"Closed. The report lies in {job.folder}."

    def _ask_addendum(self) -> None:
        self._asking = Asking.ADDENDUM
        self.ask(Asking.ADDENDUM.value, "nothing")

    def _add(self, said: str) -> str:
        closing.add(self.visit.job, said, self.visit.by, self.visit.clock())
        return "Added."

    def _write(self) -> None:
        folder = self.visit.job.folder
        try:
            for ending_, raw in report.pages(self.visit.job).items():
                disk.write(folder / f"{closing.REPORT}.{ending_}", raw)
        except JobError as error:
            self.say((str(error),))
            return
        self.say((f"Written: {folder / closing.REPORT}.html",))

    def _leave(self) -> None:
        self._go(Next.START)

    def _go(self, what: Next) -> None:
        self.dismiss(what)

    def leave(self) -> bool:
        """Leave the job as it is."""
        self._leave()
        return True

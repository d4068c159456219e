"""The end of a walk: what was found, how things stand, the report, closing the job."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from enum import Enum
from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content

from engine.cli import report
from engine.cli.start import ending
from engine.guide.line import WORDS, Action, read_line
from engine.guide.prompt import Now
from engine.guide.talk import STOP_WORDS, Mode
from engine.guide.visit import Visit
from engine.job import closing, disk
from engine.job.chain import JobError
from engine.report.at_end import FIRST
from engine.report.model import Section
from engine.safe_words import STOP_FIRST
from tui.screens.entry_screen import BACK, EntryScreen
from tui.widgets.fitting import (
    INDENT,
    Part,
    Rows,
    first_rows,
    listed,
    paged,
    part,
    wrapped,
)
from tui.widgets.one_line import OneLine
from tui.widgets.taps import DONE, Fields

_ONLY_SHOWN = frozenset({Action.ZONES, Action.POSSIBLE, Action.CUSTOMER, Action.WORD, Action.SUN})
_TO_THE_VISIT = _ONLY_SHOWN | {
    Action.UNDO,
    Action.TRAIL,
    Action.NOTE,
    Action.PHOTO,
    Action.FAULTY_STEP,
    Action.STOP,
}
"""Letters that mean at the end what they mean on the walk; in a closed job nothing is entered."""


class Next(Enum):
    """What comes after the end of a walk."""

    START = "back to the first screen"
    ANOTHER = "another complaint on the same job"
    WALK = "back into the walk: its last entry was taken back"


class Asking(Enum):
    """What the entry line asks at the end."""

    WHICH = "which?"
    SURE = "1 close 2 not yet?"
    ADDENDUM = "addendum?"
    STOP = "what is it?"


class EndScreen(EntryScreen[Next]):
    """Shows what a walk came to; dismissed with what comes next."""

    narrow_taps: ClassVar[Fields] = ((DONE, "DONE"), ("x", "STOP"), ("l", "LEAVE"))
    wide_taps: ClassVar[Fields] = (
        ("z", "zones"),
        ("s", "possible"),
        ("a", "customer"),
        ("t", "trail"),
        ("u", "undo"),
        ("n", "note"),
        ("p", "photo"),
        ("b", "sun"),
        ("l", "leave"),
        ("x", "STOP"),
    )

    def __init__(self, visit: Visit) -> None:
        super().__init__()
        self.visit = visit
        self.power = OneLine()
        self._asking = Asking.WHICH
        self._came_to: tuple[Section, ...] = ()

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
        self._came_to = ending(self.visit)
        self.lay(f"End of the walk{closed}", self._parts)
        self.ask(Asking.WHICH.value)

    def _parts(self, width: int) -> list[Part]:
        choices = [f"{number} {words}" for number, (words, _) in self._menu().items()]
        return _laid_out(self._came_to, listed(choices, width), width, self.sheet.size.height - 1)

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
        if self.visit.talk.mode:
            self._give(text)
        elif self._asking is Asking.ADDENDUM:
            self._answered(text, said, self._add)
        elif self._asking is Asking.SURE:
            self._answered(text, said, self._close)
        elif self._asking is Asking.STOP:
            self._answered(text, said, self._order)
        elif said in self._menu():
            self.entry.clear()
            self.say()
            self._menu()[said][1]()
        else:
            self._letter(text)

    def _letter(self, text: str) -> None:
        action = read_line(text).action
        if action is Action.LEAVE:
            self._leave()
        elif action is Action.STOP and self.visit.job.closed:
            self.entry.clear()
            self._ask_stop()
        elif action in (_ONLY_SHOWN if self.visit.job.closed else _TO_THE_VISIT):
            self._give(text)
        else:
            sentence = f"A number from 1 to {len(self._menu())} is wanted here."
            self.refuse(text, ("", "^", sentence))

    def _give(self, text: str) -> None:
        """Give a line to the visit, as on the walk; go back into it where it stands again."""
        was = self.visit.talk.mode
        try:
            shown = self.visit.enter(text)
        except JobError as error:
            self.refuse(text, ("", "^", f"Not kept. {error}"))
            return
        if shown.refused:
            self.refuse(text, shown.refused)
            return
        self.entry.clear()
        if shown.sun:
            self.change_theme()
        if self.visit.prompt().now is not Now.ENDED:
            self._go(Next.WALK)
            return
        self.say()
        action = read_line(text).action
        self._title = WORDS[action] if action and not was else self._title
        # What to do at once is for the middle of the screen, however short it is.
        ordered = (was is Mode.STOP or action is Action.STOP) and not self.visit.talk.mode
        if shown.lines and (self.visit.talk.mode or ordered or len(shown.lines) > 1):
            title = f"{self._title[:1].upper()}{self._title[1:]}"
            self.read(title, shown.lines, self.visit.asks)
        elif self.visit.talk.mode:
            self.ask(self.visit.asks, BACK)
        else:
            self.show()
            self.say(shown.lines)

    def action_back(self) -> None:
        """Go back to what the walk came to; a question that was open is dropped."""
        self.visit.drop_question()
        super().action_back()

    _title = ""

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

    def _ask_stop(self) -> None:
        """Ask what happened; a closed job holds no more of it than an addendum."""
        self._asking = Asking.STOP
        listed_ = (f"{number} {words}" for number, words in enumerate(STOP_WORDS.values(), 1))
        self.read("STOP", tuple(listed_), Asking.STOP.value)

    def _order(self, said: str) -> str:
        if not said.isdigit() or not 1 <= int(said) <= len(STOP_WORDS):
            raise JobError(f"1 to {len(STOP_WORDS)}.")
        return STOP_FIRST[list(STOP_WORDS)[int(said) - 1]]

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


def _laid_out(sections: Sequence[Section], menu: list[Part], width: int, height: int) -> list[Part]:
    """Return all on one page; where that is too low, first what matters most, and the choices.

    Then the others follow in their order, with what had no more than a row on the first page.
    """
    whole = [*(part(_rows(one, width)) for one in sections), *menu]
    if len(paged(whole, height)) == 1:
        return whole
    room = height - sum(len(one.forms[-1]) for one in menu)
    first: list[Part] = []
    later: list[Part] = []
    for one in sorted(sections, key=_urgency):
        rows = _rows(one, width)
        fits = len(rows) <= room and not later
        urgent = _urgency(one) < len(FIRST)
        shown = rows if fits else first_rows(rows, 1, width)[:room] if urgent else ()
        first.append(part(shown))
        room -= len(shown)
        if shown != rows:
            later.append(part(rows))
    return [*first, *menu, part((Content(""),) * room), *later]


def _urgency(one: Section) -> int:
    return FIRST.index(one.heading) if one.heading in FIRST else len(FIRST)


def _rows(one: Section, width: int) -> Rows:
    """Return a section: its heading and first sentence in one, the others below, indented."""
    first, *others = one.sentences or ("Nothing was reported.",)
    head, *more = wrapped(f"{one.heading}: {first}", width, "", INDENT)
    return (
        head.stylize("bold", 0, len(one.heading) + 1),
        *more,
        *(row for text in others for row in wrapped(INDENT + text, width, "", INDENT * 2)),
    )

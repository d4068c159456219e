"""*Work it out*: pick a figure of the trade, fill it in on the entry line, see what it comes to.

What a line means and what is asked next is said by `engine.guide.working_out`; the screen holds
where that stands and lays out its page.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import ClassVar

from textual.content import Content

from engine.guide.working_out import take
from engine.guide.working_page import Option, Page, page
from engine.guide.working_state import Working
from engine.trade.catalogue import FIGURES
from tui.screens.entry_screen import EntryScreen
from tui.widgets.fitting import INDENT, Part, Rows, flowing, part, picking, wrapped
from tui.widgets.taps import DONE, Fields

ECHO_ROWS = 2
"""What a line came to is shown below the entry line if it has room there on a phone."""


class FiguresScreen(EntryScreen[bool]):
    """Works figures out one after the other; dismissed with True where a walk is to be stopped."""

    narrow_taps: ClassVar[Fields] = ((DONE, "DONE"), ("u", "UNDO"), ("m", "MORE"))
    wide_taps: ClassVar[Fields] = (
        (DONE, "Enter: done"),
        ("u", "take back"),
        ("c", "leave out"),
        ("w", "formula, source, limits"),
        ("b", "sun"),
        ("l", "back"),
        ("m", "everything"),
    )

    def __init__(self, working: Working) -> None:
        super().__init__()
        self.working = working

    def on_mount(self) -> None:
        """Show the subjects, or the figure picked already."""
        self.show()
        # Titles are looked through when part of one is typed; by then every subject is there.
        self.run_worker(_every_figure, thread=True, group="reading")

    # --- showing ----------------------------------------------------------------------------------

    def show(self) -> None:
        """Show what is asked now, or the answer."""
        shown = page(self.working)
        self.reading = False
        # From the last page Enter goes on: all was in sight by then, and nothing here is for good.
        self.sheet.show(shown.title, partial(parts_of, shown), returns=False)
        self.ask(shown.wanted, shown.enter)

    # --- taking -----------------------------------------------------------------------------------

    def take(self, text: str) -> None:
        """Take a line and show what it came to."""
        turn = take(self.working, text)
        if turn.refused:
            self.refuse(text, turn.refused)
            return
        self.entry.clear()
        if turn.sun:
            self.change_theme()
        if turn.working is None:
            self.dismiss(turn.stop)
            return
        self.working = turn.working
        if self.echo.holds(turn.lines, self.size.width, ECHO_ROWS):
            self.say(turn.lines)
            self.show()
        else:
            self.say()
            self.read(page(self.working).title, turn.lines)

    def pick(self, number: str) -> None:
        """Enter the number of a list at once; the answer to a question waits for *Done*."""
        if self.working.asking and not self.working.listing:
            super().pick(number)
        else:
            self.enter(number)

    def leave(self) -> bool:
        """Go back to where this was opened; what was given for a figure is not kept."""
        self.dismiss(False)
        return True


class WalkFiguresScreen(FiguresScreen):
    """The same over a walk, whose values can be taken and which can be stopped from here."""

    wide_taps: ClassVar[Fields] = (
        *FiguresScreen.wide_taps,
        ("k", "known on the walk"),
        ("x", "STOP"),
    )


def _every_figure() -> int:
    """Load every figure; how many there are."""
    return len(tuple(FIGURES.values()))


def parts_of(shown: Page, width: int) -> list[Part]:
    """Return a page as parts, top to bottom."""
    return list(_each(shown, width))


def _each(shown: Page, width: int) -> Iterator[Part]:
    for at, text in enumerate(shown.says):
        yield part(wrapped(text, width, "" if at else "bold", INDENT), rank=0)
    if shown.options:
        yield _APART
        yield _options(shown.options, width)
    if shown.asides:
        yield _APART
    for text in shown.asides:
        yield part(wrapped(text, width, "$quiet", INDENT), (), rank=6)


_APART = Part(((Content(""),), ()), 2, rank=9)
"""An empty row, where there is room for one."""


def _options(options: tuple[Option, ...], width: int) -> Part:
    """Return what can be picked: each with more about it, in a row of its own, or side by side."""
    full = tuple(row for one in options for row in _with_about(one, width))
    plain = tuple(row for one in options for row in _rows(one, _words(one), width))
    items = [picking(Content(_words(one)), str(one.number)) for one in options]
    return Part((full, plain, flowing(items, width)), 3, rank=1)


def _words(one: Option) -> str:
    return f"{one.number} {one.words}".rstrip()


def _with_about(one: Option, width: int) -> Rows:
    """Return what can be picked with more about it behind it, or below where it is too long."""
    words, about = _words(one), f"  {one.about}"
    if not one.about:
        return _rows(one, words, width)
    if len(words) + len(about) <= width:
        return (picking(Content(words) + Content.styled(about, "$quiet"), str(one.number)),)
    return (*_rows(one, words, width), *_rows(one, about, width, "$quiet"))


def _rows(one: Option, text: str, width: int, style: str = "") -> Rows:
    return tuple(picking(row, str(one.number)) for row in wrapped(text, width, style, INDENT))

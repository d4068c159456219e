"""The middle of a screen: a title, and one thing to do or to read, on as many pages as it needs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from textual.content import Content
from textual.message import Message
from textual.widget import Widget

from tui.widgets.fitting import Part, paged

Lay = Callable[[int], list[Part]]
"""Makes the parts for a number of columns."""

MORE = "more"


def _nothing(width: int) -> list[Part]:
    return []


class StepSheet(Widget):
    """Shows a title bar and the first page; `turn` goes on to the next, and back to the first."""

    @dataclass
    class Picked(Message):
        """A numbered row was tapped."""

        number: str

    def __init__(self) -> None:
        super().__init__(id="sheet")
        self._title = ""
        self._tail = ""
        self._lay: Lay = _nothing
        self._page = 0
        self._turned = False
        self._returns = True

    def show(self, title: str, lay: Lay, tail: str = "", *, returns: bool = True) -> None:
        """Show something new, from its first page on.

        After the last page `turn` ``returns`` to the first one: there is something to do there.
        """
        self._title, self._lay, self._tail = title, lay, tail
        self._page, self._turned, self._returns = 0, False, returns
        self.refresh()

    def show_again(self, title: str, lay: Lay, tail: str = "") -> None:
        """Show the same with what has changed in it, on the page that it is on."""
        self._title, self._lay, self._tail = title, lay, tail
        self.refresh()

    @property
    def page_count(self) -> int:
        """How many pages there are in the room there is now."""
        return len(self._pages())

    @property
    def more(self) -> bool:
        """True while Enter turns a page."""
        return self._more(self.page_count)

    def _more(self, pages: int) -> bool:
        if self._turned or pages < 2:
            return False
        return self._returns or self._page < pages - 1

    def turn(self) -> bool:
        """Turn to the next page; False once all was shown: Enter then means what it always does."""
        if not self.more:
            return False
        self._page += 1
        if self._page >= self.page_count:
            self._page, self._turned = 0, True
        self.refresh()
        return True

    def _pages(self) -> tuple[tuple[Content, ...], ...]:
        return paged(self._lay(self.size.width), self.size.height - 1)

    def render(self) -> Content:
        """Return the title bar and the rows of the page."""
        pages = self._pages()
        page = pages[min(self._page, len(pages) - 1)]
        return Content("\n").join((self._bar(len(pages)), *page))

    def _bar(self, pages: int) -> Content:
        tail = self._tail
        if pages > 1:
            more = f"{MORE} " if self._page < pages - 1 and self._more(pages) else ""
            tail = f"{tail} {more}{self._page + 1}/{pages}".strip()
        width = self.size.width
        room = max(width - len(tail) - (3 if tail else 2), 0)
        title = self._title if len(self._title) <= room else f"{self._title[: room - 1]}…"
        text = f" {title.ljust(room)} {tail}" if tail else f" {title}"
        return Content.styled(text.ljust(width)[:width], "bold $bar-text on $bar")

    def action_pick(self, number: str) -> None:
        """Say which row was tapped."""
        self.post_message(self.Picked(number))

"""Below the entry line: what the last entry came to, or why it was not taken."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.widget import Widget

from tui.widgets.fitting import Rows, first_rows, wrapped


class Echo(Widget):
    """Shows a verdict, or a caret under the place where a typed line went wrong."""

    def __init__(self) -> None:
        super().__init__(id="echo")
        self._lines: tuple[str, ...] = ()
        self._caret: int | None = None

    def say(self, lines: Sequence[str] = (), caret: int | None = None) -> None:
        """Show lines; with ``caret`` they say what is wrong in that column of the screen."""
        self._lines, self._caret = tuple(lines), caret
        self.refresh()

    @property
    def says(self) -> str:
        """What is shown, as one text."""
        return " ".join(self._lines)

    def holds(self, lines: Sequence[str], width: int, height: int) -> bool:
        """Return whether lines can be shown here without being cut."""
        return sum(len(wrapped(line, width)) for line in lines) <= height

    def rows(self, width: int, height: int) -> Rows:
        """Return the rows for a room."""
        if self._caret is None:
            rows = [
                row
                for at, line in enumerate(self._lines)
                for row in wrapped(line, width, "" if at else "bold")
            ]
            return first_rows(tuple(rows), height, width)
        return first_rows(
            _under_caret(self._lines, min(self._caret, width - 1), width), height, width
        )

    def render(self) -> Content:
        """Return the rows that fit."""
        return Content("\n").join(self.rows(self.size.width, max(self.size.height, 1)))


def _under_caret(lines: Sequence[str], column: int, width: int) -> Rows:
    """Return a caret with the sentence beside it, or under it where it is too long for that."""
    text = " ".join(lines)
    if column + 2 + len(text) <= width:
        return (Content.styled(f"{' ' * column}^ {text}", "bold"),)
    return (Content.styled(f"{' ' * column}^", "bold"), *wrapped(text, width, "bold"))

"""What was entered, newest first; what was taken back is lined through and says so."""

from __future__ import annotations

from textual.content import Content
from textual.widget import Widget

from engine.guide.pages import TrailRow
from tui.widgets.fitting import INDENT, first_rows, wrapped

TAKEN_BACK = " (taken back)"


class Trail(Widget):
    """Shows as many entries as there is room for; the page under ``t`` has those that count."""

    def __init__(self) -> None:
        super().__init__(id="trail")
        self._rows: tuple[TrailRow, ...] = ()

    def show(self, rows: tuple[TrailRow, ...]) -> None:
        """Show entries, newest first."""
        if rows != self._rows:
            self._rows = rows
            self.refresh()

    def render(self) -> Content:
        """Return a heading and the entries that fit."""
        width, height = self.size
        rows = [Content.styled("Trail (t)", "bold underline")]
        for row in self._rows:
            number = f"{row.number:2} " if row.number else "   "
            style = "strike $quiet" if row.taken_back else ""
            said = wrapped(number + row.words, width, style, INDENT + " ")
            rows += (*said, *((Content(INDENT + TAKEN_BACK),) if row.taken_back else ()))
        return Content("\n").join(first_rows(tuple(rows), max(height, 1), width))

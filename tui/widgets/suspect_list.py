"""What is still possible, in words, each with the reading that cleared it."""

from __future__ import annotations

from textual.content import Content
from textual.widget import Widget

from tui.widgets.fitting import INDENT, first_rows, wrapped


class SuspectList(Widget):
    """Shows as many suspects as there is room for; the page under ``s`` has them all."""

    def __init__(self) -> None:
        super().__init__(id="suspects")
        self._lines: tuple[str, ...] = ()

    def show(self, lines: tuple[str, ...]) -> None:
        """Show suspects, the likeliest first."""
        if lines != self._lines:
            self._lines = lines
            self.refresh()

    def render(self) -> Content:
        """Return a heading and the lines that fit."""
        width, height = self.size
        rows = [Content.styled("Still possible (s)", "bold underline")]
        heading = "possible"
        for line in self._lines:
            kind, _, words = line.partition(": ")
            if kind != heading:
                rows.append(Content.styled(f"{kind}:", "bold"))
                heading = kind
            rows += wrapped(words, width, "$quiet" if kind == "cleared" else "", INDENT)
        return Content("\n").join(first_rows(tuple(rows), max(height, 1), width))

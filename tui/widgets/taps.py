"""Where the thumb is: three wide fields on a phone, every action by its letter on a laptop."""

from __future__ import annotations

from dataclasses import dataclass

from textual.content import Content
from textual.message import Message
from textual.style import Style
from textual.widget import Widget

from tui.widgets.fitting import flowing

WIDE = 80
DONE = ""
"""What *Done* enters: the line as it stands."""

Fields = tuple[tuple[str, str], ...]
"""(what is entered, its word)."""


class Taps(Widget):
    """Shows fields that can be tapped instead of typed."""

    @dataclass
    class Tapped(Message):
        """A field was tapped."""

        text: str

    def __init__(self, narrow: Fields, wide: Fields) -> None:
        super().__init__(id="taps")
        self._narrow, self._wide = narrow, wide

    def render(self) -> Content:
        """Return three fields, or every action with its letter."""
        width, height = self.size
        if width >= WIDE:
            items = [_field(f"{letter} {word}".lstrip(), letter) for letter, word in self._wide]
            return Content("\n").join(flowing(items, width)[: max(height, 1)])
        if not self._narrow:
            return Content("")
        each = width // len(self._narrow)
        empty = self._row([""] * len(self._narrow), each)
        rows = [empty] * max(height, 1)
        rows[len(rows) // 2] = self._row([word for _, word in self._narrow], each)
        return Content("\n").join(rows)

    def _row(self, words: list[str], each: int) -> Content:
        fields = [
            _field(word.center(each - 1), text, "bold")
            for word, (text, _) in zip(words, self._narrow, strict=True)
        ]
        return Content("│").join(fields)

    def action_tap(self, text: str) -> None:
        """Say which field was tapped."""
        self.post_message(self.Tapped(text))


def _field(shown: str, text: str, style: str = "") -> Content:
    content = Content.styled(shown, style) if style else Content(shown)
    return content.stylize(Style.from_meta({"@click": f"tap({text!r})"}))

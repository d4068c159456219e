"""The entry line: what is wanted, and what is typed. It always has the focus; nothing else can.

Nothing typed is lost: a line that was refused stays, selected, so that the next digit replaces it
and an arrow key keeps it; Enter as it stands clears it; *up* brings back the last line that was
entered, cleared or replaced.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input, Static

LEAST = 13
"""Columns that are kept for what is typed."""
END = " > "


class ReadingInput(Widget):
    """Shows ``uF? >`` and takes a line."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("up", "recall", show=False)]

    @dataclass
    class Entered(Message):
        """A line was entered; empty for Enter alone."""

        text: str
        began: bool = False
        """A new line was begun while a verdict was waiting to be looked at."""

    def __init__(self) -> None:
        super().__init__(id="entry")
        self._label = Static(id="wanted")
        self._line = Input(id="line", select_on_focus=False, compact=True)
        self._line.cursor_blink = False
        self._wanted = ""
        self._last = ""
        self._waiting = False
        self._kept = ""
        self._refused = ""

    def compose(self) -> ComposeResult:
        """Put what is wanted before what is typed."""
        yield self._label
        yield self._line

    def on_mount(self) -> None:
        """Take the focus, and keep it."""
        self._line.focus()

    def ask(self, wanted: str, enter: str = "") -> None:
        """Say what is wanted, and what Enter alone does."""
        self._wanted = wanted
        self._line.placeholder = f"Enter = {enter}" if enter else ""
        self._label.update(Content.styled(self._shown(), "bold"))

    def on_resize(self) -> None:
        """Show as much of what is wanted as there is room for."""
        self._label.update(Content.styled(self._shown(), "bold"))

    def _shown(self) -> str:
        width = self.size.width or self.app.size.width
        room = max(width - LEAST - len(END), 8)
        wanted = self._wanted if len(self._wanted) <= room else f"{self._wanted[: room - 1]}…"
        return (wanted + END).lstrip()

    @property
    def typed(self) -> str:
        """What stands on the line now."""
        return self._line.value

    @property
    def indent(self) -> int:
        """The column at which what is typed begins."""
        return len(self._shown())

    def clear(self) -> None:
        """Empty the line; *up* brings back what stood there."""
        self._refused = ""
        self._waiting = False
        self._remember(self._line.value)
        self._set("")

    def refuse(self, text: str) -> None:
        """Leave a line that was not taken, selected: the next key replaces it, Enter clears it."""
        self._keep(text)
        self._refused = text

    def _keep(self, text: str) -> None:
        self._set(text)
        self._line.action_select_all()
        self._remember(text)

    def wait(self, text: str) -> None:
        """Leave the line as it is until a key begins a new one, which is said at once."""
        self._keep(text)
        self._kept = text
        self._waiting = True

    def end_wait(self) -> None:
        """Empty the line if it still holds what was entered before."""
        if self._waiting:
            self.clear()

    def fill(self, text: str) -> None:
        """Put a tapped answer on the line, to be entered by Enter or *Done*."""
        self._begin()
        self._set(text)
        self._line.action_end()

    def submit(self) -> None:
        """Enter what stands on the line; what waits there was entered already."""
        if self._refused and self._line.value == self._refused:
            self.clear()
            return
        self.post_message(self.Entered("" if self._waiting else self._line.value))

    def _set(self, text: str) -> None:
        with self.prevent(Input.Changed):
            self._line.value = text

    def _remember(self, text: str) -> None:
        self._last = text or self._last

    def _begin(self) -> None:
        """Say that a new line is begun, if one was waiting."""
        if self._waiting:
            self._waiting = False
            self.post_message(self.Entered("", began=True))

    def action_recall(self) -> None:
        """Bring back the last line."""
        self._begin()
        self._set(self._last)
        self._line.action_end()

    @on(Input.Submitted)
    def _submitted(self, event: Input.Submitted) -> None:
        event.stop()
        self.submit()

    @on(Input.Changed)
    def _changed(self, event: Input.Changed) -> None:
        event.stop()
        if event.value != self._kept:
            self._begin()

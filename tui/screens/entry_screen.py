"""What every screen is: a title and something to read or do, one entry line, an echo, taps.

Enter alone turns a page first, then closes what was only shown, and only then is an answer: so
nothing that was not in sight is ever answered.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import Screen, ScreenResultType

from tui.themes import INDOOR_NAME, SUN_NAME
from tui.widgets.echo import Echo
from tui.widgets.fitting import listed
from tui.widgets.reading_input import ReadingInput
from tui.widgets.step_sheet import MORE, Lay, StepSheet
from tui.widgets.taps import DONE, Fields, Taps

BACK = "back"
SHORT_TAPS: Fields = ((DONE, "DONE"), ("b", "SUN"), ("l", "LEAVE"))


class EntryScreen(Screen[ScreenResultType]):
    """A screen that takes typed lines; what they mean is for each to say in `take`."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "back", show=False)]
    narrow_taps: ClassVar[Fields] = SHORT_TAPS
    wide_taps: ClassVar[Fields] = ((DONE, "Enter: done"), ("b", "sun"), ("l", "leave"))

    def __init__(self) -> None:
        super().__init__()
        self.sheet = StepSheet()
        self.entry = ReadingInput()
        self.echo = Echo()
        self.reading = False
        """True while the middle holds something that is only to be read."""
        self.typed_ahead = ""
        """What was typed before there was a line to take it."""

    def on_screen_resume(self) -> None:
        """Put what was typed ahead on the line, to be entered by whoever has seen what is asked."""
        if self.typed_ahead:
            self.call_after_refresh(self.entry.fill, self.typed_ahead)
            self.typed_ahead = ""

    def compose(self) -> ComposeResult:
        """Put the parts below each other."""
        yield from self.compose_above()
        with Vertical(id="bottom"):
            yield self.entry
            yield self.echo
            yield Taps(self.narrow_taps, self.wide_taps)

    def compose_above(self) -> ComposeResult:
        """Put what stands above the entry line."""
        yield self.sheet

    # --- what a screen says of itself -------------------------------------------------------------

    @abstractmethod
    def take(self, text: str) -> None:
        """Take a typed line."""

    @abstractmethod
    def show(self) -> None:
        """Show what is to be done or asked now."""

    # --- showing ----------------------------------------------------------------------------------

    def lay(self, title: str, make: Lay, tail: str = "", *, returns: bool = True) -> None:
        """Show something to do in the middle; see `StepSheet.show` for ``returns``."""
        self.reading = False
        self.sheet.show(title, make, tail, returns=returns)

    def read(self, title: str, lines: Sequence[str], wanted: str = "", enter: str = BACK) -> None:
        """Show lines that are only to be read, in the place of what is to be done."""
        self.reading = True
        self.sheet.show(title, partial(listed, tuple(lines)), returns=False)
        self.ask(wanted, enter)

    def ask(self, wanted: str, enter: str = "") -> None:
        """Say what is wanted; what Enter does is told anew once it is known what fits."""
        self._wanted, self._enter = wanted, enter
        self._hint()
        self.call_after_refresh(self._hint)

    _wanted = ""
    _enter = ""

    def _hint(self) -> None:
        more = bool(self.sheet.size.height) and self.sheet.more
        self.entry.ask(self._wanted, MORE if more else self._enter)

    def say(self, lines: Sequence[str] = ()) -> None:
        """Show below the entry line what the last one came to."""
        self.remove_class("-refused")
        self.echo.say(lines)

    def refuse(self, text: str, refused: Sequence[str]) -> None:
        """Show why a line was not taken, with a caret under the place; the line stays."""
        caret, sentences = 0, list(refused)
        if len(refused) > 2:
            caret, sentences = len(refused[1]) - 1, list(refused[2:])
        self.add_class("-refused")
        self.entry.refuse(text)
        self.echo.say(sentences, self.entry.indent + max(caret, 0))

    def on_resize(self) -> None:
        """Tell anew what Enter does: other pages may fit now."""
        self.call_after_refresh(self._hint)

    # --- taking -----------------------------------------------------------------------------------

    @on(ReadingInput.Entered)
    def _entered(self, event: ReadingInput.Entered) -> None:
        event.stop()
        if event.began:
            self.go_on()
        else:
            self.enter(event.text)

    def go_on(self) -> None:
        """Go on from what waited to be looked at; where nothing waits, nothing is done."""

    def enter(self, text: str) -> None:
        """Turn a page, close what was only shown, or take the line."""
        if not text and self.turn():
            return
        if not text and self.reading:
            self.action_back()
        else:
            self.take(text)

    def turn(self) -> bool:
        """Turn to the next page, if there is one."""
        turned = self.sheet.turn()
        self._hint()
        return turned

    def action_back(self) -> None:
        """Close what was only shown."""
        if self.reading:
            self.reading = False
            self.show()

    @on(StepSheet.Picked)
    def _picked(self, event: StepSheet.Picked) -> None:
        event.stop()
        self.pick(event.number)

    def pick(self, number: str) -> None:
        """Put a tapped number on the entry line; *Done* or Enter takes it."""
        self.entry.fill(number)

    @on(Taps.Tapped)
    def _tapped(self, event: Taps.Tapped) -> None:
        event.stop()
        if event.text == DONE:
            self.tap_done()
        else:
            self.entry.clear()
            self.tap(event.text)

    def tap_done(self) -> None:
        """Enter the line as it stands."""
        self.entry.submit()

    def tap(self, text: str) -> None:
        """Take a tapped action as if its letter had been entered."""
        self.enter(text)

    def change_theme(self) -> None:
        """Change between *indoor* and *sun*, and keep it for the next time."""
        sun = self.app.theme != SUN_NAME
        self.app.theme = SUN_NAME if sun else INDOOR_NAME
        # Imported here: a first screen is up without it.
        from engine.cli import places, settings_file
        from engine.job.chain import JobError

        try:
            kept, _ = settings_file.read(places.home())
            settings_file.write(places.home(), replace(kept, sun=sun))
        except JobError as error:
            self.say((f"Not kept for the next time. {error}",))

    def leave(self) -> bool:
        """Leave the screen, losing nothing; False where there is nothing left to do but go."""
        return False

"""The question whether to go on with a walk that was left, before another one is begun."""

from __future__ import annotations

from typing import ClassVar

from tui.screens.entry_screen import EntryScreen
from tui.widgets.fitting import Part, listed
from tui.widgets.taps import DONE, Fields

GO_ON, BEGIN = "1", "2"


class GoOnScreen(EntryScreen[bool | None]):
    """Dismissed with True to go on with the walk left, False to begin another, None to go back."""

    narrow_taps: ClassVar[Fields] = ((DONE, "DONE"), ("b", "SUN"), ("l", "BACK"))
    wide_taps: ClassVar[Fields] = ((DONE, "Enter: take the number"), ("b", "sun"), ("l", "back"))

    def __init__(self, complaint: str, left: str) -> None:
        """Make the question about a walk in a complaint's tree, left where and when."""
        super().__init__()
        self._complaint, self._left = complaint, left

    def on_mount(self) -> None:
        """Ask."""
        self.show()

    def show(self) -> None:
        """Show what was left, and the two ways on."""
        self.lay(self._complaint, self._parts)
        self.ask("1 or 2?")

    def _parts(self, width: int) -> list[Part]:
        left = f"A walk in this tree was left before its end: {self._left}."
        return listed((left, f"{GO_ON} go on with it", f"{BEGIN} begin another job"), width)

    def take(self, text: str) -> None:
        """Take the answer."""
        said = text.strip().casefold()
        if said in (GO_ON, BEGIN):
            self.dismiss(said == GO_ON)
        elif said == "l":
            self.leave()
        elif said == "b":
            self.entry.clear()
            self.change_theme()
        else:
            self.refuse(text, ("", "^", "1 goes on with it, 2 begins another, l goes back."))

    def leave(self) -> bool:
        """Go back to where the tree was picked."""
        self.dismiss(None)
        return True

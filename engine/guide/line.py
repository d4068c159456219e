"""The entry line: what starts with a digit, sign or point is a reading, a letter is an action.

The same line on the screen and line by line. Digits, letters, point, space and Enter are enough
for a whole job. Enter alone is the step's marked default, never a reading and never an outcome
that counts for safety.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Action(StrEnum):
    """The letters of the entry line. O stays free: OL begins with it."""

    AGAIN = "r"
    UNDO = "u"
    TRAIL = "t"
    CANNOT = "c"
    KNOWN = "k"
    WHY = "w"
    WORD = "g"
    POSSIBLE = "s"
    FIGURES = "v"
    ZONES = "z"
    NOTE = "n"
    PHOTO = "p"
    CUSTOMER = "a"
    FAULTY_STEP = "f"
    SUN = "b"
    LEAVE = "l"
    STOP = "x"
    EVERYTHING = "m"


WORDS: dict[Action, str] = {
    Action.AGAIN: "read again",
    Action.UNDO: "take back the last entry",
    Action.TRAIL: "trail; correct an entry",
    Action.CANNOT: "can't do this one",
    Action.KNOWN: "already measured",
    Action.WHY: "why, and what it means",
    Action.WORD: "what is that word",
    Action.POSSIBLE: "what is still possible",
    Action.FIGURES: "work out a value",
    Action.ZONES: "all zones",
    Action.NOTE: "note",
    Action.PHOTO: "photo",
    Action.CUSTOMER: "what to tell the customer now",
    Action.FAULTY_STEP: "this step is wrong or unclear",
    Action.SUN: "bright sun, on and off",
    Action.LEAVE: "leave for now",
    Action.STOP: "STOP",
    Action.EVERYTHING: "everything you can do here",
}
"""What each letter does, in the words of the list that ``m`` shows."""

MENU = (Action.STOP, Action.LEAVE, *(one for one in Action if one not in "xl"))
"""The order of that list: the two that matter when frightened come first."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line typed, told apart by its first character."""

    text: str
    action: Action | None = None
    rest: str = ""
    """What follows an action's letter: ``n capacitor is swollen``."""

    @property
    def empty(self) -> bool:
        """True for Enter alone."""
        return not self.text


def read_line(typed: str) -> Line:
    """Return what a typed line is; a single letter (with words after it or not) is an action.

    What a terminal sends besides letters (arrow keys, a pasted line end) is left out.
    """
    text = "".join(char if char.isprintable() else " " for char in typed).strip()
    letter, _, rest = text.partition(" ")
    try:
        return Line(text, Action(letter.lower()), rest.strip())
    except ValueError:
        return Line(text)

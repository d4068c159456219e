"""The questions before a job: who, where, which unit, what is complained of; any may be skipped."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from engine.safe_words import DEFERENCE
from tui.screens.entry_screen import EntryScreen
from tui.widgets.fitting import Part, listed, part, wrapped
from tui.widgets.taps import DONE, Fields

QUESTIONS = ("Your name", "Site", "Unit", "What the customer says")


@dataclass(frozen=True, slots=True)
class Answers:
    """What was answered; empty where a question was skipped."""

    by: str = ""
    site: str = ""
    unit: str = ""
    said: str = ""


class QuestionsScreen(EntryScreen[Answers | None]):
    """Asks one question after the other, then shows all answers; dismissed with None if left."""

    narrow_taps: ClassVar[Fields] = ((DONE, "DONE"), ("b", "SUN"), ("l", "BACK"))
    wide_taps: ClassVar[Fields] = ((DONE, "Enter: next question"), ("b", "sun"), ("l", "back"))

    def __init__(self, complaint: str, by: str = "") -> None:
        super().__init__()
        self._complaint = complaint
        self._answers = [by, "", "", ""]
        self._asked = 1 if by else 0

    def on_mount(self) -> None:
        """Ask the first question."""
        self.show()

    def show(self) -> None:
        """Ask the next question, or show all answers after the last one."""
        self.lay(self._complaint, self._parts)
        if self._asked < len(QUESTIONS):
            self.ask(f"{QUESTIONS[self._asked]}?", self._answers[self._asked] or "skip")
        else:
            self.ask("change which?", "begin the job")

    def _parts(self, width: int) -> list[Part]:
        shown = [
            f"{number} {name}: {answer or '(skipped)'}"
            for number, (name, answer) in enumerate(zip(QUESTIONS, self._answers, strict=True), 1)
            if answer or number <= self._asked
        ]
        return [part(wrapped(DEFERENCE, width), rank=0), *listed(shown, width)]

    def take(self, text: str) -> None:
        """Keep an answer, or change one at the end."""
        self.entry.clear()
        self.say()
        if self._asked < len(QUESTIONS):
            self._answers[self._asked] = text.strip() or self._answers[self._asked]
            self._asked = len(QUESTIONS) if self._changing else self._asked + 1
            self.show()
        elif not text.strip():
            self.dismiss(Answers(*self._answers))
        elif text.strip() in ("1", "2", "3", "4"):
            self._asked, self._changing = int(text) - 1, True
            self.show()
        else:
            self.refuse(text, ("", "^", "1 to 4 changes an answer, Enter begins the job."))

    _changing = False

    def tap(self, text: str) -> None:
        """Take a tap; typed, its letter would be an answer like any other."""
        if text == "b":
            self.change_theme()
        else:
            self.leave()

    def leave(self) -> bool:
        """Go back; no job was begun."""
        self.dismiss(None)
        return True

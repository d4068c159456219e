"""The questions before a job: who, where, which unit, what is complained of; any may be skipped."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from engine.safe_words import DEFERENCE
from tui.screens.entry_screen import EntryScreen
from tui.widgets.fitting import Part, listed, part, wrapped
from tui.widgets.taps import DONE, Fields

NAME = "Your name"
KEEP = "Keep the name for later jobs"
QUESTIONS = (NAME, KEEP, "Site", "Unit", "What the customer says")
_ASKED = {NAME: "Name?", "Site": "Site?", "Unit": "Unit?", "What the customer says": "They say?"}
"""What stands before the entry line: short, so that there is room for the answer."""
YES = "yes"


@dataclass(frozen=True, slots=True)
class Answers:
    """What was answered; empty where a question was skipped."""

    by: str = ""
    site: str = ""
    unit: str = ""
    said: str = ""
    keep_name: bool = False


class QuestionsScreen(EntryScreen[Answers | None]):
    """Asks one question after the other, then shows all answers; dismissed with None if left.

    Who is known already is not asked for a name, nor anybody whether no name is to be kept.
    """

    narrow_taps: ClassVar[Fields] = ((DONE, "DONE"), ("b", "SUN"), ("l", "BACK"))
    wide_taps: ClassVar[Fields] = ((DONE, "Enter: next question"), ("b", "sun"), ("l", "back"))

    def __init__(self, complaint: str, by: str = "") -> None:
        super().__init__()
        self._complaint = complaint
        self._answers = dict.fromkeys(QUESTIONS, "")
        self._answers[NAME] = by
        self._open = list(QUESTIONS[2 if by else 0 :])

    def on_mount(self) -> None:
        """Ask the first question."""
        self.show()

    def show(self) -> None:
        """Ask the next question, or show all answers after the last one."""
        self.lay(self._complaint, self._parts)
        if not self._open:
            self.ask("change which?", "begin the job")
        elif self._open[0] == KEEP:
            self.ask("1 yes 2 no?", "no")
        else:
            self.ask(_ASKED[self._open[0]], self._answers[self._open[0]] or "skip")

    def _parts(self, width: int) -> list[Part]:
        shown = [
            f"{number} {name}: {self._answers[name] or '(skipped)'}"
            for number, name in enumerate(QUESTIONS, 1)
            if name not in self._open and (name != KEEP or self._answers[NAME])
        ]
        asked = [f"{self._open[0]}?"] if self._open else []
        return [part(wrapped(DEFERENCE, width), rank=0), *listed((*shown, *asked), width)]

    def take(self, text: str) -> None:
        """Keep an answer, or change one at the end."""
        said = " ".join(text.split())
        if not self._open:
            self._at_the_end(text, said)
            return
        question = self._open[0]
        if question == KEEP and said.casefold() not in ("", "1", "2", "yes", "no"):
            self.refuse(text, ("", "^", "1 keeps it, 2 does not."))
            return
        if question == KEEP:
            self._answers[KEEP] = YES if said.casefold() in ("1", "yes") else "no"
        else:
            self._answers[question] = said or self._answers[question]
        del self._open[0]
        if self._open[:1] == [KEEP] and not self._answers[NAME]:
            del self._open[0]
        self._next()

    def _at_the_end(self, text: str, said: str) -> None:
        if not said:
            answers = self._answers
            by, _, site, unit, complaint = (answers[one] for one in QUESTIONS)
            self.dismiss(Answers(by, site, unit, complaint, answers[KEEP] == YES))
        elif said.isdigit() and 1 <= int(said) <= len(QUESTIONS):
            self._open = [QUESTIONS[int(said) - 1]]
            self._next()
        elif said.casefold() == "l":
            self.leave()
        else:
            sentence = (
                f"1 to {len(QUESTIONS)} changes an answer, Enter begins the job, l goes back."
            )
            self.refuse(text, ("", "^", sentence))

    def _next(self) -> None:
        self.entry.clear()
        self.say()
        self.show()

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

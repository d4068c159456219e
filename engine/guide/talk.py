"""What passes between a door and the guide: the view it has, what was typed, what to do with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum

from engine.entries import Entry, EntryKind
from engine.glossary import NO_WORDS, Glossary
from engine.guide.working_state import Working
from engine.reading import Reading, Refused, Unclear
from engine.session.folding import history
from engine.session.judging import Spot
from engine.session.state import State
from engine.tree import WalkTree


@dataclass(frozen=True)
class View:
    """A walk as a door sees it."""

    walk: WalkTree
    state: State
    entries: tuple[Entry, ...]
    """The whole record of the job so far."""
    by: str
    meter: str = ""
    glossary: Glossary = NO_WORDS

    @property
    def mine(self) -> tuple[Entry, ...]:
        """The entries since this walk began: a job may hold an earlier one, in another tree."""
        mine = [one for one in self.entries if one.tree == self.walk.tree.name]
        begun = [place for place, one in enumerate(mine) if one.kind is EntryKind.WALK]
        return tuple(mine[begun[-1] :] if begun else mine)

    def before(self, n: int) -> State:
        """Return the state in which an entry of this walk was answered.

        Raises KeyError for one that was taken back or corrected since.
        """
        return history(self.walk, self.mine).before(n)

    @property
    def next_n(self) -> int:
        """The number of the next entry."""
        return self.entries[-1].n + 1 if self.entries else 1

    def draft(self, kind: EntryKind, now: datetime, **fields: object) -> Entry:
        """Return a new entry of this walk, numbered and signed."""
        entry = Entry(
            n=self.next_n,
            time=now.isoformat(timespec="seconds"),
            by=self.by,
            kind=kind,
            tree=self.walk.tree.name,
            revision=self.walk.tree.revision,
        )
        return replace(entry, **fields)  # type: ignore[arg-type]


class Mode(StrEnum):
    """What the entry line is asking besides the step itself."""

    STEP = ""
    UNCLEAR = "which unit"
    SURE = "is it so"
    CANNOT = "why not"
    KNOWN_STEP = "which reading"
    KNOWN_READING = "what it read"
    KNOWN_MOVED = "anything moved since"
    TRAIL = "which entry"
    CORRECT = "the right answer"
    NOTE = "the note"
    PHOTO = "the photo"
    REMARK = "what is wrong with the step"
    STOP = "what happened"
    MENU = "which action"
    WORD = "which word"
    FIGURE = "what a figure comes to"


@dataclass(frozen=True)
class Talk:
    """Where the entry line stands in something that takes more than one line."""

    mode: Mode = Mode.STEP
    step: str = ""
    """The step that is answered: the walk's own, or one corrected or already measured."""
    of: int = 0
    """The entry being corrected."""
    unclear: Unclear | None = None
    readings: tuple[Reading, ...] = ()
    spots: tuple[Spot, ...] = ()
    typed: str = ""
    listed: tuple[str, ...] = ()
    """What the numbers of the last list stand for."""
    known: bool = False
    """The readings are given as *already measured*."""
    working: Working | None = None
    """The figure that is worked out; what has been given for it is no part of the record."""

    def pick(self, text: str) -> str:
        """Return what a number of the last list stands for; empty for any other line."""
        number = int(text) if text.isascii() and text.isdigit() and len(text) < 4 else 0
        return self.listed[number - 1] if 1 <= number <= len(self.listed) else ""


QUIET = Talk()


@dataclass(frozen=True)
class Reply:
    """What a typed line came to."""

    entries: tuple[Entry, ...] = ()
    """To be written down, in order, before anything is shown."""
    talk: Talk = QUIET
    lines: tuple[str, ...] = ()
    """To be shown: a list, an explanation, a question."""
    refused: tuple[str, ...] = ()
    """Why the line was not taken: text, caret, sentence. What was asked is still asked."""
    leave: bool = False
    sun: bool = False
    photo: str = ""
    """A picture to be copied into the job; its entry is among ``entries``."""
    asks: str = ""
    """What stands before the entry line while ``talk`` asks something of its own."""

    @classmethod
    def refuse(cls, text: str, sentence: str, talk: Talk = QUIET, asks: str = "") -> Reply:
        """Return a line not taken: what was typed, a caret, and why; what was asked stays asked."""
        lines = Refused(text, 1, sentence).message().splitlines()
        return cls(talk=talk, refused=tuple(lines), asks=asks)

    @property
    def taken(self) -> bool:
        """True where the line meant something."""
        return not self.refused


STOP_WORDS: Mapping[str, str] = {
    "gas": "smell of gas",
    "smoke": "smoke, burning",
    "hurt": "somebody hurt",
    "service": "damage ahead of main",
    "water": "water at live parts",
    "storm": "storm, lightning",
    "weather": "heat, ice, wind, dark",
    "unfit": "not fit to go on",
    "unknown source": "unknown feed",
    "their lock": "somebody else's lock",
}
"""Reason of the safety model → the words of the list under ``x``, in its order."""

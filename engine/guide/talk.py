"""What passes between a door and the guide: the view it has, what was typed, what to do with it."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime
from enum import StrEnum

from engine.entries import Entry, EntryKind
from engine.reading import Reading, Unclear
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

    @property
    def taken(self) -> bool:
        """True where the line meant something."""
        return not self.refused


@dataclass(frozen=True, slots=True)
class Stop:
    """A reason to stop, and what to do at once."""

    reason: str
    """The word of the safety model."""
    words: str
    at_once: str


STOPS: tuple[Stop, ...] = (
    Stop("gas", "smell of gas", "Leave now. Touch no switch. Warn people. Call from outside."),
    Stop("smoke", "smoke, burning", "Leave now. Warn people. Call the fire service from outside."),
    Stop("hurt", "somebody is hurt", "Do not touch a person in contact with power. Call for help."),
    Stop("service", "damage ahead of the main", "Keep away. Call the utility."),
    Stop("water", "water at live parts", "Step back. Call someone who can cut the feed."),
    Stop("storm", "storm, lightning", "Off the roof now. Come back when it has passed."),
    Stop("weather", "heat, ice, wind, dark", "Off the roof until you can see and stand."),
    Stop("unfit", "not fit to go on", "Stop. Tell somebody. Another day or another person."),
    Stop("unknown source", "a feed nobody knows", "Hands out. All counts as live until found."),
    Stop(
        "their lock",
        "somebody else's lock",
        "Leave it on. Only its owner takes it off.",
    ),
)
"""In the order of the list under ``x``; each text at most two rows of 40 columns (judgement)."""


@dataclass(frozen=True)
class Page:
    """A page of text under a letter of the entry line."""

    title: str
    lines: tuple[str, ...] = field(default=())

"""One line of a job's record: what was answered, when, by whom, and what it was judged to be.

An entry is a value; it neither opens a file nor knows how the file is kept (`job` does both).
Window and outcome are part of the entry, so that a report never changes with the tree.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import datetime
from enum import StrEnum
from fractions import Fraction

from engine.quantity import Kind, Quantity
from engine.reading import Reading, Special

FORMAT = 1
"""The format of an entry; a newer one is refused with a sentence, never half understood."""


class EntryKind(StrEnum):
    """What kind of thing an entry records."""

    WALK = "walk"
    """A walk begins in the tree named; ``outcome`` holds the findings to be met as ``resets``."""
    ANSWER = "answer"
    STRIKE = "strike"
    """Takes back the entry whose number is in ``of``."""
    SKIP = "skip"
    """A wait cut short: it had passed already."""
    CANNOT = "cannot"
    KNOWN = "already measured"
    """A reading given out of order; it never performs an act."""
    NOTE = "note"
    PHOTO = "photo"
    REPAIR = "repair"
    NAMEPLATE = "nameplate"
    RESUME = "resume"
    LEAVE = "leave"
    STOP = "stop"
    REMARK = "remark"
    """The technician says that a step is wrong or unclear."""
    CLOSE = "close"
    ADDENDUM = "addendum"


@dataclass(frozen=True, slots=True)
class Said:
    """One reading of an answer: its name in the step, its place, and what it was."""

    name: str
    spot: str
    """``L1-L2``; empty for a single reading."""
    value: str
    """The number in the base unit of its kind as a fraction (``41/5``), or OL, or another word."""
    kind: str
    resolution: str = "0"
    half_width: str = "0"
    typed: str = ""
    unit: str = ""
    """The unit it was given in, so that it is shown again as it was typed."""

    @classmethod
    def of(cls, name: str, spot: str, reading: Reading) -> Said:
        """Return what was said, ready to be written down."""
        if reading.quantity is None:
            word = str(reading.special)
            return cls(name, spot, word, "", typed=reading.typed)
        return cls(
            name,
            spot,
            str(reading.quantity.value),
            str(reading.quantity.kind),
            str(reading.resolution),
            str(reading.half_width),
            reading.typed,
            reading.unit,
        )

    def reading(self) -> Reading | None:
        """Return the reading; None where the part is not there."""
        if self.value == NOT_THERE:
            return None
        if not self.kind:
            return Reading(None, Special(self.value), self.typed, Fraction(0), Fraction(0))
        quantity = Quantity(Fraction(self.value), Kind(self.kind))
        steps = Fraction(self.resolution), Fraction(self.half_width)
        return Reading(quantity, None, self.typed, *steps, self.unit)


NOT_THERE = "not there"


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the record. Empty fields say nothing."""

    n: int
    time: str
    """ISO 8601 with the offset from UTC."""
    by: str
    kind: EntryKind
    step: str = ""
    typed: str = ""
    said: tuple[Said, ...] = ()
    meter: str = ""
    window: tuple[str, ...] = ()
    """The windows as shown, one line each."""
    outcome: str = ""
    """The answer's key: a band, a choice, a reason for *cannot*, a name for *nameplate*."""
    verdict: str = ""
    means: str = ""
    of: int = 0
    """The entry that a strike or a correction is about."""
    title: str = ""
    """The step's title as shown."""
    source: str = ""
    """Where the step's limits come from, as the tree says."""
    tree: str = ""
    revision: int = 0

    def at(self) -> datetime:
        """Return the time; raises ValueError for one that is not ISO 8601."""
        return datetime.fromisoformat(self.time)

    def as_json(self) -> dict[str, object]:
        """Return the fields that say something, ready for JSON."""
        given: dict[str, object] = {"n": self.n, "time": self.time, "by": self.by}
        given["kind"] = str(self.kind)
        for field in fields(self)[4:]:
            value = getattr(self, field.name)
            if field.name == "said":
                value = [_said_json(one) for one in self.said]
            elif isinstance(value, tuple):
                value = list(value)
            if value:
                given[field.name] = value
        return given

    @classmethod
    def from_json(cls, given: Mapping[str, object]) -> Entry:
        """Return the entry; raises ValueError with a sentence for what is not one."""
        names = {field.name for field in fields(cls)}
        values = {name: value for name, value in given.items() if name in names}
        try:
            values["kind"] = EntryKind(str(values["kind"]))
            values["said"] = tuple(Said(**one) for one in _objects(values.get("said", [])))
            values["window"] = tuple(_texts(values.get("window", [])))
            return cls(**values)  # type: ignore[arg-type]
        except (KeyError, TypeError, ValueError) as error:
            raise ValueError(f"This line of the record is not an entry: {error}.") from error


def _said_json(said: Said) -> dict[str, str]:
    texts = {field.name: str(getattr(said, field.name)) for field in fields(said)}
    return {name: text for name, text in texts.items() if text or name in ("name", "spot", "kind")}


def _objects(value: object) -> list[dict[str, str]]:
    if isinstance(value, list) and all(isinstance(one, dict) for one in value):
        return value
    raise ValueError("what was said must be a list")


def _texts(value: object) -> list[str]:
    if isinstance(value, list):
        return [str(one) for one in value]
    raise ValueError("the windows must be a list")

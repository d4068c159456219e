"""A report as plain values; `render` lays them out, and nothing there decides what is said."""

from __future__ import annotations

from dataclasses import dataclass

from engine.job.store import Header


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One line of the table of readings."""

    where: str
    reading: str
    allowed: str
    verdict: str
    time: str
    source: str
    times: int = 1
    """How often it was read; the last counts."""
    taken_back: bool = False
    by: str = ""


@dataclass(frozen=True, slots=True)
class CauseRow:
    """A cause found, with what it rests on and what was done about it."""

    title: str
    evidence: tuple[str, ...]
    work: str
    """The repair as written in the tree, with this unit's values."""
    state: str
    """``done 10:42``, ``not done``, ``nothing to repair``."""
    parts: tuple[str, ...]
    by: str = ""
    """Who reported the repair done."""


@dataclass(frozen=True, slots=True)
class Section:
    """A heading of the customer's page and its sentences."""

    heading: str
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Report:
    """Everything both pages say."""

    header: Header
    title: str
    tree: str
    draft: bool
    """The tree has not been reviewed; every page says so."""
    customer: tuple[Section, ...]
    people: tuple[str, ...]
    times: str
    """From the first entry to the last."""
    nameplate: tuple[tuple[str, str], ...]
    supply: str
    readings: tuple[ReadingRow, ...]
    causes: tuple[CauseRow, ...]
    side_findings: tuple[str, ...]
    after_repair: tuple[ReadingRow, ...]
    hazards: tuple[str, ...]
    not_touched: tuple[str, ...]
    left_so: tuple[str, ...]
    """How devices, boxes and items were reported at the end."""
    label: str
    """Text to post at the unit; empty where nothing has to be posted."""
    follow_up: tuple[str, ...]
    notes: tuple[str, ...]
    photos: tuple[str, ...]
    taken_back: tuple[str, ...]
    addenda: tuple[str, ...]
    end: str
    closing_code: str
    foot: tuple[str, ...]
    problems: tuple[str, ...] = ()
    """What does not fit in the record's chain; a sound record has none."""

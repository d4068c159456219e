"""A report as plain values; `render` lays them out, and nothing there decides what is said."""

from __future__ import annotations

from dataclasses import dataclass

from engine.job.store import Header


@dataclass(frozen=True, slots=True)
class Window:
    """One range of a reading with this unit's numbers, and what the tree calls it."""

    span: str
    """``187.2 to 253 V``."""
    verdict: str
    here: bool = False
    """The reading fell into it."""


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One line of the table of readings."""

    where: str
    reading: str
    allowed: tuple[Window, ...]
    verdict: str
    time: str
    by: str
    source: str
    """Where the limits come from."""
    times: str = "1"
    """How often it was read: ``2 of 2``; the last counts."""
    remark: str = ""
    """Why it does not count, or that it was measured before it was asked for."""
    later: bool = False
    """Something there was switched on, repaired or moved after it was read."""


@dataclass(frozen=True, slots=True)
class CauseRow:
    """A cause found, with what it rests on and what was done about it."""

    title: str
    evidence: tuple[str, ...]
    work: str
    """The repair as written in the tree, with this unit's values."""
    state: str
    """``reported done 10:42 by Dana Ortiz``, ``not done``."""
    parts: tuple[str, ...]
    mended: bool


@dataclass(frozen=True, slots=True)
class Section:
    """A heading of the customer's page and its sentences."""

    heading: str
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Label:
    """Text to post at the unit, in the form of ANSI Z535: a signal word, then the words."""

    signal: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Report:
    """Everything both pages say."""

    header: Header
    title: str
    trees: tuple[str, ...]
    draft: bool
    """A tree has not been reviewed; every page says so."""
    customer: tuple[Section, ...]
    people: tuple[str, ...]
    meters: tuple[str, ...]
    times: str
    """From the first entry to the last."""
    nameplate: tuple[tuple[str, str], ...]
    supply: tuple[str, ...]
    readings: tuple[ReadingRow, ...]
    causes: tuple[CauseRow, ...]
    side_findings: tuple[str, ...]
    put_back: tuple[str, ...]
    """What was shut, unlocked and switched on again after the work, or tagged, in order."""
    after_repair: tuple[ReadingRow, ...]
    hazards: tuple[str, ...]
    not_touched: tuple[str, ...]
    left_so: tuple[str, ...]
    """How zones, devices, boxes and items were reported at the end."""
    label: Label | None
    """None where nothing has to be posted."""
    follow_up: tuple[str, ...]
    notes: tuple[str, ...]
    photos: tuple[str, ...]
    taken_back: tuple[str, ...]
    addenda: tuple[str, ...]
    end: str
    closing_code: str
    seal: str
    """Which line the record had come to, by its hash."""
    foot: tuple[str, ...]
    problems: tuple[str, ...] = ()
    """What is not as it was written; a sound record has none."""

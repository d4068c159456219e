"""A tree as numbered steps for a binder: what to do, what to read, what follows, where to go.

Everything is on paper that a walk without this tool needs: the nameplate's blanks, the steps, the
findings, how each stage is entered and left, and every procedure as a section of its own. The
values here know nothing of a layout; `sheet_page` makes a page of them.
"""

from __future__ import annotations

from dataclasses import dataclass

from engine.safe_words import Caution


@dataclass(frozen=True, slots=True)
class Target:
    """Where to go on: in words, and the anchor there; empty where there is none."""

    words: str
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer of a step, and what follows from it."""

    said: str
    """``below 85 % of 24 V (20.4 V): low``, ``fit``."""
    means: str = ""
    then: tuple[Target, ...] = ()


@dataclass(frozen=True, slots=True)
class Question:
    """Answers that are judged together, in order: the first that fits counts."""

    judged: str
    """The formula whose value is judged; empty for the reading itself, or for words."""
    answers: tuple[Answer, ...]


@dataclass(frozen=True, slots=True)
class Blank:
    """A line to write one value on."""

    name: str
    unit: str = ""
    about: str = ""
    """On which units, or what is asked."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One step, finding or stage."""

    number: str
    anchor: str
    title: str
    kind: str
    """``READ LIVE volts``, ``FINDING``, ``STAGE``."""
    stage: Target | None = None
    only_if: str = ""
    """The condition, and where to go where it does not hold."""
    only_if_to: Target | None = None
    cautions: tuple[Caution, ...] = ()
    who: str = ""
    minutes: float = 0
    wait: str = ""
    why: str = ""
    do: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    """Leads off, tools, parts, photo: name and words."""
    blanks: tuple[Blank, ...] = ()
    questions: tuple[Question, ...] = ()
    then: tuple[Target, ...] = ()
    """Where there is no answer to give."""
    cannot: tuple[Answer, ...] = ()
    source: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """Entries under one heading."""

    heading: str
    anchor: str
    entries: tuple[Entry, ...]
    intro: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Sheet:
    """A whole tree for a binder."""

    tree: str
    title: str
    revision: int
    status: str
    said_as: tuple[str, ...]
    how: tuple[str, ...]
    """How to go through it, a sentence each."""
    nameplate: tuple[Blank, ...]
    sections: tuple[Section, ...]
    appendix: tuple[Section, ...]
    """The procedures."""
    foot: tuple[str, ...]

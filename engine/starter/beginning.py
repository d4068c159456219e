"""What the questions come to: a complaint, its causes, how each is told and mended."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from engine.reading import Function


@dataclass(frozen=True, slots=True)
class Measurement:
    """A cause told by a reading: outside the window it is this cause, inside it is not."""

    function: Function
    leads: tuple[str, ...]
    """Two points of the vocabulary; one, where a clamp goes round it."""
    at_least: str
    """The lower end as a formula; empty where any lower reading is sound, too."""
    at_most: str
    """The upper end; at least one of the two is given."""
    source: str


@dataclass(frozen=True, slots=True)
class Glance:
    """A cause told by looking or asking: one answer is this cause, the other is not."""

    do: str
    shows: str
    """What is seen or heard where it is this cause."""
    otherwise: str
    box: str = ""
    """The box that is looked into; empty for what is seen from outside, or asked."""


@dataclass(frozen=True, slots=True)
class Mending:
    """What is done about a cause."""

    repair: str
    own: bool
    """Whether it is the reader's own work, with the unit locked out."""
    who: str
    """The licence that it takes where it is somebody else's work; may be empty."""
    tell_customer: str


@dataclass(frozen=True, slots=True)
class Cause:
    """One cause, how often it has been the one, how it is told, and what is done about it."""

    name: str
    title: str
    """Empty where the vocabulary has a title for the name."""
    of_ten: Fraction
    told_by: Measurement | Glance
    mending: Mending


@dataclass(frozen=True, slots=True)
class Beginning:
    """A tree as far as the questions go."""

    name: str
    title: str
    said_as: tuple[str, ...]
    causes: tuple[Cause, ...]

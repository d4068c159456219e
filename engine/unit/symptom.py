"""What a unit with a complaint shows: statements and readings, all of them or any.

Owns `Complaint` and `Symptom`, which a tree's ``shows`` is read into. Nothing here reckons: whether
a unit shows it is found when a tree is tried on one, so loading a tree needs no simulated unit.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from engine.formula import Formula
from engine.reading import Function
from engine.unit.showing import Showing

READ = "read"
"""What a judgement calls the value or values that were read."""


class Over(StrEnum):
    """How a reading's words name its places."""

    POINTS = ""
    """Two points, or one that a clamp or a probe is put to."""
    PAIRS = "pairs of"
    GROUND = "to ground from"
    EACH = "each of"


@dataclass(frozen=True, slots=True)
class Beyond:
    """A reading, or what is judged of it, below or above a limit; of several, any of them."""

    function: Function
    over: Over
    places: tuple[str, ...]
    """Points; or one point set."""
    limit: Formula
    below: bool
    judge: Formula | None = None
    """Over `READ` and the nameplate; None for the reading itself."""


@dataclass(frozen=True, slots=True)
class AllOf:
    """Everything listed is shown; nothing listed is always shown."""

    parts: tuple[Symptom, ...]


@dataclass(frozen=True, slots=True)
class AnyOf:
    """At least one of what is listed is shown."""

    parts: tuple[Symptom, ...]


Symptom = Showing | Beyond | AllOf | AnyOf


@dataclass(frozen=True, slots=True)
class Complaint:
    """What the customer says, and when a simulated unit shows it."""

    said_as: tuple[str, ...]
    shows: Symptom | None = None
    """None where nobody said: then no simulated unit can be told to have it."""


def words(symptom: Symptom) -> str:
    """Return a symptom in one line, for a reader."""
    if isinstance(symptom, AllOf):
        return " and ".join(words(part) for part in symptom.parts)
    if isinstance(symptom, AnyOf):
        return f"({' or '.join(words(part) for part in symptom.parts)})"
    if isinstance(symptom, Beyond):
        read = f"{symptom.function} {' '.join(filter(None, (symptom.over, _places(symptom))))}"
        judged = f"{symptom.judge.text} of {read}" if symptom.judge else read
        return f"{judged} {'below' if symptom.below else 'above'} {symptom.limit.text}"
    return symptom.words


def _places(beyond: Beyond) -> str:
    return " to ".join(beyond.places)


def leaves(symptom: Symptom) -> Iterator[Showing | Beyond]:
    """Yield every statement and reading of a symptom, in its order."""
    if isinstance(symptom, AllOf | AnyOf):
        for part in symptom.parts:
            yield from leaves(part)
    else:
        yield symptom

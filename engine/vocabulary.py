"""The words that all trees share: points, reading sets, nameplate questions, conditions.

The vocabulary is one file beside the trees. What stands in it is written down once, so that
``run_cap.HERM`` or ``rated_volts`` is the same thing in every tree, record and report.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated

from engine.problems import Span
from engine.quantity import Kind, Quantity

NOWHERE = Span("", 0, 0)
"""The place of what no file says."""

StepName = Annotated[str, "step"]
"""A place to go on at: a step's name or one of the targets below. Expansion writes it out."""
Text = Annotated[str, "text"]
"""A sentence for people; may hold ``{names}``, and in a procedure ``{the NAME}``."""


class Relation(StrEnum):
    """How a condition compares a nameplate word."""

    IS = "is"
    IS_NOT = "is not"
    HAS = "has"
    ONE_OF = "is one of"


@dataclass(frozen=True, slots=True)
class Comparison:
    """``phases is 3``, ``fitted has crankcase heater``, ``refrigerant is one of R-32, R-454B``."""

    name: str
    relation: Relation
    words: tuple[str, ...]


ALWAYS = Comparison("", Relation.IS_NOT, ())
NEVER = Comparison("", Relation.IS, ())
"""What a comparison about a parameter comes to once the parameter is known."""


def meets(relation: Relation, wanted: Sequence[str], given: Sequence[str]) -> bool:
    """Return whether the words given (one, or several for *any of*) meet a comparison."""
    if relation is Relation.HAS:
        return all(word in given for word in wanted)
    if relation is Relation.IS_NOT:
        return not any(word in wanted for word in given)
    return any(word in wanted for word in given)


Condition = tuple[Comparison, ...]
"""All must hold; an empty condition always holds."""


@dataclass(frozen=True, slots=True)
class Field:
    """One question about the nameplate or the site, asked when first needed."""

    name: str
    ask: Text
    kind: Kind | None = None
    """None for a question answered by words."""
    unit: str = ""
    """The unit a bare number takes."""
    words: tuple[str, ...] = ()
    many: bool = False
    """``any of [words]``: several may be true."""
    volts_marking: bool = False
    """``form: volts marking``: ``208-230`` gives a low and a high."""
    low: Quantity | None = None
    high: Quantity | None = None
    usual: tuple[Quantity, Quantity] | None = None
    at_least: str = ""
    default: str = ""
    condition: Condition = ()
    if_unreadable: StepName = ""
    """``default``, or the step to go to."""
    span: Span = NOWHERE


@dataclass(frozen=True, slots=True)
class Point:
    """A place for a meter lead."""

    name: str
    title: str
    box: str = ""
    zone: str = ""


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Names that all trees share."""

    points: Mapping[str, Point]
    sets: Mapping[str, Mapping[str, tuple[str, ...]]]
    """Set → phases (``1``, ``3``) → points in leg order."""
    fields: Mapping[str, Field]
    suspects: Mapping[str, str]
    signs: Mapping[str, str]

"""What a unit shows without a meter, in the words of trees: ``breaker trips within 1 s``.

Owns `Showing`, one such statement as read, and `read_showing`. Trees say so of a complaint and of
an answer that eye, ear or nose gives; whether a unit shows it is `observed`'s. What is no other
statement is a sign of the vocabulary; whether there is such a sign is not looked at here.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from math import inf

from engine.quantity import Kind, literal


class Does(StrEnum):
    """What a part can be seen or heard to do."""

    TRIPS = "trips"
    """A breaker, fuse or overload; within a time, or after it."""
    HOLDS = "holds"
    STARTS = "starts"
    """A machine turns for a while, whatever becomes of it."""
    TURNS = "turns"
    """It turns then."""
    STANDS = "stands"
    HUMS = "hums"
    """It stands with volts on it."""
    PULLS_IN = "pulls in"
    """A contactor or relay."""
    STAYS_OUT = "stays out"
    CHATTERS = "chatters"
    LIT = "lit"
    """The display."""
    DARK = "dark"
    SIGN = "sign"
    """A sign of a fault, as the vocabulary calls it."""


DISPLAY = "display"
_TIMED = re.compile(r"(?P<what>.+) trips(?: (?P<how>within|after) (?P<time>.+))?")
_VERBS = tuple(f" {one}" for one in Does if one not in (Does.TRIPS, Does.SIGN))
_SIGN = re.compile(r"(?P<sign>[a-z]+(?:-[a-z]+)+)(?: at (?P<place>.+))?")
_EXAMPLES = (
    "Write breaker trips within 1 s, compressor hums, contactor stays out, display dark and such, "
    "or a sign of the vocabulary, burnt-terminal at breaker."
)


class ShowingError(ValueError):
    """What is wrong with a statement, and what would be right."""

    def __init__(self, sentence: str, fix: str = _EXAMPLES) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.fix = fix


@dataclass(frozen=True, slots=True)
class Showing:
    """One statement: a part does something, or a sign is there."""

    subject: str
    """The part, ``display``, or the sign."""
    does: Does
    place: str = ""
    """Where a sign has to be: ``breaker`` holds for ``breaker.load.L1``; empty for anywhere."""
    over: float = -1.0
    """Seconds after which a trip counts; it counts up to ``within``."""
    within: float = inf

    @property
    def words(self) -> str:
        """The statement as an author would write it."""
        if self.does is Does.SIGN:
            return f"{self.subject} at {self.place}" if self.place else self.subject
        if self.does is Does.TRIPS and self.over >= 0:
            return f"{self.subject} trips after {self.over:g} s"
        if self.does is Does.TRIPS and self.within < inf:
            return f"{self.subject} trips within {self.within:g} s"
        return f"{self.subject} {self.does}"


def read_showing(text: str) -> Showing:
    """Return what a text states; raises ShowingError for what is no such statement."""
    if sign := _SIGN.fullmatch(text):
        return Showing(sign["sign"], Does.SIGN, sign["place"] or "")
    if timed := _TIMED.fullmatch(text):
        return _timed(timed["what"], timed["how"], timed["time"])
    verb = next((one for one in _VERBS if text.endswith(one)), "")
    subject = text.removesuffix(verb)
    if not verb or not subject:
        raise ShowingError(f"'{text}' is nothing that a unit shows.")
    does = Does(verb.strip())
    if (subject == DISPLAY) is not (does in (Does.LIT, Does.DARK)):
        raise ShowingError(f"'{text}' is nothing that a unit shows.", "A display is lit or dark.")
    return Showing(subject, does)


def _timed(subject: str, how: str | None, time: str | None) -> Showing:
    if how is None or time is None:
        return Showing(subject, Does.TRIPS)
    try:
        found = literal(time)
    except ValueError as error:
        raise ShowingError(str(error)) from error
    if found.kind is not Kind.TIME:
        raise ShowingError(f"'{time}' is no time.", "Write for example 20 s, or 5 min.")
    seconds = float(found.value)
    if how == "within":
        return Showing(subject, Does.TRIPS, within=seconds)
    return Showing(subject, Does.TRIPS, over=seconds)

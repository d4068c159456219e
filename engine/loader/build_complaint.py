"""What the customer says, and what a unit with that complaint shows."""

from __future__ import annotations

import re

from engine.formula import Formula
from engine.loader.build_answer import showing
from engine.loader.building import Building, Names, Role, names, text, texts
from engine.loader.document import Data, Path
from engine.loader.wording import shown
from engine.reading import Function
from engine.unit.symptom import AllOf, AnyOf, Beyond, Complaint, Over, Symptom

_SHOWS = "shows"
_READING = re.compile(
    rf"(?P<function>{'|'.join(sorted(Function, key=len, reverse=True))}) "
    r"(?:(?P<over>pairs of|to ground from|each of) (?P<set>.+)|(?P<points>\S+(?: to \S+)?))"
)


def build_complaint(file: Building, data: Names) -> Complaint:
    """Return what a file's ``complaint`` says."""
    shows = data.get(_SHOWS)
    found = None if shows is None else _symptom(file, shows, ("complaint", _SHOWS))
    return Complaint(texts(data, "said as"), found)


def _symptom(file: Building, data: Data, path: Path) -> Symptom | None:
    """Return what is shown; None, and a problem kept, where it can't be read."""
    if isinstance(data, str):
        return showing(file, data, path)
    if isinstance(data, list):
        return AllOf(_several(file, data, path))
    any_of = names(data).get("any of")
    if isinstance(any_of, list):
        return AnyOf(_several(file, any_of, (*path, "any of")))
    return _beyond(file, names(data), path)


def _several(file: Building, data: list[Data], path: Path) -> tuple[Symptom, ...]:
    built = (_symptom(file, one, (*path, at)) for at, one in enumerate(data))
    return tuple(one for one in built if one is not None)


def _beyond(file: Building, data: Names, path: Path) -> Beyond | None:
    """Return a reading with its limit: ``read``, ``below`` or ``above``, and perhaps ``judge``."""
    words = text(data, "read")
    found = _READING.fullmatch(words)
    key = "below" if "below" in data else "above"
    limit = _formula(file, data, path, key)
    judge = _formula(file, data, path, "judge")
    if found is None:
        sentence = f"{shown(words)} is no reading."
        fix = "Write volts contactor.L1 to ground, volts pairs of disconnect line and such."
        file.say("bad-reading", (*path, "read"), sentence, fix)
        return None
    where, at = (*path, "read"), found.start("set" if found["set"] else "points")
    if found["set"]:
        file.mention(Role.SET, found["set"], where, at)
        places: tuple[str, ...] = (found["set"],)
    else:
        places = tuple(found["points"].split(" to "))
        for place in places:
            file.mention(Role.POINT, place, where, at)
            at += len(place) + len(" to ")
    if ("below" in data) is ("above" in data):
        sentence = "A reading shows a complaint below a limit, or above one."
        file.say_key("bad-showing", where, sentence, "Give it one of below and above.")
    if limit is None or ("judge" in data and judge is None):
        return None
    over = Over(found["over"] or "")
    return Beyond(Function(found["function"]), over, places, limit, key == "below", judge)


def _formula(file: Building, data: Names, path: Path, key: str) -> Formula | None:
    words = text(data, key)
    return file.formula(words, (*path, key)) if words else None

"""One line of a job's record: what was answered, when, by whom, and what it was judged to be.

An entry is a value; it neither opens a file nor knows how the file is kept (`job` does both).
Window and outcome are part of the entry, so that a report never changes with the tree.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import MISSING, dataclass, fields
from datetime import datetime
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from types import MappingProxyType

from engine.quantity import UNITS, Kind, Quantity
from engine.reading import Reading, Special


class EntryKind(StrEnum):
    """What kind of thing an entry records."""

    WALK = "walk"
    """A walk begins in the tree named; ``outcome`` is the digest of the tree's own files."""
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
    """The report is frozen: ``files`` holds its pages."""
    ADDENDUM = "addendum"
    """Something added after the closing; the frozen pages stay as they are."""


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
        return _reading_of(self)

    @classmethod
    def from_json(cls, given: object) -> Said:
        """Return what was said; raises ValueError with a sentence for what can't be a reading."""
        said = cls(**_texts_by_name(given, _names_of(cls), ("name", "spot", "value", "kind")))
        if not said.kind:
            said.reading()
            return said
        kind = Kind(said.kind)
        numbers = (said.value, said.resolution, said.half_width)
        if not all(_FRACTION.fullmatch(one) for one in numbers):
            raise ValueError("a reading in it is no number")
        if said.unit and (said.unit not in UNITS or UNITS[said.unit].kind is not kind):
            raise ValueError(f"`{said.unit:.20}` is no unit of {kind}")
        return said


NOT_THERE = "not there"


@lru_cache(maxsize=4096)
def _reading_of(said: Said) -> Reading | None:
    """Return the reading that was said; remembered, since a record is read at every answer."""
    if said.value == NOT_THERE:
        return None
    if not said.kind:
        return Reading(None, Special(said.value), said.typed, Fraction(0), Fraction(0))
    quantity = Quantity(Fraction(said.value), Kind(said.kind))
    steps = Fraction(said.resolution), Fraction(said.half_width)
    return Reading(quantity, None, said.typed, *steps, said.unit)


_FRACTION = re.compile(r"-?[0-9]{1,99}(/[1-9][0-9]{0,99})?")


@dataclass(frozen=True, slots=True)
class FileSeal:
    """A file in the job's folder, and what tells whether it is still as it was."""

    name: str
    """Where it lies in the folder: ``photos/012-plate.jpg``."""
    sha256: str
    """SHA-256 of its bytes, in hexadecimal digits."""

    @classmethod
    def from_json(cls, given: object) -> FileSeal:
        """Return a seal; raises ValueError with a sentence for what is none."""
        return cls(**_texts_by_name(given, _names_of(cls), ("name", "sha256")))


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
    files: tuple[FileSeal, ...] = ()
    """A photo's file, or the pages of a report that was frozen."""

    def at(self) -> datetime:
        """Return the time; raises ValueError for one that is not ISO 8601."""
        return datetime.fromisoformat(self.time)

    def as_json(self) -> dict[str, object]:
        """Return the fields that say something, ready for JSON."""
        given: dict[str, object] = {"n": self.n, "time": self.time, "by": self.by}
        given["kind"] = str(self.kind)
        for field in fields(self)[4:]:
            value = getattr(self, field.name)
            if field.name in ("said", "files"):
                value = [_as_texts(one) for one in value]
            elif isinstance(value, tuple):
                value = list(value)
            if value:
                given[field.name] = value
        return given

    @classmethod
    def from_json(cls, given: Mapping[str, object]) -> Entry:
        """Return the entry; raises ValueError with a sentence for what is not one.

        A name or kind not known here was written by a newer version: it is refused, never half
        understood.
        """
        unknown = sorted(set(given) - set(_names_of(cls)) - {"format"})
        if unknown:
            raise ValueError(f"it holds `{unknown[0]:.40}`, which {_NEWER}")
        kind = str(given.get("kind", ""))
        if kind not in _KINDS:
            raise ValueError(f"it is of a kind, `{kind:.40}`, that {_NEWER}")
        values: dict[str, object] = {"kind": EntryKind(kind)}
        for name, value in given.items():
            if name not in ("kind", "format"):
                values[name] = _READ.get(name, _text)(name, value)
        try:
            entry = cls(**values)  # type: ignore[arg-type]
        except TypeError as error:
            raise ValueError("it says no number, time or name") from error
        if not _is_a_moment(entry.time):
            raise ValueError(
                f"its time, {entry.time:.40}, is none with an offset from UTC, as in "
                "2026-03-14T10:42:00-05:00"
            )
        return entry


_KINDS = frozenset(str(kind) for kind in EntryKind)
_NEWER = "this version does not know; a newer one wrote it. Open the job with that one"


def _is_a_moment(text: str) -> bool:
    try:
        return datetime.fromisoformat(text).utcoffset() is not None
    except ValueError:
        return False


def _names_of(kind: type[Entry | Said | FileSeal]) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))


def _as_texts(value: Said | FileSeal) -> dict[str, str]:
    """Return the fields that have to be there, and of the others those that say something."""
    texts = {field.name: str(getattr(value, field.name)) for field in fields(value)}
    wanted = {field.name for field in fields(value) if field.default is MISSING}
    return {name: text for name, text in texts.items() if text or name in wanted}


def _text(name: str, value: object) -> str:
    if isinstance(value, str):
        return value
    raise ValueError(f"`{name}` is not a text")


def _number(name: str, value: object) -> int:
    if isinstance(value, int) and not isinstance(value, bool):
        return value
    raise ValueError(f"`{name}` is not a whole number")


def _list(name: str, value: object) -> list[object]:
    if isinstance(value, list):
        return value
    raise ValueError(f"`{name}` is not a list")


def _texts_by_name(
    given: object, names: tuple[str, ...], wanted: tuple[str, ...]
) -> dict[str, str]:
    if not isinstance(given, dict) or not set(wanted) <= set(given) <= set(names):
        raise ValueError("a part of it does not have the form of a record")
    return {name: _text(name, value) for name, value in given.items()}


_READ: Mapping[str, Callable[[str, object], object]] = MappingProxyType(
    {
        "n": _number,
        "of": _number,
        "revision": _number,
        "said": lambda name, value: tuple(Said.from_json(one) for one in _list(name, value)),
        "files": lambda name, value: tuple(FileSeal.from_json(one) for one in _list(name, value)),
        "window": lambda name, value: tuple(_text(name, one) for one in _list(name, value)),
    }
)
"""How each field that is not a text is read."""

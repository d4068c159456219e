"""A tree as one file to send: its file, its procedures, its cases, and the shop's own words.

In the file everything lies as on a shelf, below one folder of the tree's name. Procedures that
came with this program lie apart, under ``shipped``: who takes the tree in uses his own of that
name, which may be a better one by then.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from engine.job import zipped
from engine.job.chain import JobError
from engine.loader.loading import Loaded
from engine.loader.shelves import CASES, ENDING, OWN_VOCABULARY, PROCEDURES, VOCABULARY
from engine.loader.text import read
from engine.shipped import data

SHIPPED = "shipped"
LARGEST = 64 * 1024 * 1024
"""Bytes that a packed tree may unpack to; one file of a tree may have 16 MB."""
MOST = 500
"""Files in it."""
_NAME = r"[a-z0-9][a-z0-9-]{0,80}"
_PLACES = re.compile(
    rf"(?:(?!{SHIPPED}/){_NAME}/)?{_NAME}(?:{re.escape(CASES)}|{re.escape(ENDING)})"
    rf"|(?:{SHIPPED}/)?{PROCEDURES}/{_NAME}{re.escape(ENDING)}"
)
"""Where a file of a packed tree can lie: at most one folder down, as on a shelf."""


@dataclass(frozen=True, slots=True)
class Parcel:
    """A tree as it was sent."""

    name: str
    title: str
    revision: str
    place: str
    """Where its file lies on a shelf: ``thermostat/blank-thermostat.yaml``."""
    files: Mapping[str, bytes]
    """The tree, its cases, and what the sender's shop wrote itself, by place on a shelf."""
    shipped: Mapping[str, bytes]
    """The procedures that came with the sender's program, by place on a shelf."""


def pack(loaded: Loaded, target: Path) -> None:
    """Write a tree that can be walked into one file; the same tree gives the same bytes.

    Raises JobError for a target that is there already or that can't be written.
    """
    assert loaded.walk is not None
    name = loaded.walk.tree.name
    files = sorted(_files(loaded))
    zipped.write(target, ((f"{name}/{place}", raw) for place, raw in files))


def _files(loaded: Loaded) -> Iterator[tuple[str, bytes]]:
    """Yield every file of a tree by its place in the packed one."""
    shelf = data("trees")
    own_words = OWN_VOCABULARY if OWN_VOCABULARY in loaded.files else VOCABULARY
    for place, raw in loaded.files.items():
        is_shipped = _is_file_with(shelf / place, raw)
        if is_procedure(place):
            yield f"{SHIPPED}/{place}" if is_shipped else place, raw
        elif place not in (VOCABULARY, OWN_VOCABULARY):
            yield place, raw
            cases = _beside(loaded, place)
            if cases.is_file():
                yield place.removesuffix(ENDING) + CASES, cases.read_bytes()
        elif place == own_words and not is_shipped:
            yield VOCABULARY, raw


def _beside(loaded: Loaded, place: str) -> Path:
    """Return where the cases of a loaded tree lie; a shipped one is known by its place only."""
    path = Path(loaded.path)
    here = path if path.is_file() else data("trees") / place
    return here.with_name(here.name.removesuffix(ENDING) + CASES)


def _is_file_with(path: Path, raw: bytes) -> bool:
    return path.is_file() and path.read_bytes() == raw


# --- taking one in --------------------------------------------------------------------------------


def open_parcel(file: Path) -> Parcel:
    """Return what is in a packed tree; nothing is written anywhere.

    Raises JobError for a file that is none, that holds a name which is not a tree's, or too much.
    """
    try:
        with zipfile.ZipFile(file) as packed:
            members = zipped.members(packed, "tree", largest=LARGEST, most=MOST)
            files = {_place(one.filename): packed.read(one) for one in members}
        return _parcel(files)
    except JobError as error:
        raise JobError(f"{file} was not taken in: {error}") from error
    except zipped.BROKEN as error:
        why = zipped.why(error)
        raise JobError(f"{file} is no packed tree that can be read: {why}.") from error


def _place(name: str) -> str:
    """Return where a file of a packed tree lies on a shelf."""
    place = name.partition("/")[2]
    if not _PLACES.fullmatch(place):
        raise JobError(f"it holds a file that is no part of a tree, {name!a:.60}.")
    return place


def _parcel(files: Mapping[str, bytes]) -> Parcel:
    apart = f"{SHIPPED}/"
    shipped = {
        place.removeprefix(apart): raw for place, raw in files.items() if place.startswith(apart)
    }
    own = {place: raw for place, raw in files.items() if not place.startswith(apart)}
    trees = {
        place: head
        for place, raw in own.items()
        if not is_procedure(place) and (head := _head(place, raw))
    }
    if len(trees) != 1:
        raise JobError("it holds several trees, and one is wanted." if trees else "it has no tree.")
    ((place, (name, title, revision)),) = trees.items()
    belongs = (place, place.removesuffix(ENDING) + CASES, VOCABULARY)
    strays = [one for one in own if one not in belongs and not is_procedure(one)]
    if strays:
        raise JobError(f"it holds a file that is no part of the tree, {strays[0]!a:.60}.")
    return Parcel(name, title, revision, place, own, shipped)


def is_procedure(place: str) -> bool:
    """Return whether a place on a shelf is a procedure's."""
    return place.startswith(f"{PROCEDURES}/")


def _head(place: str, raw: bytes) -> tuple[str, str, str] | None:
    """Return the name, title and revision that a tree's file says; None for another file."""
    said = read(place, raw).data
    if not isinstance(said, dict) or next((key for key in said if key != "format"), "") != "tree":
        return None
    name, title, revision = (said.get(key) for key in ("tree", "title", "revision"))
    if not isinstance(name, str) or not re.fullmatch(_NAME, name):
        raise JobError("its tree has no name that can be kept here.")
    return name, _text(title), _text(revision)


def _text(said: object) -> str:
    return said if isinstance(said, str) else ""

"""Where tree files lie: shelves, looked through in order, the shop's own before the shipped ones.

A shelf is a folder with trees in it, at most one folder down; procedures lie in ``procedures``,
one a file, named as the procedure is; the words that all trees share in ``vocabulary.yaml``. A shop
adds words of its own in ``vocabulary.yaml`` beside its own trees.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from engine.shipped import data

if TYPE_CHECKING:
    # Only its name is wanted: importing it brings a fifth of a start's modules along.
    from importlib.resources.abc import Traversable

PROCEDURES = "procedures"
VOCABULARY = "vocabulary.yaml"
GLOSSARY = "glossary.yaml"
OWN_VOCABULARY = "vocabulary.own.yaml"
"""How a shop's own words are called where both lie in one folder, as a job keeps them."""
CASES = ".cases.yaml"
READINGS = ".readings.yaml"
MENDED = ".mended.yaml"
"""A file as `check --fix` writes it beside the old one; on no shelf before it is renamed."""
ENDING = ".yaml"
OLD = "old"
"""The folder of what was written over when a tree was added; nothing in it is on the shelf."""
UNITS = "units"
"""The folder of simulated units, and of files that add faults to them."""
FOLDERS_WITHOUT_TREES = (PROCEDURES, UNITS, "demo", OLD)
_ID = re.compile(r"[a-z0-9][a-z0-9-]*")


@dataclass(frozen=True, slots=True)
class Found:
    """A file on a shelf, not yet read."""

    folder: Traversable
    name: str
    place: str
    """Where it lies on its shelf: ``procedures/withdraw.yaml``."""
    shipped: bool = False

    @classmethod
    def at(cls, path: Path) -> Found:
        """Return a file by its path."""
        return cls(path.parent, path.name, path.name)

    @property
    def file(self) -> Traversable:
        """The file itself."""
        return self.folder / self.name

    @property
    def path(self) -> str:
        """The name that problems are given under."""
        return f"trees/{self.place}" if self.shipped else str(self.file)

    @property
    def stem(self) -> str:
        """The file's name without its ending."""
        return self.name.removesuffix(ENDING)

    def read(self) -> bytes:
        """Return all that is in the file; raises OSError."""
        return self.file.read_bytes()

    def beginning(self, size: int) -> bytes:
        """Return the first bytes of the file; raises OSError."""
        with self.file.open("rb") as stream:
            return stream.read(size)

    def beside(self, ending: str) -> Found:
        """Return the file of the same stem and another ending, whether it is there or not."""
        name = self.stem + ending
        place = self.place.removesuffix(self.name) + name
        return Found(self.folder, name, place, self.shipped)


@dataclass(frozen=True, slots=True)
class Shelf:
    """A folder of trees."""

    folder: Traversable
    shipped: bool = False

    def trees(self) -> Iterator[Found]:
        """Yield every file that may be a tree, by name, those of the folder itself first."""
        yield from self._within(self.folder, "")
        for inner in _sorted(self.folder):
            if inner.is_dir() and inner.name not in FOLDERS_WITHOUT_TREES:
                yield from self._within(inner, f"{inner.name}/")

    def _within(self, folder: Traversable, place: str) -> Iterator[Found]:
        for file in _sorted(folder):
            name = file.name
            if name.endswith(ENDING) and not name.endswith((CASES, READINGS, MENDED)):
                yield Found(folder, name, place + name, self.shipped)

    def procedure(self, name: str) -> Found | None:
        """Return the file of a procedure, if it is on this shelf."""
        return self._at(PROCEDURES, name + ENDING)

    def procedures(self) -> Iterator[Found]:
        """Yield the file of every procedure on this shelf."""
        return self._all_in(PROCEDURES)

    def units(self) -> Iterator[Found]:
        """Yield every file of the simulated units on this shelf."""
        return self._all_in(UNITS)

    def _all_in(self, name: str) -> Iterator[Found]:
        folder = self.folder / name
        for file in _sorted(folder):
            if file.name.endswith(ENDING):
                yield Found(folder, file.name, f"{name}/{file.name}", self.shipped)

    def vocabularies(self) -> Iterator[Found]:
        """Yield the files of shared words on this shelf, a shop's own first."""
        for name in (OWN_VOCABULARY, VOCABULARY):
            if found := self._at("", name):
                yield found

    def glossary(self) -> Found | None:
        """Return the file of the words explained on this shelf, if there is one."""
        return self._at("", GLOSSARY)

    def _at(self, folder: str, name: str) -> Found | None:
        within = self.folder / folder if folder else self.folder
        place = f"{folder}/{name}" if folder else name
        return Found(within, name, place, self.shipped) if (within / name).is_file() else None


def _sorted(folder: Traversable) -> list[Traversable]:
    return sorted(folder.iterdir(), key=lambda file: file.name) if folder.is_dir() else []


@dataclass(frozen=True, slots=True)
class Shelves:
    """Several shelves, those that count first."""

    shelves: tuple[Shelf, ...]

    def trees(self) -> Iterator[Found]:
        """Yield every file that may be a tree."""
        for shelf in self.shelves:
            yield from shelf.trees()

    def procedure(self, name: str) -> Found | None:
        """Return the file of a procedure, from the first shelf that has it."""
        if not _ID.fullmatch(name):
            return None
        return next((one for shelf in self.shelves if (one := shelf.procedure(name))), None)

    def procedures(self) -> Iterator[Found]:
        """Yield the file of every procedure."""
        for shelf in self.shelves:
            yield from shelf.procedures()

    def units(self) -> Iterator[Found]:
        """Yield every file of simulated units."""
        for shelf in self.shelves:
            yield from shelf.units()

    def vocabularies(self) -> Iterator[Found]:
        """Yield the files of shared words."""
        for shelf in self.shelves:
            yield from shelf.vocabularies()

    def glossaries(self) -> Iterator[Found]:
        """Yield the files of words explained, a shop's own first."""
        for shelf in self.shelves:
            if found := shelf.glossary():
                yield found


def shelves(home: Path | None, tree: Path | None = None) -> Shelves:
    """Return where trees lie: beside a tree given by its path, in a home, and as shipped."""
    beside = _beside(tree) if tree else None
    own = Shelf(home / "trees") if home else None
    shipped = Shelf(data("trees"), shipped=True)
    return Shelves(tuple(one for one in (beside, own, shipped) if one))


def _beside(path: Path) -> Shelf:
    """Return the shelf that a file stands on: the folder above its own if that looks it."""
    for folder in (path.parent, path.parent.parent):
        if (
            any((folder / one).is_dir() for one in (PROCEDURES, UNITS))
            or (folder / VOCABULARY).is_file()
        ):
            return Shelf(folder)
    return Shelf(path.parent)

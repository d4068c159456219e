"""A file as plain data, with the place of every name and value in it.

Owns what `text` hands to everything that checks or builds. Data is dictionaries, lists and texts
and nothing else: ``yes``, ``12:30`` and ``010`` are texts here, exactly as they were written.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple, Protocol

from engine.problems import Problem, Span

Data = str | list["Data"] | dict[str, "Data"]
Path = tuple[str | int, ...]
"""Keys and list positions from the top of the file down to a value."""

KEY = "#key"
"""Before a path: the place of the name itself instead of the place of its value."""


class Mark(Protocol):
    """A place as the parser counts: both from 0."""

    @property
    def line(self) -> int:
        """Lines above this one."""

    @property
    def column(self) -> int:
        """Characters to the left."""


class Place(NamedTuple):
    """Where one entry stands: its name (in a list, its value), its value, and what is in it."""

    key: Mark
    value: Mark
    inside: Places | None


Places = dict[str | int, Place]


class Marks(Mapping[Path, Span]):
    """The place of every value by its path, and after `KEY` of every name.

    Kept as the parser left it and turned into `Span` only when asked: a load that finds no
    problem asks for few.
    """

    def __init__(self, path: str, top: Mark, places: Places) -> None:
        self._path = path
        self._top = top
        self._places = places

    def __getitem__(self, path: Path) -> Span:
        wants_key = len(path) > 1 and path[0] == KEY
        place = self._find(path[1:] if wants_key else path)
        mark = place.key if wants_key else place.value
        return Span(self._path, mark.line + 1, mark.column + 1)

    def _find(self, path: Path) -> Place:
        place = Place(self._top, self._top, self._places)
        for part in path:
            if place.inside is None:
                raise KeyError(path)
            place = place.inside[part]
        return place

    def __iter__(self) -> Iterator[Path]:
        yield ()
        yield from _paths((), self._places)

    def __len__(self) -> int:
        return sum(1 for _ in self)


def _paths(above: Path, places: Places) -> Iterator[Path]:
    for part, place in places.items():
        path = (*above, part)
        yield path
        yield (KEY, *path)
        if place.inside is not None:
            yield from _paths(path, place.inside)


@dataclass(frozen=True, slots=True)
class Document:
    """One file: its data, where everything in it stands, and what is wrong with its writing."""

    path: str
    data: Data | None
    """None where the writing stops it from being read."""
    marks: Mapping[Path, Span]
    problems: tuple[Problem, ...] = ()
    doubtful: frozenset[int] = frozenset()
    """Lines that were read on a guess after a problem; what else is said of them is noise."""

    def at(self, *path: str | int) -> Span:
        """Return the place of a value, or of the nearest thing around it that is in the file."""
        return self._nearest((), path)

    def key(self, *path: str | int) -> Span:
        """Return the place of a name, or of the nearest name around it that is in the file."""
        return self._nearest((KEY,), path)

    def _nearest(self, before: Path, path: Path) -> Span:
        for length in range(len(path), 0, -1):
            span = self.marks.get((*before, *path[:length]))
            if span is not None:
                return span
        return self.marks.get((), Span(self.path))

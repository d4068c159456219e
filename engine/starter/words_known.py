"""What is known before anything is asked: points, nameplate questions, causes, other trees."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches

from engine.vocabulary import Point, Vocabulary

LIVE_BOXES: Mapping[str, str] = {
    "control box": "control box live",
    "thermostat": "at the thermostat",
    "disconnect box": "disconnect live",
}
"""Boxes in which a begun tree reads live, each with the name of its stage."""
DEAD_BOXES: Mapping[str, str] = {
    "control box": "unit dead",
    "thermostat": "thermostat off",
}
"""Boxes in which a begun tree reads and works dead, each with the name of its stage."""

_WORD = re.compile(r"[a-z0-9]+")
_EVERYWHERE = frozenset({"the", "of", "at", "to", "in", "and", "end", "side", "lead"})
"""Words that say nothing of which point is meant."""
_MOST_NEAR = 4


@dataclass(frozen=True)
class WordsKnown:
    """The shared words, and the names of the trees that there are."""

    vocabulary: Vocabulary
    trees: Collection[str] = field(default=())

    def points(self, said: str, boxes: Collection[str]) -> list[Point]:
        """Return the points in these boxes (or in none, like ground) that a text may mean.

        Its whole name or title means one point; else every point that has all the words.
        """
        wanted = set(_WORD.findall(said.casefold()))
        every = [one for one in self.vocabulary.points.values() if not one.box or one.box in boxes]
        exact = [one for one in every if said.casefold() in (one.name.casefold(), _title(one))]
        return exact or [one for one in every if wanted and wanted <= _words_of(one)]

    def near_points(self, said: str, boxes: Collection[str]) -> tuple[str, ...]:
        """Return titles of points that have a word of a text, or else are written much like it."""
        every = [one for one in self.vocabulary.points.values() if one.box in boxes]
        wanted = set(_WORD.findall(said.casefold())) - _EVERYWHERE
        shared = {one.title: len(wanted & _words_of(one)) for one in every}
        most = max(shared.values(), default=0)
        if most:
            return tuple(title for title, count in shared.items() if count == most)[:_MOST_NEAR]
        return tuple(get_close_matches(said, shared, _MOST_NEAR, 0.6))

    def parts(self, boxes: Collection[str]) -> tuple[str, ...]:
        """Return what the points in these boxes are points of, each once."""
        points = self.vocabulary.points.values()
        first = (one.name.split(".", 1)[0].replace("_", " ") for one in points if one.box in boxes)
        return tuple(dict.fromkeys(first))

    def elsewhere(self, said: str, boxes: Collection[str]) -> str:
        """Return the box of a point that a text means and that is in none of these boxes."""
        every = {one.box for one in self.vocabulary.points.values() if one.box}
        return next((one.box for one in self.points(said, every) if one.box not in boxes), "")

    def causes_like(self, title: str) -> Iterator[tuple[str, str]]:
        """Yield the causes of the vocabulary that a title may mean: name and title, best first."""
        by_title = {text.casefold(): name for name, text in self.vocabulary.suspects.items()}
        for near in get_close_matches(title.casefold(), by_title, 3, 0.6):
            yield by_title[near], self.vocabulary.suspects[by_title[near]]


def _title(point: Point) -> str:
    return point.title.casefold()


def _words_of(point: Point) -> set[str]:
    return set(_WORD.findall(f"{point.name} {point.title}".casefold()))

"""Everything in a file that is certain to be mended, and what was done about it."""

from __future__ import annotations

from dataclasses import dataclass

from engine.loader.loading import read_file
from engine.loader.shelves import Found
from engine.mending.splitting import split_steps
from engine.mending.writing import rewritten


@dataclass(frozen=True, slots=True)
class Mended:
    """The text of a file as mended."""

    text: str
    done: tuple[str, ...]
    """What was done, one sentence each; empty where nothing was."""


def mended(found: Found) -> Mended:
    """Return a file with its writing and its double steps mended; raises OSError."""
    raw = found.read()
    text, done = rewritten(raw.decode("utf-8", "replace").replace("\r\n", "\n"))
    made = read_file(_Written(found.folder, found.name, found.place, found.shipped, text))
    if made.built is not None:
        text, split = split_steps(text, made)
        done = (*done, *split)
    return Mended(text, done)


@dataclass(frozen=True, slots=True)
class _Written(Found):
    """A file as it would be after the first mending."""

    text: str = ""

    def read(self) -> bytes:
        """Return the text in the place of what is on the disk."""
        return self.text.encode("utf-8")

"""The heads of trees, for a list: no more is read of each file than its beginning.

Nothing here loads what a tree is built or checked with, so that a first screen is up at once.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from engine.loader.document import Data
from engine.loader.shelves import Found, Shelf, shelves
from engine.loader.text import read

_TREE = "tree"
_FORMAT = "format"
_IN_HEAD = (_TREE, "title", "complaint", "revision", "status", "layout", "if stuck", _FORMAT)
_LONGEST_HEAD = 4096


@dataclass(frozen=True, slots=True)
class Head:
    """What a list shows of a tree; nothing below its head was read."""

    name: str
    title: str
    said_as: tuple[str, ...]
    revision: str
    status: str
    """``draft`` or ``reviewed``."""
    path: str
    shipped: bool


def heads(home: Path | None = None) -> Iterator[Head]:
    """Yield the head of every tree, a home's own first, each shelf by the name of its files."""
    for found in shelves(home).trees():
        if head := head_of(found):
            yield head


def heads_in(folder: Path) -> Iterator[Head]:
    """Yield the head of every tree in one folder, such as a job keeps."""
    for found in Shelf(folder).trees():
        if head := head_of(found):
            yield head


def head_of(found: Found) -> Head | None:
    """Return the head of a tree; None for a file of another kind, or one that can't be read."""
    try:
        beginning = found.beginning(_LONGEST_HEAD)
    except OSError:
        return None
    data = read(found.path, _only_head(beginning)).data
    if not isinstance(data, dict) or next((key for key in data if key != _FORMAT), "") != _TREE:
        return None
    complaint = data.get("complaint")
    status = data.get("status")
    word = status if isinstance(status, str) else next(iter(status or ()), "draft")
    return Head(
        name=_text(data.get(_TREE)),
        title=_text(data.get("title")),
        said_as=_texts(complaint.get("said as") if isinstance(complaint, dict) else None),
        revision=_text(data.get("revision")),
        status=_text(word),
        path=found.path,
        shipped=found.shipped,
    )


def _text(data: Data | None) -> str:
    return data if isinstance(data, str) else ""


def _texts(data: Data | None) -> tuple[str, ...]:
    several = data if isinstance(data, list) else [data]
    return tuple(one for one in several if isinstance(one, str))


def _only_head(beginning: bytes) -> bytes:
    """Return the lines before the first key that stands below a tree's head."""
    kept: list[bytes] = []
    lines = beginning.splitlines(keepends=True)
    for line in lines[:-1] if len(beginning) == _LONGEST_HEAD else lines:
        key = line.split(b":", 1)[0].decode("utf-8", "replace").strip("\ufeff")
        if line[:1].isalpha() and key not in _IN_HEAD:
            break
        kept.append(line)
    return b"".join(kept)

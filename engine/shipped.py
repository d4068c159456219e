"""Where the shipped trees, schemas and tables lie, installed or in a checkout."""

from __future__ import annotations

from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path


def data(folder: str) -> Traversable:
    """Return the shipped folder ``trees`` or ``schemas``.

    A wheel carries both inside the package; an editable install and a checkout have them
    beside it.
    """
    packed = files("engine") / "_data" / folder
    if packed.is_dir():
        return packed
    return Path(__file__).resolve().parent.parent / folder


def tables() -> Traversable:
    """Return the folder of the trade's tables, one JSON file each with its source inside."""
    return files("engine") / "trade" / "tables"

"""The titles of the procedures that a tree uses: the tree as walked has their names only."""

from __future__ import annotations

from collections.abc import Mapping

from engine.loader.shelves import PROCEDURES
from engine.loader.text import read


def procedure_titles(files: Mapping[str, bytes]) -> dict[str, str]:
    """Return title by name of every procedure among the files that a tree was loaded from."""
    titles: dict[str, str] = {}
    for place, raw in files.items():
        data = read(place, raw).data if place.startswith(f"{PROCEDURES}/") else None
        if isinstance(data, dict):
            name, title = data.get("procedure"), data.get("title")
            if isinstance(name, str) and isinstance(title, str):
                titles[name] = title
    return titles

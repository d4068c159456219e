"""Revisions of a small tree: a copy of its shelf with some words exchanged."""

from __future__ import annotations

from pathlib import Path
from shutil import copytree

from engine.loader.library import load
from engine.tree import WalkTree

SHELF = Path(__file__).parents[2] / "data" / "shelf"
TREE = "fan-stopped.yaml"


def revised(folder: Path, *exchanges: tuple[str, str], file: str = TREE) -> WalkTree:
    """Return the small tree with words of one of its files exchanged, each in its first place."""
    copytree(SHELF, folder, dirs_exist_ok=True)
    path = folder / file
    text = path.read_text(encoding="utf-8")
    for old, new in exchanges:
        assert old in text
        text = text.replace(old, new, 1)
    path.write_text(text, encoding="utf-8", newline="\n")
    loaded = load(str(folder / TREE))
    assert loaded.walk is not None, loaded.problems
    return loaded.walk

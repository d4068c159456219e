"""A search for the cause that goes by what a trial has shown, where the trial is not old."""

from __future__ import annotations

from pathlib import Path

from engine.loader.outcomes import ENDING, hold, read_outcomes
from engine.loader.units import unit_digest
from engine.shipped import data
from engine.suspects.from_tree import TreeSearch
from engine.tree import WalkTree


def outcomes_path(walk: WalkTree, home: Path | None) -> Path:
    """Return where a tree's table of outcomes is kept: beside it, or for a shipped one at home."""
    beside = Path(walk.tree.span.path).resolve().with_name(f"{walk.tree.name}{ENDING}")
    is_shipped = data("trees").resolve() in beside.parents
    return home / "trees" / beside.name if home and is_shipped else beside


def tried_search(walk: WalkTree, home: Path | None = None) -> TreeSearch:
    """Return the search in a tree by its trial's outcomes; without a trial, by its author's words.

    Raises OutcomesError for a table that is none, or was made with another tree or unit.
    """
    path = outcomes_path(walk, home)
    if not path.is_file():
        return TreeSearch(walk)
    outcomes = read_outcomes(path)
    hold(path, outcomes, walk.digest, lambda unit: unit_digest(unit, home))
    return TreeSearch(walk, outcomes.odds())

"""A small tree with cases, and what its mutants are held against."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

from engine.cases import Cases
from engine.loader.library import cases_in, load
from engine.loader.shelves import Found, shelves
from engine.mutation.mutant import Mutant
from engine.mutation.trying import Trial, Tried, every_mutant
from engine.tree import WalkTree

SHELF = Path(__file__).parents[2] / "data" / "shelf"
TREE = SHELF / "fan-stopped.yaml"
CASES = Path(__file__).parent / "fan-stopped.cases.yaml"
"""Not beside the tree: other tests want it without."""


@cache
def small() -> WalkTree:
    """Return the small tree: an outdoor fan that does not turn."""
    loaded = load(str(TREE))
    assert loaded.walk is not None
    assert loaded.problems == ()
    return loaded.walk


@cache
def cases() -> Cases:
    """Return its cases."""
    read, wrong = cases_in(Found.at(CASES), shelves(None, TREE), small())
    assert read is not None
    assert wrong == ()
    return read


@cache
def trial() -> Trial:
    """Return what mutants of the small tree are held against."""
    return Trial(small(), cases())


@cache
def mutants() -> tuple[Mutant, ...]:
    """Return every mutant of the small tree."""
    return every_mutant(small())


def tried(*chosen: Mutant) -> list[Tried]:
    """Return what comes of mutants of the small tree."""
    return list(trial().tried(chosen))


def the(operator: str, title: str, change: str = "") -> Mutant:
    """Return the one mutant of an operator at a step whose change is told in such words."""
    found = among(mutants(), operator, title, change)
    assert len(found) == 1, [(one.title, one.change) for one in found]
    return found[0]


def among(
    several: Sequence[Mutant], operator: str, title: str = "", change: str = ""
) -> list[Mutant]:
    """Return the mutants of an operator whose title and change hold some words."""
    return [
        one
        for one in several
        if one.operator.words == operator and title in one.title and change in one.change
    ]


def without(*names: str) -> Cases:
    """Return the cases but for some of them."""
    kept = {name: case for name, case in cases().cases.items() if name not in names}
    assert len(kept) == len(cases().cases) - len(names)
    return replace(cases(), cases=kept)

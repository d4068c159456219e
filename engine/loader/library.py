"""The door to the trees there are: lists, one tree ready to walk, its cases, readings from a file.

A tree is named by its id or by the path of its file, from any folder. The shop's own trees come
before the shipped ones. A list reads no more than the beginning of each file.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from engine.cases import Cases, Readings
from engine.codes import problem
from engine.loader import schema
from engine.loader.build import FileKind, kind_of_file
from engine.loader.building import Building, names, offer
from engine.loader.cases import build_cases
from engine.loader.check_cases import check_cases, check_readings
from engine.loader.glossary import check_glossary
from engine.loader.heads import Head, head_of, heads
from engine.loader.loading import Loaded, Loader, read_file
from engine.loader.plain_json import cut_short, plain_json
from engine.loader.readings import build_readings
from engine.loader.shelves import CASES, ENDING, Found, Shelf, Shelves, shelves
from engine.loader.text import read
from engine.loader.wording import shown
from engine.problems import Problem, Span
from engine.tree import WalkTree

if TYPE_CHECKING:
    from engine.matrix import Search

__all__ = [
    "Head",
    "Loaded",
    "cases_of",
    "check",
    "heads",
    "load",
    "load_kept",
    "load_rank",
    "load_readings",
    "load_to_draw",
]


# --- one tree -------------------------------------------------------------------------------------


def load(tree: str, home: Path | None = None) -> Loaded:
    """Return a tree, named by its id or its path, with every problem of it and what it uses."""
    if path := _as_path(tree):
        loaded = Loader(shelves(home, path)).load(Found.at(path))
        return loaded if loaded.walk or loaded.problems else _no_tree_in(loaded)
    return _named(tree, shelves(home))


def load_to_draw(name: str, home: Path | None = None) -> Loaded:
    """Return a tree, or a procedure by itself (`Loaded.alone`), by its id or its file's path."""
    path = _as_path(name)
    where = shelves(home, path)
    found = Found.at(path) if path else _find(name, where) or where.procedure(name)
    if found is None:
        return _named(name, where)
    loaded = Loader(where).load(found)
    return loaded if loaded.walk or loaded.alone or loaded.problems else _no_tree_in(loaded)


def _no_tree_in(loaded: Loaded) -> Loaded:
    """Return what was loaded from a sound file of another kind, with a problem that says so."""
    sentence = "There is no tree in this file."
    fix = "A tree's file begins with `format: 1` and `tree:`. Name a tree by its id or its file."
    return replace(loaded, problems=(problem("no-tree", Span(loaded.path), sentence, fix),))


def load_kept(tree: str, folder: Path) -> Loaded:
    """Return a tree from a folder that holds the files of a `Loaded`, as a job keeps them."""
    return _named(tree, Shelves((Shelf(folder),)))


def _named(name: str, where: Shelves) -> Loaded:
    found = _find(name, where)
    if found:
        return Loader(where).load(found)
    known = [head.name for one in where.trees() if (head := head_of(one))]
    sentence = f"There is no tree called {shown(name)}."
    fix = offer(name, known, "A tree is named by its id, or by the path of its file.")
    return Loaded(None, (problem("no-tree", Span(name), sentence, fix),))


def _find(name: str, where: Shelves) -> Found | None:
    """Return the file of a tree, the shop's own before a shipped one.

    Those that are called like it are looked at first.
    """
    every = list(where.trees())
    every.sort(key=lambda found: (found.shipped, found.stem != name))
    return next((one for one in every if (head := head_of(one)) and head.name == name), None)


def _as_path(tree: str) -> Path | None:
    """Return the path of a file that is meant; None where the words are a tree's id."""
    path = Path(tree)
    written_as_path = tree.endswith(ENDING) or len(path.parts) > 1
    return path if written_as_path or path.is_file() else None


def check(path: Path, home: Path | None = None) -> tuple[Problem, ...]:
    """Return every problem of a file of any kind, and of what it uses."""
    found = Found.at(path)
    match kind_of_file(names(read_file(found).document.data)):
        case FileKind.CASES:
            return cases_in(found, shelves(home, path))[1]
        case FileKind.READINGS:
            return load_readings(path, home)[1]
        case FileKind.RANK:
            return load_rank(path)[1]
        case FileKind.GLOSSARY:
            return check_glossary(found, shelves(home, path))
        case FileKind.UNIT | FileKind.ADDED_FAULTS:
            # Imported here: no tree needs the simulated unit.
            from engine.loader.units import check_unit

            return check_unit(found, shelves(home, path))
        case _:
            return Loader(shelves(home, path)).check(found)


# --- cases and readings ---------------------------------------------------------------------------


def cases_of(
    tree: str, home: Path | None = None, walk: WalkTree | None = None
) -> tuple[Cases | None, tuple[Problem, ...]]:
    """Return the cases beside a tree; None where there are none, or they can't be read.

    ``walk`` is the tree where it is loaded already.
    """
    path = _as_path(tree)
    where = shelves(home, path)
    found = Found.at(path) if path else _find(tree, where)
    beside = found.beside(CASES) if found else None
    if beside is None or not beside.file.is_file():
        return None, ()
    return cases_in(beside, where, walk)


def cases_in(
    found: Found, where: Shelves, walk: WalkTree | None = None
) -> tuple[Cases | None, tuple[Problem, ...]]:
    """Return the cases of a file, and what is wrong with it, held against their tree."""
    one = read_file(found)
    data = names(one.document.data)
    if kind_of_file(data) is not FileKind.CASES:
        return None, one.shape
    file = Building(one.document, one.raw)
    cases = build_cases(file, data)
    if walk is None or walk.tree.name != cases.tree:
        walk = _walk_for(file, cases.tree, "cases for", where)
    if walk:
        check_cases(file, cases, walk)
    return cases, tuple(sorted({*one.shape, *file.problems}))


def load_readings(
    path: Path, home: Path | None = None, walk: WalkTree | None = None
) -> tuple[Readings | None, tuple[Problem, ...]]:
    """Return the answers of a walk from a file, and what is wrong with it; ``walk`` as above."""
    one = read_file(Found.at(path))
    data = names(one.document.data)
    if kind_of_file(data) is not FileKind.READINGS:
        return None, one.shape
    file = Building(one.document, one.raw)
    readings = build_readings(file, data)
    if walk is None or walk.tree.name != readings.tree:
        walk = _walk_for(file, readings.tree, "readings for", shelves(home, path))
    if walk:
        check_readings(file, readings, walk)
    return readings, tuple(sorted({*one.shape, *file.problems}))


def load_rank(path: Path) -> tuple[Search | None, tuple[Problem, ...]]:
    """Return the search that a file of suspects asks for, YAML or JSON; None with any problem.

    The names of the file may come in any order.
    """
    # Imported here: a tree has no such file.
    from engine.loader.rank import build_search

    found = Found.at(path)
    try:
        raw = found.read()
    except OSError:
        return None, read_file(found).shape
    document = read(found.path, plain_json(raw))
    if document.problems and (left_open := _left_open(found.path, raw)):
        return None, (left_open,)
    if document.data is None:
        return None, tuple(_begun_as_rank(one) for one in document.problems)
    shape = (*document.problems, *schema.check(document, FileKind.RANK))
    file = Building(document)
    search = build_search(file, names(document.data), frozenset(one.code for one in shape))
    problems = tuple(sorted({*shape, *file.problems}))
    return (None if problems else search), problems


def _left_open(path: str, raw: bytes) -> Problem | None:
    """Return that a JSON file ends too early, with what is open there; None where it does not."""
    cut = cut_short(raw)
    if cut is None:
        return None
    what = "quote" if cut.opened == '"' else f"`{cut.opened}`"
    sentence = f"The file ends before the {what} that opens here is closed."
    fix = f"Add what is missing at its end; `{cut.closing}` would close everything."
    return problem("not-closed", Span(path, cut.line, cut.column), sentence, fix)


def _begun_as_rank(found: Problem) -> Problem:
    """Return a problem of an empty file with what a file of suspects begins with."""
    fix = "Begin with `suspects:`, and under it each suspect with its probability."
    return replace(found, fix=fix) if found.code == "empty-file" else found


def _walk_for(file: Building, tree: str, key: str, where: Shelves) -> WalkTree | None:
    """Return the tree that a file is for; a problem is kept where there is none."""
    found = _find(tree, where)
    if found is None:
        known = [head.name for one in where.trees() if (head := head_of(one))]
        sentence = f"There is no tree called {shown(tree)}."
        file.say("no-tree", (key,), sentence, offer(tree, known))
        return None
    return Loader(where).load(found).walk

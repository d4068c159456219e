"""``halfsplit trees pack`` and ``halfsplit trees add``: a tree sent, and one taken in."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TextIO

from engine.cli import places
from engine.cli.check import Problems, check_one
from engine.cli.exits import Exit
from engine.cli.parsing import UsageError
from engine.cli.plain import asker
from engine.cli.walk import ready
from engine.job.chain import JobError
from engine.loader.library import load
from engine.loader.shelves import VOCABULARY
from engine.problems import Problem, Severity
from engine.revision.comparing import compare
from engine.shelving.adding import Addition, add, planned, spoiled, tried
from engine.shelving.parcel import is_procedure, open_parcel, pack

YES = ("1", "y", "yes")
NO = ("2", "n", "no")


def _print(
    answer: Mapping[str, object], lines: Iterable[str], out: TextIO, *, as_json: bool
) -> None:
    if as_json:
        out.write(json.dumps(answer, ensure_ascii=False) + "\n")
    else:
        out.writelines(f"{line}\n" for line in lines)


def pack_tree(words: Sequence[str], out: TextIO, err: TextIO, *, as_json: bool) -> int:
    """Write a tree into a file to send; raises UsageError, JobError."""
    if not 1 <= len(words) <= 2:
        raise UsageError("Name the tree.\nusage: halfsplit trees pack TREE [FILE]")
    loaded = load(words[0], places.home())
    walk = ready(loaded, err)
    if walk is None:
        return Exit.PROBLEMS
    tree = walk.tree
    file = words[1] if len(words) > 1 else f"{tree.name}-r{tree.revision}.zip"
    pack(loaded, Path(file))
    answer = {"tree": tree.name, "revision": tree.revision, "file": file}
    lines = [f"{file} holds {tree.name}, revision {tree.revision}."]
    _print(answer, lines, out, as_json=as_json)
    return Exit.FINE


# --- add ------------------------------------------------------------------------------------------


def add_tree(words: Sequence[str], out: TextIO, err: TextIO, *, yes: bool, as_json: bool) -> int:
    """Check a packed tree, say what it changes, ask, and put it on the shop's shelf.

    Raises UsageError, JobError; then, and where a problem stops the tree, nothing is changed.
    """
    if len(words) != 1:
        raise UsageError("Name the file.\nusage: halfsplit trees add FILE")
    addition = planned(open_parcel(Path(words[0])), places.home())
    parcel = addition.parcel
    if not addition.writes:
        answer = {"tree": parcel.name, "added": False, "written": [], "kept": None}
        lines = [f"{parcel.name}, revision {parcel.revision}, is here already, and the same."]
        _print(answer, lines, out, as_json=as_json)
        return Exit.FINE
    with tried(addition) as home:
        if not _may_be_added(parcel.name, home, err):
            err.writelines(f"{note}\n" for note in addition.notes)
            return Exit.PROBLEMS
        changes = _changes(parcel.name, home)
        others = spoiled(addition, home)
    if others:
        raise JobError(
            f"With its procedures {', '.join(others)} could not be walked any more; nothing was "
            "added."
        )
    say = err if as_json else out
    say.writelines(f"{line}\n" for line in (*changes, *_written(addition), *addition.notes))
    if not yes and not _asked(f"Add {parcel.name} to your trees?", err):
        err.write("Nothing was added.\n")
        return Exit.STOPPED
    kept = add(addition)
    answer = {
        "tree": parcel.name,
        "added": True,
        "written": list(addition.writes),
        "kept": str(kept) if kept else None,
    }
    lines = [f"{parcel.name}, revision {parcel.revision}, is among your trees now."]
    lines += [f"What was there before is kept in {kept}."] if kept else []
    _print(answer, lines, out, as_json=as_json)
    return Exit.FINE


def _may_be_added(tree: str, home: Path, err: TextIO) -> bool:
    """Say every problem of the tree as it would be; return whether none of them stops it."""
    problems: Problems = {}
    check_one(tree, home, problems, [])
    shelf = str(home / "trees")
    found = [_on_the_shelf(problem, shelf) for problem in sorted(problems)]
    err.writelines(f"{problem}\n" for problem in found)
    stops = any(problem.severity is Severity.STOPS for problem in found)
    if stops:
        err.write("Nothing was added: such a tree is never offered on a job.\n")
    return not stops


def _on_the_shelf(problem: Problem, shelf: str) -> Problem:
    """Return a problem of the tree as tried with its place on the shelf, not that of the trial."""
    path = problem.span.path.removeprefix(shelf).replace("\\", "/").lstrip("/")
    return replace(problem, span=replace(problem.span, path=path or problem.span.path))


def _changes(tree: str, home: Path) -> tuple[str, ...]:
    """Return what the tree changes against the one of that name that is here."""
    before, after = load(tree, places.home()), load(tree, home)
    if after.walk is None:
        return ()
    if before.walk is not None:
        here, packed = before.walk.tree.revision, after.walk.tree.revision
        if before.digest == after.digest:
            return (f"{tree}, revision {here}, is here already, word for word the same.",)
        return (*_older(here, packed), *compare(before.walk, after.walk).sentences())
    new = after.walk.tree
    size = f"{len(new.steps)} steps, {len(new.findings)} findings"
    if before.files:
        return (f"{tree} as it is here can't be walked; revision {new.revision} has {size}.",)
    return (f"New: {tree}, {new.title}, revision {new.revision}, {new.status.word}: {size}.",)


def _older(here: int, packed: int) -> Iterator[str]:
    """Yield what to think of first where the packed tree is not a newer revision."""
    if packed < here:
        yield f"OLDER: the file holds revision {packed}, and revision {here} is here."
    if packed == here:
        yield f"Both are called revision {here}, and they are not the same. Ask who wrote them."


def _written(addition: Addition) -> Iterator[str]:
    """Yield what would be written on the shelf besides the tree itself and its cases."""
    replaced = addition.replaces
    for place in addition.writes:
        if is_procedure(place) or place == VOCABULARY:
            word = "Takes the place of your" if place in replaced else "Puts beside your trees"
            yield f"{word} {place}."


def _asked(question: str, err: TextIO) -> bool:
    ask = asker(err, sys.stdin)
    while True:
        try:
            answer = ask(f"{question} 1 yes 2 no").strip().casefold()
        except EOFError:
            err.write("\n")
            return False
        if answer in YES + NO:
            return answer in YES

"""The trees that a job was walked in, as they were, and what has changed in them since.

A job is gone on with, and reported, in the tree that it was begun in. Whether the tree of that
name is another one by now is told in sentences; it is never exchanged silently.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from pathlib import Path

from engine.entries import Entry, EntryKind
from engine.job.chain import JobError
from engine.job.store import Job
from engine.loader.library import Loaded, load, load_kept
from engine.tree import Step, WalkTree

MOST_NAMES = 6
"""Names that one sentence lists; of more it says how many."""


@dataclass(frozen=True, slots=True)
class Passage:
    """One walk of a job: the tree it was begun in, and the entries that belong to it."""

    tree: str
    digest: str
    entries: tuple[Entry, ...]


def passages(job: Job) -> tuple[Passage, ...]:
    """Return every walk of a job in the order of their beginnings.

    An entry belongs to the latest walk in its tree; closing and addenda belong to none.
    """
    begun: list[tuple[Entry, list[Entry]]] = []
    latest: dict[str, list[Entry]] = {}
    for entry in job.entries:
        if entry.kind is EntryKind.WALK:
            latest[entry.tree] = [entry]
            begun.append((entry, latest[entry.tree]))
        elif entry.tree in latest:
            latest[entry.tree].append(entry)
    return tuple(Passage(first.tree, first.outcome, tuple(own)) for first, own in begun)


def kept_tree(job: Job, passage: Passage) -> WalkTree:
    """Return the tree of a walk as it was when the walk began.

    Raises JobError where its files are missing, are not as they were kept, or can't be walked.
    """
    loaded = kept_files(job, passage)
    if loaded.walk is None:
        first = loaded.problems[0].sentence if loaded.problems else "it is no tree"
        raise JobError(f"{passage.tree} as kept in this job can't be walked here: {first}")
    return loaded.walk


def kept_files(job: Job, passage: Passage) -> Loaded:
    """Return what a walk's tree was made of; raises JobError where that is not as it was kept."""
    folder = job.kept_tree(passage.digest)
    if not passage.digest or not folder.is_dir():
        raise JobError(f"The files of {passage.tree} that this job was walked by are missing.")
    loaded = load_kept(passage.tree, folder)
    if loaded.digest != passage.digest:
        raise JobError(f"The files of {passage.tree} kept in this job are not as they were kept.")
    return loaded


@dataclass(frozen=True, slots=True)
class Changes:
    """What is different in a tree now from what a job has kept of it."""

    tree: str
    revisions: tuple[int, int]
    """Then and now."""
    added: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    """Steps by name, in the order of the tree; those of procedures and repairs among them."""
    elsewhere: bool = False
    """Something that is no step is different: nameplate, suspects, stages, texts."""

    def sentences(self) -> tuple[str, ...]:
        """Return what has changed, for a person who is about to go on with the job."""
        then, now = self.revisions
        numbers = f"revision {then} then, {now} now" if then != now else f"still revision {now}"
        lists = (("New steps", self.added), ("Gone", self.removed), ("Changed", self.changed))
        lines = [f"{said}: {_some(names)}." for said, names in lists if names]
        if self.elsewhere:
            lines.append("Its nameplate questions, causes, findings or stages are not the same.")
        if not lines:
            lines = ["Only what a walk does not show is different."]
        begun = f"{self.tree} has changed since this job was begun ({numbers})."
        return (begun, *lines, "The job goes on with the tree as it was.")


def _some(names: tuple[str, ...]) -> str:
    more = len(names) - MOST_NAMES
    return ", ".join(names[:MOST_NAMES]) + (f" and {more} more" if more > 0 else "")


def changes_since(job: Job, passage: Passage, home: Path | None) -> tuple[str, ...]:
    """Return in sentences how the tree of a walk differs from what it is now; empty if it does not.

    The tree now is the shop's own or the shipped one of the same id. Raises as `kept_tree`.
    """
    now = load(passage.tree, home)
    if now.digest == passage.digest:
        return ()
    if now.walk is None:
        return (_not_now(passage.tree, now), "The job goes on with the tree as it was.")
    return difference(kept_tree(job, passage), now.walk).sentences()


def _not_now(tree: str, now: Loaded) -> str:
    if not now.files:
        return f"There is no tree called {tree} here any more."
    return f"{tree} as it is now can't be walked; halfsplit check {tree} says why."


def difference(then: WalkTree, now: WalkTree) -> Changes:
    """Return what is different in a tree; where a line stands in its file makes no difference."""
    both = [name for name in then.steps if name in now.steps]
    return Changes(
        then.tree.name,
        (then.tree.revision, now.tree.revision),
        added=tuple(name for name in now.steps if name not in then.steps),
        removed=tuple(name for name in then.steps if name not in now.steps),
        changed=tuple(name for name in both if _is_other(then.steps[name], now.steps[name])),
        elsewhere=_plain(_beside_steps(then)) != _plain(_beside_steps(now)),
    )


def _is_other(then: Step, now: Step) -> bool:
    return then != now and _plain(then) != _plain(now)


def _beside_steps(walk: WalkTree) -> tuple[object, ...]:
    tree = walk.tree
    heads = (tree.title, tree.complaint, tree.layout, tree.if_stuck, tree.start)
    return (*heads, walk.fields, tree.suspects, tree.stages, tree.findings, walk.vocabulary.points)


def _plain(value: object) -> object:
    """Return a value without the places in files that its parts carry, to be compared."""
    if is_dataclass(value) and not isinstance(value, type):
        return (type(value).__name__, *_parts(value))
    if isinstance(value, Mapping):
        return tuple((name, _plain(inner)) for name, inner in value.items())
    if isinstance(value, tuple):
        return tuple(_plain(inner) for inner in value)
    return value


def _parts(value: object) -> Iterator[tuple[str, object]]:
    assert is_dataclass(value)
    for field in fields(value):
        if field.compare and field.name != "span":
            yield field.name, _plain(getattr(value, field.name))

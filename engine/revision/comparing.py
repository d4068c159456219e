"""Two revisions of a tree held against each other, for the person who walks it.

Steps are compared as walked, with procedures and lists written out, so that a change of a
procedure shows in every tree that uses it; what is the same in several uses is told once. A step
that has only a new name is the same step.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TypeVar

from engine.revision import words
from engine.revision.endings import Endings, Moved
from engine.session.nameplate import names_asked
from engine.session.steps import is_repair
from engine.tree import Step, UseHead, WalkTree
from engine.vocabulary import Field


@dataclass(frozen=True, slots=True)
class Changed:
    """One part of a step, finding or question that says something else now."""

    where: str
    """The title of the step, with its procedure; ``finding weak-capacitor``, ``nameplate mca``."""
    part: str
    was: str
    now: str

    def __str__(self) -> str:
        """Return it as a sentence."""
        if not self.was:
            return f'{self.where}: {self.part} is new, "{self.now}".'
        if not self.now:
            return f'{self.where}: {self.part} is gone, "{self.was}".'
        return f'{self.where}: {self.part} was "{self.was}", is now "{self.now}".'


@dataclass(frozen=True, slots=True)
class Revision:
    """What is different in a tree."""

    tree: str
    revisions: tuple[int, int]
    """Then and now."""
    added: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    renamed: tuple[tuple[str, str], ...] = ()
    """Steps, findings, stages and questions; a step by its title."""
    changed: tuple[Changed, ...] = ()
    moved: tuple[Moved, ...] = ()
    """Answers, readings among them, that end elsewhere."""

    @property
    def same(self) -> bool:
        """Whether nothing that a walk shows is different."""
        return not (self.added or self.removed or self.renamed or self.changed or self.moved)

    def sentences(self) -> tuple[str, ...]:
        """Return everything that is different, what leads elsewhere first."""
        then, now = self.revisions
        if self.same:
            return (f"{self.tree}: nothing that a walk shows is different ({then}, {now}).",)
        begun = f"{self.tree}: revision {then} then, {now} now."
        names = (f"{old} is called {new} now." for old, new in self.renamed)
        return (
            begun,
            *(str(one) for one in self.moved),
            *(f"New: {one}." for one in self.added),
            *(f"Gone: {one}." for one in self.removed),
            *names,
            *(str(one) for one in self.changed),
        )


def compare(old: WalkTree, new: WalkTree) -> Revision:
    """Return what is different in a tree; where it stands in its file makes no difference."""
    return _Comparing(old, new).revision()


class _Comparing:
    """One comparison."""

    def __init__(self, old: WalkTree, new: WalkTree) -> None:
        self._old = old
        self._new = new
        self._renamed = dict(_renamed(old, new))
        self._endings = Endings(old, new, self._renamed)
        self._both = [
            (step, new.steps[name])
            for step in old.steps.values()
            if (name := self._renamed.get(step.name, step.name)) in new.steps
        ]

    def revision(self) -> Revision:
        """Return everything that is different."""
        kept = {step.name for pair in self._both for step in pair}
        return Revision(
            self._new.tree.name,
            (self._old.tree.revision, self._new.tree.revision),
            _once((*_lacking(self._new, kept), *_names_only_in(self._new, self._old))),
            _once((*_lacking(self._old, kept), *_names_only_in(self._old, self._new))),
            tuple((old, new) for old, new in self._renamed.items() if "/" not in old),
            tuple(dict.fromkeys(self._changed())),
            tuple(dict.fromkeys(self._moved())),
        )

    def _moved(self) -> Iterator[Moved]:
        was, now = self._old.tree, self._new.tree
        start = self._renamed.get(was.start, was.start)
        if start != now.start:
            yield Moved("A walk", "the first step", f"→ {was.start}", f"→ {now.start}")
        stuck = self._renamed.get(was.if_stuck, was.if_stuck)
        if stuck != now.if_stuck:
            yield Moved("A walk", "being stuck", f"→ {was.if_stuck}", f"→ {now.if_stuck}")
        for old, new in self._both:
            yield from self._endings.moved(_title(self._new, new), old, new)

    def _changed(self) -> Iterator[Changed]:
        was, now = self._old.tree, self._new.tree
        yield from _parts(now.name, words.apart(words.of_head(was), words.of_head(now)))
        for before, after in self._both:
            # A repair says what its finding says.
            if not is_repair(before.name):
                parts = words.apart(words.of_step(before), words.of_step(after))
                yield from _parts(_title(self._new, after), parts)
        for kind, pairs in (
            ("finding", _pairs(was.findings, now.findings, words.of_finding)),
            ("suspect", _pairs(was.suspects, now.suspects, words.of_suspect)),
            ("stage", _pairs(was.stages, now.stages, words.of_stage)),
            ("nameplate", _pairs(_asked(self._old), _asked(self._new), words.of_field)),
        ):
            for name, parts in pairs:
                yield from _parts(f"{kind} {name}", parts)


def _parts(where: str, parts: Iterable[tuple[str, str, str]]) -> Iterator[Changed]:
    yield from (Changed(where, *part) for part in parts)


T = TypeVar("T")


def _pairs(
    old: Mapping[str, T], new: Mapping[str, T], said: Callable[[T], words.Said]
) -> Iterator[tuple[str, Iterator[tuple[str, str, str]]]]:
    """Yield what is in both trees, with the parts that do not say the same."""
    for name, one in new.items():
        if name in old:
            yield name, words.apart(said(old[name]), said(one))


def _asked(walk: WalkTree) -> dict[str, Field]:
    """Return the nameplate questions that some step of a tree needs."""
    names = {name for step in walk.steps.values() for name in names_asked(step)}
    return {name: field for name, field in walk.fields.items() if name in names}


def _title(walk: WalkTree, step: Step) -> str:
    """Return a step's title, with the procedure that it stands in."""
    user = walk.steps[walk.inside[step.name]] if step.name in walk.inside else None
    if user and isinstance(user.head, UseHead):
        return f"{step.title} (in {user.head.procedure})"
    return f"Repair of {step.title}" if is_repair(step.name) else step.title


def _lacking(walk: WalkTree, kept: Container[str]) -> Iterator[str]:
    """Yield the steps of a tree that the other has not; what is inside one is not told again."""
    for name, step in walk.steps.items():
        inside = walk.inside.get(name, "")
        whole = (inside and inside not in kept) or is_repair(name)
        if name not in kept and not whole:
            yield f"step {name}, {_title(walk, step)}"


def _names_only_in(walk: WalkTree, other: WalkTree) -> Iterator[str]:
    """Yield the findings, suspects, stages and questions that the other tree has not."""
    tree, besides = walk.tree, other.tree
    for kind, own, there in (
        ("finding", tree.findings, besides.findings),
        ("suspect", tree.suspects, besides.suspects),
        ("stage", tree.stages, besides.stages),
        ("question of the nameplate", _asked(walk), _asked(other)),
    ):
        yield from (f"{kind} {name}" for name in own if name not in there)


def _once(several: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(several))


def _renamed(old: WalkTree, new: WalkTree) -> Iterator[tuple[str, str]]:
    """Yield the steps that have only another name now: same title, same kind, and only one each.

    What stands inside such a step goes with it.
    """
    gone = _by_looks(old, new)
    come = _by_looks(new, old)
    for looks, names in gone.items():
        if len(names) == len(come.get(looks, ())) == 1:
            was, now = names[0], come[looks][0]
            yield was, now
            for inner in old.steps:
                if inner.startswith(f"{was}/") and now + inner.removeprefix(was) in new.steps:
                    yield inner, now + inner.removeprefix(was)


def _by_looks(walk: WalkTree, other: WalkTree) -> dict[tuple[str, str], list[str]]:
    """Return the steps of a tree itself that the other has not, by title and kind."""
    found: dict[tuple[str, str], list[str]] = {}
    for name, step in walk.steps.items():
        if name not in other.steps and name in walk.tree.steps:
            found.setdefault((step.title, type(step.head).__name__), []).append(name)
    return found

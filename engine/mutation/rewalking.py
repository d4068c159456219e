"""The walks of a tree's cases, and of them what is walked again when the tree is changed.

A step that nobody looks at cannot matter. So it is kept of every line of every walk which steps
were looked at to say what comes of it; with a changed tree only lines that looked at a changed
step are typed again. Where one comes to the same state as before, the walk goes on as before.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import datetime
from typing import NamedTuple

from engine.cases import Case
from engine.guide.casework import NOON, walk_case
from engine.guide.headless import Alike, Came, Walked
from engine.guide.prompt import Prompt
from engine.guide.talk import View
from engine.tree import Step, WalkTree

Names = frozenset[str]


class _Watched(Mapping[str, Step]):
    """The steps of a tree, and which of them somebody looked at."""

    def __init__(self, steps: Mapping[str, Step]) -> None:
        self._steps = steps
        self._looked_at: set[str] = set()

    def __getitem__(self, name: str) -> Step:
        self._looked_at.add(name)
        return self._steps[name]

    def __iter__(self) -> Iterator[str]:
        self._looked_at.update(self._steps)
        return iter(self._steps)

    def __len__(self) -> int:
        return len(self._steps)

    def looked_at(self) -> Names:
        """Return the steps looked at since this was asked last."""
        names = frozenset(self._looked_at)
        self._looked_at.clear()
        return names


class Line(NamedTuple):
    """One line of a walk: where it was typed, and what came of it."""

    view: View
    shown: Prompt
    text: str
    now: datetime
    came: Came


class Lines(NamedTuple):
    """The lines of a walk."""

    lines: tuple[Line, ...]
    looked_at: Names
    """The steps looked at on the walk."""


class AsItIs(Alike):
    """Walks of a tree as it is."""

    def __init__(self, walk: WalkTree) -> None:
        self._steps = _Watched(walk.steps)
        super().__init__(replace(walk, steps=self._steps))
        self._looked_at: dict[int, Names] = {}
        """By the identity of what came of a line, the steps looked at for that."""
        self._lines: list[Line] = []

    def walked(self, case: Case) -> tuple[Walked, Lines]:
        """Return what a case comes to, and every line of its walk."""
        self._lines = []
        walked = walk_case(self.walk, case, self)
        came = (self.first(), *(line.came for line in self._lines))
        looked_at = frozenset[str]().union(*map(self.looked_at, came))
        return walked, Lines(tuple(self._lines), looked_at)

    def first(self) -> Came:
        """Return what is asked first in every case."""
        return self.begun("", "", NOON)

    def begun(self, by: str, meter: str, now: datetime) -> Came:
        """Return what is asked first."""
        self._steps.looked_at()
        began = super().begun(by, meter, now)
        self._looked_at.setdefault(id(began), self._steps.looked_at())
        return began

    def came(self, view: View, shown: Prompt, text: str, now: datetime) -> Came:
        """Return what comes of a line, and keep it as one of the walk."""
        self._steps.looked_at()
        came = super().came(view, shown, text, now)
        self._looked_at.setdefault(id(came), self._steps.looked_at())
        self._lines.append(Line(view, shown, text, now, came))
        return came

    def known(self, view: View, text: str) -> Came | None:
        """Return what came of a line; None where no walk came there, or none typed it."""
        return self.seen.get((id(view), text))

    def looked_at(self, came: Came) -> Names:
        """Return the steps that were looked at to say what comes of a line."""
        return self._looked_at[id(came)]


class Changed(Alike):
    """Walks of a tree that is changed in a few steps, as far as the change matters to them."""

    def __init__(self, walk: WalkTree, before: AsItIs, names: Names) -> None:
        super().__init__(walk)
        self._before = before
        self._names = names
        self._shown_anew: set[int] = set()
        """The views, by identity, in which something else is asked than before."""

    def is_as_before(self, walk: Lines) -> bool:
        """Return whether a walk of the tree as it is goes its way unchanged."""
        if self._names.isdisjoint(walk.looked_at):
            return True
        if self.begun("", "", NOON).after is not self._before.first().after:
            return False
        for line in walk.lines:
            if self._is_known(line.view, line.came):
                continue
            if id(line.view) in self._shown_anew:
                return False
            came = self.came(line.view, line.shown, line.text, line.now)
            if came.after is not line.came.after:
                return False
        return True

    def begun(self, by: str, meter: str, now: datetime) -> Came:
        """Return what is asked first."""
        before = self._before.begun(by, meter, now)
        if self._names.isdisjoint(self._before.looked_at(before)):
            return before
        return self._or_as_before(super().begun(by, meter, now), before)

    def _looked(self, view: View, shown: Prompt, text: str, now: datetime) -> Came:
        before = self._before.known(view, text)
        if before and self._is_known(view, before):
            return before
        own = view if view.walk is self.walk else replace(view, walk=self.walk)
        return self._or_as_before(super()._looked(own, shown, text, now), before)

    def _is_known(self, view: View, came: Came) -> bool:
        """Return whether what came of a line before is what comes of it now."""
        unseen = self._names.isdisjoint(self._before.looked_at(came))
        return unseen and id(view) not in self._shown_anew

    def _or_as_before(self, came: Came, before: Came | None) -> Came:
        """Return what came of a line; the walk goes on as before where the state is the same."""
        after, as_before = came.after, before.after if before else None
        if not isinstance(after, View) or not isinstance(as_before, View):
            return came
        if after.state != as_before.state:
            return came
        assert before is not None
        if came.asked != before.asked:
            self._shown_anew.add(id(as_before))
        return Came(before.before, as_before, came.asked)

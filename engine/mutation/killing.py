"""What kills a mutant: a case that comes out otherwise, or a property that no longer holds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from engine.cases import Case, Cases
from engine.guide.casework import differs, walk_case
from engine.guide.headless import Alike, Walked
from engine.mutation.mutant import Mutant
from engine.mutation.rewalking import AsItIs, Changed, Lines
from engine.problems import Problem
from engine.tree import WalkTree
from engine.verify.domain import Learned
from engine.verify.proof import Verdict
from engine.verify.proving import properties


@dataclass(frozen=True, slots=True)
class Killed:
    """What killed a mutant."""

    by: str
    """The name of a case, or of a property."""
    sentence: str


class _Walk(NamedTuple):
    """The walk of a case through the tree as it is."""

    case: Case
    steps: frozenset[str]
    """Those that it comes by, with the uses that these stand in."""
    lines: Lines


class Cased:
    """The cases of a tree, and how each walks it."""

    def __init__(self, walk: WalkTree, cases: Cases | None) -> None:
        self._walk = walk
        self._as_it_is = AsItIs(walk)
        self._walks: list[_Walk] = []
        self.stray: list[str] = []
        """Cases that are wrong of the tree itself; they kill nothing."""
        for case in cases.cases.values() if cases else ():
            walked, lines = self._as_it_is.walked(case)
            if next(differs(walked, case), None):
                self.stray.append(case.name)
            else:
                self._walks.append(_Walk(case, self._steps(walked), lines))
        self._walks.sort(key=lambda one: len(one.steps))

    def _steps(self, walked: Walked) -> frozenset[str]:
        """Return every step that a walk comes by, with the uses that these stand in."""
        steps: set[str] = set()
        for passed in walked.view.state.passed:
            name = passed.step
            while name and name not in steps:
                steps.add(name)
                name = self._walk.inside.get(name, "")
        return frozenset(steps)

    def kills(self, mutant: Mutant) -> Killed | None:
        """Return the first case that comes out otherwise, those with the fewest steps first.

        None where every one is as before.
        """
        walk = mutant.walk(self._walk)
        changed = self._changed(mutant, walk)
        for one in self._walks:
            if isinstance(changed, Changed) and changed.is_as_before(one.lines):
                continue
            wrong = next(differs(walk_case(walk, one.case, changed), one.case), None)
            if wrong:
                return Killed(one.case.name, wrong.sentence)
        return None

    def _changed(self, mutant: Mutant, walk: WalkTree) -> Alike:
        """Return what is to be walked of a mutant: with another layout all of it."""
        if mutant.layout:
            return Alike(walk)
        return Changed(walk, self._as_it_is, changed_names(self._walk, walk))


def changed_names(before: WalkTree, after: WalkTree) -> frozenset[str]:
    """Return the steps of a tree that are others in a mutant of it, or are not there."""
    steps = before.steps.items()
    return frozenset(name for name, step in steps if after.steps.get(name) is not step)


class Proved:
    """What is proved of a tree."""

    def __init__(self, walk: WalkTree, found: Sequence[Problem]) -> None:
        self._walk = walk
        self._found = found
        self._learned = Learned()
        self.names = frozenset(
            result.name
            for result in properties(walk, found, self._learned)
            if result.verdict is Verdict.PROVED
        )
        """The properties that hold; only these can notice anything."""

    def kills(self, mutant: Mutant) -> Killed | None:
        """Return the first property that no longer holds; None where all of them do."""
        for result in properties(mutant.walk(self._walk), self._found, self._learned):
            if result.name in self.names and result.verdict is not Verdict.PROVED:
                why = result.problems[0].sentence if result.problems else result.open
                return Killed(result.name, why)
        return None

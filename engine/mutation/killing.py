"""What kills a mutant: a case that comes out otherwise, or a property that no longer holds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from engine.cases import Case, Cases
from engine.guide.casework import differs, walk_case
from engine.guide.headless import Alike, Walked
from engine.mutation.mutant import Mutant
from engine.problems import Problem
from engine.tree import WalkTree
from engine.verify.proof import Verdict
from engine.verify.proving import properties


@dataclass(frozen=True, slots=True)
class Killed:
    """What killed a mutant."""

    by: str
    """The name of a case, or of a property."""
    sentence: str


class Cased:
    """The cases of a tree, and by which steps each comes."""

    def __init__(self, walk: WalkTree, cases: Cases | None) -> None:
        self._walk = walk
        self._comes_by: list[tuple[Case, frozenset[str]]] = []
        self.stray: list[str] = []
        """Cases that are wrong of the tree itself; they kill nothing."""
        alike: Alike = {}
        for case in cases.cases.values() if cases else ():
            walked = walk_case(walk, case, alike)
            if next(differs(walked, case), None):
                self.stray.append(case.name)
            else:
                self._comes_by.append((case, self._steps(walked)))
        self._comes_by.sort(key=lambda one: len(one[1]))

    def _steps(self, walked: Walked) -> frozenset[str]:
        """Return every step that a walk comes by, with the uses that these stand in."""
        steps: set[str] = set()
        for passed in walked.view.state.passed:
            name = passed.step
            while name and name not in steps:
                steps.add(name)
                name = self._walk.inside.get(name, "")
        return frozenset(steps)

    def by(self, mutant: Mutant) -> Iterator[Case]:
        """Yield the cases that come by a mutant, those with the fewest steps first."""
        for case, steps in self._comes_by:
            if not steps.isdisjoint(mutant.steps):
                yield case

    def kills(self, mutant: Mutant) -> Killed | None:
        """Return the first case that comes out otherwise; None where every one is as before."""
        walk = mutant.walk(self._walk)
        alike: Alike = {}
        for case in self.by(mutant):
            wrong = next(differs(walk_case(walk, case, alike), case), None)
            if wrong:
                return Killed(case.name, wrong.sentence)
        return None


class Proved:
    """What is proved of a tree."""

    def __init__(self, walk: WalkTree, found: Sequence[Problem]) -> None:
        self._walk = walk
        self._found = found
        self.names = frozenset(
            result.name for result in properties(walk, found) if result.verdict is Verdict.PROVED
        )
        """The properties that hold; only these can notice anything."""

    def kills(self, mutant: Mutant) -> Killed | None:
        """Return the first property that no longer holds; None where all of them do."""
        for result in properties(mutant.walk(self._walk), self._found):
            if result.name in self.names and result.verdict is not Verdict.PROVED:
                why = result.problems[0].sentence if result.problems else result.open
                return Killed(result.name, why)
        return None

"""Mutants tried one after the other, and what came of each.

An unsafe mutant is held against the proof and, where that says nothing, against the cases; any
other against the cases first. One that nothing kills may be the same as the tree; that is worked
out then, and only then: what was killed is different.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from random import Random

from engine.cases import Cases, is_named
from engine.mutation.equivalence import Equivalence
from engine.mutation.functional import functional
from engine.mutation.killing import Cased, Killed, Proved
from engine.mutation.mutant import Mutant
from engine.mutation.unsafe import unsafe
from engine.mutation.written import every_written
from engine.problems import Problem
from engine.tree import WalkTree

SAMPLE = 60
"""Mutants tried where nobody asks for all."""


class Fate(StrEnum):
    """What came of a mutant."""

    PROOF = "killed by the proof"
    CASES = "killed by the cases"
    SAME = "the same as the tree"
    BEYOND = "beyond the rules"
    """It leaves out what no rule asks for; the cases file says why it is done all the same."""
    SURVIVED = "survived"


@dataclass(frozen=True, slots=True)
class Tried:
    """One mutant, and what came of it."""

    mutant: Mutant
    fate: Fate
    by: str = ""
    """The property or the case that killed it."""
    why: str = ""
    """What that says, or why it is done beyond the rules."""

    @property
    def is_missed(self) -> bool:
        """Whether the one whose business it is did not notice: the proof, or the cases."""
        other = Fate.CASES if self.mutant.operator.safety else Fate.PROOF
        return self.fate in (Fate.SURVIVED, other)


class Trial:
    """Everything that the mutants of one tree are held against."""

    def __init__(self, walk: WalkTree, cases: Cases | None, found: Sequence[Problem] = ()) -> None:
        self._walk = walk
        self._cased = Cased(walk, cases)
        self._proved = Proved(walk, found)
        self._equivalence = Equivalence(walk)
        self._beyond: Mapping[str, str] = cases.beyond if cases else {}
        self.stray = tuple(self._cased.stray)
        """Cases that are wrong of the tree itself, and can notice nothing."""

    def tried(self, mutants: Sequence[Mutant]) -> Iterator[Tried]:
        """Yield what comes of each mutant, in turn."""
        for mutant in mutants:
            yield self._unsafe(mutant) if mutant.operator.safety else self._functional(mutant)

    def _unsafe(self, mutant: Mutant) -> Tried:
        if killed := self._proved.kills(mutant):
            return _killed(mutant, Fate.PROOF, killed)
        survived = self._survived(mutant)
        if survived.fate is Fate.SAME:
            return survived
        if why := self._why_beyond(mutant):
            return Tried(mutant, Fate.BEYOND, why=why)
        killed = self._cased.kills(mutant)
        return _killed(mutant, Fate.CASES, killed) if killed else survived

    def _functional(self, mutant: Mutant) -> Tried:
        if killed := self._cased.kills(mutant):
            return _killed(mutant, Fate.CASES, killed)
        survived = self._survived(mutant)
        if survived.fate is Fate.SURVIVED and (killed := self._proved.kills(mutant)):
            return _killed(mutant, Fate.PROOF, killed)
        return survived

    def _survived(self, mutant: Mutant) -> Tried:
        return Tried(mutant, Fate.SAME if self._equivalence.holds(mutant) else Fate.SURVIVED)

    def _why_beyond(self, mutant: Mutant) -> str:
        """Return why a step is done that no rule asks for; empty where nobody says."""
        said = (
            why
            for name, why in self._beyond.items()
            if any(is_named(step, name) for step in mutant.steps)
        )
        return next(said, "")


def _killed(mutant: Mutant, fate: Fate, killed: Killed) -> Tried:
    return Tried(mutant, fate, killed.by, killed.sentence)


def every_mutant(walk: WalkTree) -> tuple[Mutant, ...]:
    """Return every mutant of a tree, the unsafe ones first."""
    every = tuple(every_written(walk))
    return (*unsafe(walk, every), *functional(walk, every))


def sampled(mutants: Sequence[Mutant], seed: int, size: int = SAMPLE) -> tuple[Mutant, ...]:
    """Return so many mutants drawn by a seed, in the order given: a third of them unsafe ones.

    Of each kind every operator is drawn from in turn.
    """
    drawn: list[Mutant] = []
    for safety, share in ((True, size // 3), (False, size - size // 3)):
        kind = [one for one in mutants if one.operator.safety is safety]
        drawn += _in_turn(kind, Random(seed), share)
    return tuple(drawn)


def _in_turn(mutants: Sequence[Mutant], random: Random, size: int) -> Iterator[Mutant]:
    by_operator: dict[str, list[int]] = {}
    for at in random.sample(range(len(mutants)), len(mutants)):
        by_operator.setdefault(mutants[at].operator.words, []).append(at)
    drawn: list[int] = []
    while len(drawn) < min(size, len(mutants)):
        for waiting in by_operator.values():
            drawn += [waiting.pop()] if waiting and len(drawn) < size else []
    return (mutants[at] for at in sorted(drawn))

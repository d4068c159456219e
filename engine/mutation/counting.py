"""How many mutants were killed, by what, and whether that is enough."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from engine.mutation.mutant import Operator
from engine.mutation.trying import Fate, Tried

BY_CASES = Fraction(95, 100)
"""Share of the mutants that change what is found, and that the cases must kill."""
THE_SAME = Fraction(20, 100)
"""Share of mutants that may be the same as the tree: more, and the operators are no good."""


@dataclass(frozen=True, slots=True)
class Row:
    """What came of the mutants of one operator."""

    operator: Operator
    fates: Counter[Fate]

    @property
    def tried(self) -> int:
        """How many were tried."""
        return self.fates.total()


@dataclass(frozen=True, slots=True)
class Score:
    """What came of all mutants that were tried."""

    tried: tuple[Tried, ...]

    def rows(self) -> list[Row]:
        """Return a row for each operator, in the order of trying."""
        by_operator: dict[Operator, Counter[Fate]] = {}
        for one in self.tried:
            by_operator.setdefault(one.mutant.operator, Counter())[one.fate] += 1
        return [Row(operator, fates) for operator, fates in by_operator.items()]

    def count(self, *fates: Fate, safety: bool) -> int:
        """Return how many mutants of a kind met one of these fates."""
        return sum(one.fate in fates for one in self.tried if one.mutant.operator.safety is safety)

    @property
    def unproved(self) -> int:
        """Unsafe mutants that the proof did not notice, but for what goes beyond the rules."""
        return self.count(Fate.CASES, Fate.SURVIVED, safety=True)

    @property
    def by_cases(self) -> Fraction:
        """Share of the others that the cases noticed; all, where there are none."""
        killed = self.count(Fate.CASES, safety=False)
        missed = self.count(Fate.PROOF, Fate.SURVIVED, safety=False)
        return Fraction(killed, killed + missed) if killed + missed else Fraction(1)

    @property
    def the_same(self) -> Fraction:
        """Share of all that are the same as the tree."""
        same = self.count(Fate.SAME, safety=True) + self.count(Fate.SAME, safety=False)
        return Fraction(same, len(self.tried)) if self.tried else Fraction(0)

    @property
    def is_enough(self) -> bool:
        """Whether every goal is met."""
        return not self.unproved and self.by_cases >= BY_CASES and self.the_same <= THE_SAME

    def survivors(self) -> Sequence[Tried]:
        """Return what nobody noticed that should have."""
        return [one for one in self.tried if one.is_missed]

"""What one saved state of a tree's file comes to, and how to see that it was saved again.

Loading comes first and is quick, then the proofs, then the cases, of which a tree has many: a door
shows what there is and goes on. A file that cannot be read keeps its problems and has no tree.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from engine.cases import Cases
from engine.guide.casework import judged_cases
from engine.loader.library import cases_of, load
from engine.loader.shelves import CASES, ENDING
from engine.problems import Problem, Severity
from engine.tree import WalkTree
from engine.verify.proof import Proof
from engine.verify.proving import prove

Signature = tuple[tuple[int, int, int] | None, ...]
"""When, how long and which: of the tree's file and of the cases beside it."""


@dataclass(frozen=True)
class Study:
    """A tree as it was saved."""

    path: Path
    problems: tuple[Problem, ...]
    walk: WalkTree | None = None
    """None where a problem stops it."""
    proof: Proof | None = None
    """None until the tree has been proved."""
    cases: Cases | None = None
    reached: Mapping[str, tuple[str, ...]] | None = None
    """Finding → the cases that come to it; None until the cases have been walked."""
    answered: Mapping[str, str] = field(default_factory=dict)
    """Step → the first case that answers it."""

    @property
    def stops(self) -> int:
        """How many problems stop the tree."""
        return sum(one.severity is Severity.STOPS for one in self.problems)

    @property
    def to_mend(self) -> tuple[Problem, ...]:
        """Return the problems that are more than notes."""
        return tuple(one for one in self.problems if one.severity is not Severity.NOTE)


def signature(path: Path) -> Signature:
    """Return what changes whenever a file, or its cases, are saved; an editor may exchange them."""
    beside = path.with_name(path.name.removesuffix(ENDING) + CASES)
    return (_signed(path), _signed(beside))


def _signed(path: Path) -> tuple[int, int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size, found.st_ino


def studied(path: Path, home: Path | None) -> Study:
    """Return a file as it is now, loaded; it is not proved and its cases are not walked yet."""
    loaded = load(str(path), home)
    if loaded.walk is None:
        return Study(path, loaded.problems)
    cases, wrong = cases_of(str(path), home, loaded.walk)
    return Study(path, tuple(sorted({*loaded.problems, *wrong})), loaded.walk, cases=cases)


def with_proof(study: Study) -> Study:
    """Return the same with what is proved of it."""
    if study.walk is None:
        return study
    proof = prove(study.walk, study.problems)
    return replace(study, problems=tuple(sorted({*study.problems, *proof.problems})), proof=proof)


def with_cases(study: Study) -> Study:
    """Return the same with its cases walked."""
    if study.walk is None:
        return study
    judged = judged_cases(study.walk, study.cases)
    problems = tuple(sorted({*study.problems, *judged.problems}))
    return replace(study, problems=problems, reached=judged.by_finding, answered=judged.by_step)

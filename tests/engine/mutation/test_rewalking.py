"""What is walked again comes to what the changed tree comes to when it is walked from the start."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pytest

from engine.cases import Case
from engine.guide.casework import walk_case
from engine.guide.headless import Walked
from engine.loader.library import cases_of
from engine.mutation.killing import changed_names
from engine.mutation.mutant import Mutant
from engine.mutation.rewalking import AsItIs, Changed
from engine.mutation.trying import every_mutant
from engine.tree import WalkTree
from engine.verify.domain import Learned
from engine.verify.proof import Verdict
from engine.verify.proving import properties
from tests.engine.mutation.slips import cases, mutants, small
from tests.technician import shipped


def told(walked: Walked) -> tuple[object, ...]:
    """Return all that a case can be held to."""
    return walked.view.state, walked.missing, walked.refused, walked.unused


def compared(walk: WalkTree, several: Mapping[str, Case], slips: Sequence[Mutant]) -> list[bool]:
    """Return for each slip and each case whether the walk is as before, having compared it."""
    before = AsItIs(walk)
    walks = {name: before.walked(case) for name, case in several.items()}
    as_before: list[bool] = []
    for slip in slips:
        mutant = slip.walk(walk)
        changed = Changed(mutant, before, changed_names(walk, mutant))
        for name, case in several.items():
            anew = told(walk_case(mutant, case))
            assert told(walk_case(mutant, case, changed)) == anew, (slip.change, name)
            as_before.append(changed.is_as_before(walks[name][1]))
            if as_before[-1]:
                assert told(walks[name][0]) == anew, (slip.change, name)
    return as_before


def test_each_case_comes_to_the_same_of_each_slip_of_the_small_tree() -> None:
    slips = [one for one in mutants() if not one.layout]
    as_before = compared(small(), cases().cases, slips)
    assert 100 < sum(as_before) < len(as_before) - 100


@pytest.mark.parametrize(("tree", "every"), [("blank-thermostat", 16), ("unit-trips-breaker", 60)])
def test_some_cases_come_to_the_same_of_some_slips_of_the_shipped_trees(
    tree: str, every: int
) -> None:
    walk = shipped(tree)
    read, _ = cases_of(tree, walk=walk)
    assert read is not None
    some = dict(list(read.cases.items())[7::70])
    slips = [one for one in every_mutant(walk) if not one.layout]
    as_before = compared(walk, some, slips[5::every])
    assert set(as_before) == {True, False}, "every walk is the same, or none is: nothing is tried"


def test_what_is_learned_of_one_slip_proves_nothing_of_another() -> None:
    learned = Learned()
    for slip in mutants()[::6]:
        mutant = slip.walk(small())
        shared = {one.name: one.verdict for one in properties(mutant, (), learned)}
        alone = {one.name: one.verdict for one in properties(mutant)}
        assert shared == alone, slip.change
        assert set(alone.values()) <= {Verdict.PROVED, Verdict.REFUTED}

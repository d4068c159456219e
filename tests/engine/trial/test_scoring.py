"""Rows that were walked by hand, and what a trial must say of them.

The totals are worked out on paper from the formulas of IEEE 1522 (from memory): three faults of
weights 8, 12 and 15 in a hundred.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.loader.kinds import judgements_of
from engine.tree import WalkTree
from engine.trial.parting import Parting
from engine.trial.result import MOST_WRONG, Alone, By, OfFault, Result, Trial
from engine.trial.scoring import score
from engine.trial.walked import Closeness, Passing, Walked
from engine.unit.unit import Unit
from tests.engine.trial.trees import HIGH_LEG, tree, unit

BROKEN, SHORTED, DRAIN = "cable R broken", "cable R to C shorted", "drain blocked"
FINDS = {BROKEN: "cable-broken", SHORTED: "cable-shorted", DRAIN: "drain-blocked"}


@pytest.fixture(scope="module")
def walk() -> WalkTree:
    return tree("blank-thermostat")


@pytest.fixture(scope="module")
def high_leg() -> Unit:
    return unit(HIGH_LEG)


def findings_of(walk: WalkTree, suspect: str) -> str:
    return next(
        name for name, one in walk.tree.findings.items() if one.suspect == suspect and not one.kind
    )


def leading(walk: WalkTree, finding: str) -> Passing:
    """Return a passing of a step whose answer makes a finding."""
    for step in walk.steps.values():
        for judgement in judgements_of(step):
            for key, outcome in judgement.answers.items():
                if outcome.finds == finding:
                    return Passing(step.name, key, outcome.verdict)
    raise LookupError(finding)


def row(walk: WalkTree, fault: str, *found: str, variation: int = 0) -> Walked:
    """Return a row that made these findings, five minutes each."""
    findings = tuple(findings_of(walk, one) for one in found)
    return Walked(
        faults=(fault,),
        variation=variation,
        path=tuple(leading(walk, one) for one in findings),
        findings=findings,
        noted=(),
        mended=findings,
        end="in service" if found else "made safe",
        checks=len(found),
        minutes=5.0 * len(found),
    )


def of(trial: Trial, fault: str) -> OfFault:
    return next(one for one in trial.faults if one.fault == fault)


def test_the_totals_are_those_of_the_formulas(walk: WalkTree, high_leg: Unit) -> None:
    rows = [
        row(walk, BROKEN, FINDS[BROKEN]),
        row(walk, SHORTED, FINDS[BROKEN], FINDS[SHORTED]),
        row(walk, DRAIN),
    ]
    trial = score(walk, high_leg, rows, samples=0, seed=1)
    results = [one.result for one in trial.faults]
    assert results == [Result.ISOLATED, Result.GROUP, Result.NEVER_DETECTED]
    one, other, third = (walk.tree.suspects[FINDS[name]].weight for name in FINDS)
    totals = trial.totals
    assert totals.detected == pytest.approx((one + other) / (one + other + third))
    assert totals.isolated == pytest.approx(one / (one + other))
    assert totals.correct == 1
    assert totals.mean_group == pytest.approx((one + 2 * other) / (one + other))
    assert totals.false_removals == pytest.approx(other / (one + other))
    assert totals.minutes == pytest.approx((5 * one + 10 * other) / (one + other + third))
    assert trial.missed == ("Never detected: drain blocked.",)


def test_what_was_found_as_something_else_is_wrong_and_its_last_step_is_to_blame(
    walk: WalkTree, high_leg: Unit
) -> None:
    trial = score(walk, high_leg, [row(walk, DRAIN, FINDS[SHORTED])], samples=0, seed=1)
    (fault,) = trial.faults
    assert fault.result is Result.WRONG
    assert fault.blame == leading(walk, findings_of(walk, FINDS[SHORTED])).step
    assert fault.why == "cable-shorted was found, and it was drain-blocked."
    assert trial.totals.correct == 0
    assert trial.missed == ("Found as something else: drain blocked.",)


def test_a_varied_row_that_leaves_the_way_blames_the_step_where_it_did(
    walk: WalkTree, high_leg: Unit
) -> None:
    nominal = row(walk, BROKEN, FINDS[BROKEN])
    strayed = row(walk, BROKEN, FINDS[SHORTED], variation=7)
    right = [row(walk, BROKEN, FINDS[BROKEN], variation=at) for at in range(1, 5)]
    trial = score(walk, high_leg, [nominal, strayed, *right], samples=5, seed=1)
    fault = of(trial, BROKEN)
    assert (fault.result, fault.rows, fault.wrong) == (Result.ISOLATED, 5, 1)
    assert fault.blame == strayed.path[0].step
    assert trial.totals.wrong == pytest.approx(0.2)
    assert trial.missed == (f"Wrong under tolerance in 20 %; at most {100 * MOST_WRONG:g} %.",)


def test_one_unsafe_row_makes_a_fault_unsafe(walk: WalkTree, high_leg: Unit) -> None:
    nominal = row(walk, BROKEN, FINDS[BROKEN])
    unsafe = replace(row(walk, BROKEN, FINDS[BROKEN], variation=3), unsafe="R4 not proven dead")
    trial = score(walk, high_leg, [nominal, unsafe], samples=1, seed=1)
    assert of(trial, BROKEN).result is Result.UNSAFE
    assert of(trial, BROKEN).why == "R4 not proven dead"
    assert trial.missed == (f"A rule of safe work was broken: {BROKEN}.",)


def test_what_only_signs_tell_apart_is_stated(walk: WalkTree, high_leg: Unit) -> None:
    rows = [row(walk, SHORTED, FINDS[SHORTED]), row(walk, BROKEN)]
    alone = Alone(SHORTED, BROKEN, "string")
    parted = Parting({SHORTED: (BROKEN,)}, (alone,))
    trial = score(walk, high_leg, rows, samples=0, seed=1, parted=parted)
    assert (of(trial, SHORTED).by, of(trial, SHORTED).seen) == (By.STATED, (BROKEN,))
    assert of(trial, BROKEN).by is None
    said = f"{SHORTED} is told from {BROKEN} by a sign alone, and string would tell."
    assert trial.missed[-1] == said
    other = score(walk, high_leg, rows, samples=0, seed=1)
    assert of(other, SHORTED).by is By.SOLVED
    assert said not in other.missed


def test_pairs_count_where_one_of_the_two_was_found(walk: WalkTree, high_leg: Unit) -> None:
    both = replace(row(walk, BROKEN, FINDS[DRAIN]), faults=(BROKEN, DRAIN))
    neither = replace(row(walk, BROKEN, FINDS[SHORTED]), faults=(BROKEN, DRAIN))
    rows = [row(walk, BROKEN, FINDS[BROKEN]), both, neither]
    trial = score(walk, high_leg, rows, samples=0, seed=1)
    totals = trial.totals
    assert (totals.faults, totals.pairs, totals.pairs_found) == (1, 2, 0.5)
    assert trial.neither == ((BROKEN, DRAIN),)


def test_the_nearest_cut_is_told_once(walk: WalkTree, high_leg: Unit) -> None:
    near, far = Closeness("a", "below 3 V", 0.4), Closeness("a", "below 3 V", 4.0)
    other = Closeness("b", "up to 30 V", 2.0)
    rows = [
        replace(row(walk, BROKEN, FINDS[BROKEN]), closest=(far, other)),
        replace(row(walk, BROKEN, FINDS[BROKEN], variation=1), closest=(near,)),
    ]
    (fault,) = score(walk, high_leg, rows, samples=1, seed=1).faults
    assert fault.closest == (near, other)


def test_a_fault_needs_its_nominal_row(walk: WalkTree, high_leg: Unit) -> None:
    with pytest.raises(ValueError, match="nominal"):
        score(walk, high_leg, [row(walk, BROKEN, FINDS[BROKEN], variation=1)], samples=1, seed=1)

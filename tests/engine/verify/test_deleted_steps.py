"""No protecting step of a shipped tree can be left out unseen: all of one tree, some of the other.

The long tier leaves out every one of the other tree.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.loader.library import load
from engine.shipped import data
from engine.tree import ActHead, Step, UseHead, WalkTree
from engine.verify.graph import Graph
from engine.verify.safety import Safety, Unsafe
from tests.deleted_steps import NOT_MISSED, PROTECTS, assert_missed, protecting

SAMPLE = ("bleed",)
PROCEDURES = data("trees") / "procedures"


def shipped(name: str) -> WalkTree:
    walk = load(name).walk
    assert walk is not None
    return walk


BLANK, TRIPS = shipped("blank-thermostat"), shipped("unit-trips-breaker")


@pytest.mark.parametrize("step", protecting(BLANK).values(), ids=lambda step: step.name)
def test_a_protecting_step_left_out_is_missed(step: Step) -> None:
    assert_missed(BLANK, step)


@pytest.mark.parametrize("name", SAMPLE)
def test_a_protecting_step_of_the_larger_tree_is_missed(name: str) -> None:
    assert_missed(TRIPS, TRIPS.steps[name])


def test_the_steps_that_are_not_missed_are_steps() -> None:
    for walk in (BLANK, TRIPS):
        names = {step.name.rpartition("/")[2] for step in protecting(walk).values()}
        assert NOT_MISSED[walk.tree.name].keys() <= names


def test_the_work_that_protects_is_used_and_every_kind_of_it_is_left_out() -> None:
    used = {
        step.head.procedure
        for walk in (BLANK, TRIPS)
        for step in walk.steps.values()
        if isinstance(step.head, UseHead)
    }
    acts = {
        step.head.act
        for walk in (BLANK, TRIPS)
        for step in protecting(walk).values()
        if isinstance(step.head, ActHead)
    }
    assert {"prove-dead", "prove-dead-and-discharge", "ground-check", "lock-out"} <= used
    assert acts == set(PROTECTS)


SOURCE, LEG = "a source known to be live, first", "every leg to ground"


@pytest.mark.parametrize(
    ("gone", "judge", "rest", "said"),
    [
        ("before", "min(before, after)", "min(after)", SOURCE),
        ("ground", "max(pairs, ground)", "max(pairs)", LEG),
    ],
)
@pytest.mark.parametrize("step", ["volts-gone", "volts-gone-low-z"])
def test_a_reading_taken_out_of_the_proof_is_missed(
    step: str, gone: str, judge: str, rest: str, said: str, tmp_path: Path
) -> None:
    """The line of the reading deleted in the shared procedure, and its judgement mended."""
    written = (PROCEDURES / "prove-dead.yaml").read_text(encoding="utf-8")
    before, mark, after = written.partition(f"      {step}:\n")
    line = next(one for one in after.splitlines(keepends=True) if one.strip().startswith(gone))
    text = before + mark + after.replace(line, "", 1).replace(judge, rest, 1)
    (tmp_path / "procedures").mkdir()
    (tmp_path / "procedures" / "prove-dead.yaml").write_text(text, encoding="utf-8")
    tree = tmp_path / "blank-thermostat.yaml"
    tree.write_bytes((PROCEDURES.parent / "thermostat" / tree.name).read_bytes())
    walk = load(str(tree)).walk
    assert walk is not None
    broken = Safety(Graph(walk)).unsafe
    assert {one.rule for one in broken} == {"R2"}
    assert all(said in one.sentence and one.walk.legs for one in broken)
    assert {name.rpartition("/")[2] for name in _at(walk, broken)} == {step}


def _at(walk: WalkTree, broken: tuple[Unsafe, ...]) -> set[str]:
    graph = Graph(walk)
    return {graph.step(one.walk.place).name for one in broken}

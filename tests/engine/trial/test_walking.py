"""Walks in batches: no row hangs on the others, the safety model is asked first, ends are told."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.tree import ActHead, WalkTree
from engine.trial.bridge import unmapped
from engine.trial.walking import walk_all
from engine.unit.faults import Row
from engine.unit.showing import Does, Showing
from tests.engine.trial.trees import HIGH_LEG, WYE, tree, unit

BLANK, TRIPS = "blank-thermostat", "unit-trips-breaker"


@pytest.mark.parametrize("name", [HIGH_LEG, WYE])
def test_a_row_never_depends_on_the_rows_it_is_walked_with(name: str) -> None:
    of = unit(name)
    faults = [
        of.faults[one] for one in ("transformer primary open", "thermostat dead", "wrong tap")
    ]
    rows = [Row((fault,), at) for fault in faults for at in (0, 3, 9)]
    together = walk_all(tree(BLANK), of, rows, seed=5)
    for at in (1, 4, 8):
        (alone,) = walk_all(tree(BLANK), of, [rows[at]], seed=5)
        assert replace(alone, closest=()) == replace(together[at], closest=())
        assert len(alone.closest) == len(together[at].closest)


def test_another_seed_is_another_variation_and_the_nominal_row_is_always_the_same() -> None:
    of = unit(HIGH_LEG)
    rows = [Row((of.faults["wrong tap"],), at) for at in (0, 1)]
    one, other = (walk_all(tree(BLANK), of, rows, seed=seed) for seed in (1, 2))
    assert one[0] == other[0]
    assert one[1].path == other[1].path


def test_a_walk_is_put_back_in_service_after_its_repair_and_read_under_load() -> None:
    of = unit(HIGH_LEG)
    (walked,) = walk_all(tree(BLANK), of, [Row((of.faults["transformer primary open"],))])
    steps = [one.step for one in walked.path]
    order = ["primary", "repair transformer", "put-back/switch-on", "under-load", "runs-on"]
    assert [steps.index(one) for one in order] == sorted(steps.index(one) for one in order)
    assert (walked.findings, walked.mended, walked.end) == (
        ("transformer",),
        ("transformer",),
        "in service",
    )
    assert walked.checks < len([one for one in walked.path if not one.silent])


def test_what_is_not_the_cause_is_repaired_for_nothing() -> None:
    walk, of = tree(BLANK), unit(HIGH_LEG)
    # The thermostat is dead; an answer that points at its base is given for it, and mends nothing.
    fault = replace(of.faults["thermostat dead"], signs={"thermostat-loose": "thermostat"})
    (walked,) = walk_all(walk, of, [Row((fault,))])
    said = {one.step: one.verdict for one in walked.path}
    assert walked.mended == ("thermostat-loose",)
    assert said["display"] == "still blank"
    assert walked.end == "made safe"


def _without_stage(walk: WalkTree, name: str) -> WalkTree:
    """Return a tree in which a step says that it is done outside, nothing locked out."""
    step = replace(walk.steps[name], stage="")
    return replace(walk, steps={**walk.steps, name: step})


def test_a_reading_that_the_safety_model_refuses_is_unsafe_and_is_not_taken() -> None:
    walk, of = _without_stage(tree(BLANK), "fuse"), unit(HIGH_LEG)
    (walked,) = walk_all(walk, of, [Row((of.faults["control fuse blown"],))])
    assert walked.unsafe
    assert walked.unsafe[0] == "R"
    assert "fuse" not in [one.step for one in walked.path if not one.silent]
    assert (walked.findings, walked.end) == ((), "")


def test_what_a_unit_has_not_is_told_before_anything_is_walked() -> None:
    walk, of = tree(TRIPS), unit(HIGH_LEG)
    assert unmapped(walk, of) == ()
    step = walk.steps["outdoors"]
    assert isinstance(step.head, ActHead)
    answers = dict(step.head.judgements[0].answers)
    key = next(iter(answers))
    answers[key] = replace(answers[key], shown_by=(Showing("second_fan", Does.STANDS),))
    judgement = replace(step.head.judgements[0], answers=answers)
    changed = replace(step, head=replace(step.head, judgements=(judgement,)))
    (sentence,) = unmapped(replace(walk, steps={**walk.steps, "outdoors": changed}), of)
    assert sentence == f"{step.title}, {key}: {of.name} has no second_fan."


def test_a_peak_is_that_of_the_run_before_the_breaker_opened() -> None:
    of = unit(HIGH_LEG)
    (walked,) = walk_all(tree(TRIPS), of, [Row((of.faults["rotor locked and protector welded"],))])
    said = {one.step: one.verdict for one in walked.path}
    assert said["start"] == "hums, then it trips"
    assert said["peak"] == "locked"
    assert walked.finding == "compressor-locked"


def test_minutes_end_on_a_finding_that_a_used_procedure_makes_and_not_on_its_repair() -> None:
    walk, of = tree("unit-trips-breaker"), unit(WYE)
    (row,) = walk_all(walk, of, [Row((of.faults["hot lug leg 1"],))])
    asked = [one.step for one in row.path if not one.silent]
    assert row.mended == ("loose-lug",)
    assert asked[: row.checks][-1].startswith("lugs/")
    assert asked[row.checks] == "repair loose-lug"
    assert row.minutes == sum(walk.steps[name].minutes for name in asked[: row.checks])

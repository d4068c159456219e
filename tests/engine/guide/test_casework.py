"""Cases beside a tree: walked by *check*, each way of being wrong found."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from engine.codes import CASES
from engine.guide.casework import differs, problems_of, walk_case
from engine.loader.heads import heads
from engine.loader.library import cases_of, load
from engine.problems import Problem
from tests.technician import shipped

HUMS = (Path(__file__).parents[1] / "session" / "hums.yaml").read_text(encoding="utf-8")
GOOD = """format: 1
cases for: fan-hums
as usual:
  story: nobody touched it
  size-up: fit
  quiet: warm at most
  before-the-lock: one feed, nobody else
  switch-off: 'off'
  try-it: stays still
  volts-gone: {before: 120 V, pairs: 0 V, ground: 0 V, after: 120 V}
  dc-gone-no-capacitor: {lines: 0 V}
  switch-on: holds
  call: called
  runs: starts and stays
cases:
  weak:
    nameplate: {phases: '1', fitted: none, rated_capacitance: 45 uF, tolerance: 6 %}
    answers: {capacitor: 39 uF}
    expect: {findings: [capacitor-weak], end: in service, path: [lock, capacitor, runs]}
  open winding:
    like: weak
    answers: {capacitor: 45 uF, windings: OL}
    expect: {findings: [winding-open], end: made safe}
"""


@pytest.fixture
def found(tmp_path: Path) -> Callable[[str], list[Problem]]:
    """Return what is found wrong with the small tree and a text of its cases."""
    tree = tmp_path / "fan-hums.yaml"
    tree.write_text(HUMS, encoding="utf-8", newline="\n")

    def problems(cases: str) -> list[Problem]:
        (tmp_path / "fan-hums.cases.yaml").write_text(cases, encoding="utf-8", newline="\n")
        loaded = load(str(tree))
        assert loaded.walk is not None
        read, wrong = cases_of(str(tree))
        assert not wrong, [str(one) for one in wrong]
        return list(problems_of(loaded.walk, read))

    return problems


def test_good_cases_have_no_problem(found: Callable[[str], list[Problem]]) -> None:
    assert [str(one) for one in found(GOOD)] == []


WRONG = {
    "no answer": ("answers: {capacitor: 39 uF}", "answers: {}", "case-stops", "no answer for"),
    "not taken": ("capacitor: 39 uF", "capacitor: 39 V", "case-stops", "capacitance is asked"),
    "other finding": (
        "findings: [capacitor-weak]", "findings: [winding-open]", "case-differs",
        "comes to findings capacitor-weak, not winding-open",
    ),
    "other end": ("end: in service", "end: made safe", "case-differs", "in service, not made safe"),
    "other way": ("path: [lock, capacitor", "path: [capacitor, lock", "case-differs", "by lock"),
    "other verdict": (
        "path: [lock, capacitor", "verdicts: {capacitor: good}, path: [lock, capacitor",
        "case-differs", "comes to weak at capacitor, not good",
    ),
    "never come by": (
        "path: [lock, capacitor", "verdicts: {windings: open}, path: [lock, capacitor",
        "case-differs", "comes to nothing at windings",
    ),
    "none expected": (
        "expect: {findings: [winding-open], end: made safe}", "expect: {end: made safe}",
        "case-differs", "expects no finding",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", WRONG)
def test_a_case_that_is_wrong_is_a_problem_at_its_place(
    name: str, found: Callable[[str], list[Problem]]
) -> None:
    old, new, code, says = WRONG[name]
    assert old in GOOD
    problem, *_ = [one for one in found(GOOD.replace(old, new, 1)) if one.code != "no-case"]
    assert problem.code == code
    assert says in problem.sentence
    line = GOOD.replace(old, new, 1).splitlines()[problem.span.line - 1]
    assert line.strip() in ("weak:", "open winding:")


def test_a_finding_without_a_case_is_a_problem_at_the_finding(
    found: Callable[[str], list[Problem]],
) -> None:
    (problem,) = found(GOOD[: GOOD.index("  open winding:")])
    assert (problem.code, problem.sentence) == (
        "no-case",
        "No case comes to the finding winding-open.",
    )
    assert HUMS.splitlines()[problem.span.line - 1].strip() == "winding-open:"


def test_every_code_of_cases_is_tried_here() -> None:
    assert {code.name for code in CASES} == {"case-stops", "case-differs", "no-case"}


TREES = sorted(head.name for head in heads())


@pytest.mark.parametrize("tree", TREES)
def test_a_shipped_tree_has_no_problem(tree: str) -> None:
    assert [str(one) for one in load(tree).problems] == []


@pytest.mark.parametrize("tree", TREES)
def test_the_cases_of_a_shipped_tree_come_to_what_they_say(tree: str) -> None:
    cases, wrong = cases_of(tree, walk=shipped(tree))
    assert wrong == ()
    assert [str(one) for one in problems_of(shipped(tree), cases)] == []
    assert cases is not None
    for case in list(cases.cases.values())[:3]:
        walked = walk_case(shipped(tree), case)
        assert not walked.missing, case.name


def test_what_a_procedure_came_to_is_held_by_the_name_of_its_use() -> None:
    walk = shipped("unit-trips-breaker")
    cases, _ = cases_of("unit-trips-breaker", walk=walk)
    assert cases is not None
    case = next(one for one in cases.cases.values() if "panel-live" in one.expect.verdicts)
    walked = walk_case(walk, case)
    assert not list(differs(walked, case))
    other = replace(case, expect=replace(case.expect, verdicts={"panel-live": "doubled"}))
    [wrong] = differs(walked, other)
    assert "comes to beside at panel-live, not doubled" in wrong.sentence

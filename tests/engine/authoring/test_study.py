"""A tree while it is written: problems in order, every way drawn, what is reached, pretending."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.authoring import (
    FOUND,
    Study,
    costs_page,
    drawn,
    findings_page,
    pretend,
    pretend_to,
    problems_page,
    signature,
    studied,
    summary,
    with_cases,
    with_proof,
)
from engine.guide.prompt import Now
from engine.loader.kinds import judgements_of
from engine.tree import UseHead
from tests.engine.starter.answering import fan_tree

SHIPPED = sorted((Path(__file__).parents[3] / "trees").glob("*/*[!s].yaml"))
TREES = [one for one in SHIPPED if one.parent.name in ("thermostat", "unit-trips-breaker")]


@pytest.fixture
def fan(tmp_path: Path) -> Path:
    return fan_tree(tmp_path)


def whole(path: Path) -> Study:
    return with_cases(with_proof(studied(path, None)))


def spoilt(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert text.count(old) >= 1
    path.write_text(text.replace(old, new, 1), encoding="utf-8", newline="\n")


def test_a_tree_without_problems_is_told_stage_by_stage(fan: Path) -> None:
    study = studied(fan, None)
    assert summary(study) == "no problems so far, being proved"
    study = with_proof(study)
    assert summary(study) == "no problems so far, cases being walked"
    study = with_cases(study)
    assert (summary(study), problems_page(study)) == ("no problems", ("No problems.",))


def test_a_problem_is_told_with_its_line_and_column(fan: Path) -> None:
    spoilt(fan, "        then: check-fan-capacitor", "        then: check-fan-capacitr")
    study = whole(fan)
    (line,) = problems_page(study)
    number = fan.read_text(encoding="utf-8").split("capacitr")[0].count("\n") + 1
    assert line.startswith(f"line {number}, column 15: ")
    assert "Did you mean check-fan-capacitor?" in line
    assert study.walk is None
    assert summary(study) == "1 problem to mend before it can be walked"
    assert findings_page(study) == ("The tree cannot be walked yet.",)


def test_a_finding_that_no_case_comes_to_is_said(fan: Path) -> None:
    cases = fan.with_name(f"{fan.stem}.cases.yaml")
    text = cases.read_text(encoding="utf-8")
    cases.write_text(text.split("  fan-blocked:\n    like")[0], encoding="utf-8", newline="\n")
    study = whole(fan)
    assert set(findings_page(study)[1:]) == {
        f"{name}: NO CASE comes to it"
        for name in study.walk.tree.findings  # type: ignore[union-attr]
    }
    assert [one.code for one in study.to_mend] == ["no-case"] * 4


@pytest.mark.parametrize("path", TREES, ids=lambda path: path.stem)
def test_every_answer_of_every_step_is_drawn_once_with_where_it_leads(path: Path) -> None:
    walk = studied(path, None).walk
    assert walk is not None
    by_name = {one.name: one for one in drawn(walk) if one.number}
    assert list(by_name) == list(walk.tree.steps)
    for name, step in walk.tree.steps.items():
        outcomes = [one for j in judgements_of(step) for one in j.answers.values()]
        if isinstance(step.head, UseHead):
            outcomes = list(step.head.returns.values())
        ways = by_name[name].ways
        assert len(ways) >= len(outcomes)
        for way, outcome in zip(ways, outcomes, strict=False):
            wanted = f"{FOUND} {outcome.finds}" if outcome.finds else outcome.then
            assert wanted in way


def test_what_is_proved_and_what_it_costs_is_told(fan: Path) -> None:
    expected, bounds, proved = costs_page(whole(fan))
    assert expected.startswith("To the finding, expected: ")
    assert bounds.startswith("At best ")
    assert proved.startswith("proved: R1, R2")


def test_a_save_is_seen_whatever_an_editor_does_to_the_file(fan: Path) -> None:
    before = signature(fan)
    other = fan.with_name("beside.tmp")
    other.write_bytes(fan.read_bytes())
    other.replace(fan)
    assert signature(fan) != before
    fan.unlink()
    assert signature(fan)[0] is None


def test_a_pretend_walk_stands_where_a_case_comes_by(fan: Path) -> None:
    study = with_cases(studied(fan, None))
    walk, case = pretend_to(study, "check-contactor-coil")
    assert case == "every check is sound"
    assert walk.prompt.step == "check-contactor-coil"
    inside, _ = pretend_to(study, "put-back")
    assert inside.prompt.step == "put-back/switch-on"
    after = walk.entered("52 ohm")
    assert "as it should be" in after.lines[0]
    assert walk.prompt.step == "check-contactor-coil", "the walk before is as it was"
    refused = walk.entered("52")
    assert refused.wanted != walk.wanted
    assert refused.lines == ("52 what? 1 ohm 2 kohm 3 Mohm",)


def test_a_pretend_walk_from_the_beginning_to_an_end(fan: Path) -> None:
    study = studied(fan, None)
    assert study.walk is not None
    walk = pretend(study.walk)
    while walk.prompt.now is not Now.ENDED:
        not_fit = walk.prompt.step == "size-up"
        walk = walk.entered("not fit" if not_fit else "1")
        assert not walk.refused
    assert walk.ended
    assert walk.view.state.end == "withdrawn"


def test_where_no_case_comes_by_the_walk_is_at_its_beginning(fan: Path) -> None:
    walk, case = pretend_to(studied(fan, None), "check-contactor-coil")
    assert (walk.prompt.step, case) == ("story", "")

"""A tree for every code of a proof and of cases: its one problem, at its line and column."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.cli.check import check_one
from engine.codes import CASES, CODES, PROOFS
from engine.loader.library import load
from engine.problems import Problem
from engine.verify.proving import prove
from tests.engine.loader.jargon import jargon
from tests.engine.test_broken_trees import place_said

BROKEN = Path(__file__).parents[2] / "broken_trees"
PROVED = sorted((BROKEN / "proofs").glob("*.yaml"))
WALKED = sorted(one for one in (BROKEN / "walked").glob("*.yaml") if ".cases" not in one.name)
ALSO = {"no-end": "runs-in-circle"}
"""Code → another one that a tree with it cannot be without: who never ends goes round."""


def problems(path: Path) -> list[Problem]:
    """Return what the loader and the proof find wrong with a tree."""
    loaded = load(str(path))
    assert loaded.walk is not None
    proved = prove(loaded.walk, loaded.problems).problems
    return list(dict.fromkeys((*loaded.problems, *proved)))


@pytest.mark.parametrize("path", PROVED, ids=lambda path: path.stem)
def test_a_broken_tree_has_its_one_problem_at_its_place(path: Path) -> None:
    found = problems(path)
    here = {(one.code, one.span.path, one.span.line, one.span.column) for one in found}
    codes = {path.stem, ALSO.get(path.stem, path.stem)}
    assert here == {(code, str(path), *place_said(path)) for code in codes}
    assert len(found) == len(codes)


@pytest.mark.parametrize("path", PROVED, ids=lambda path: path.stem)
def test_a_broken_tree_is_told_how_it_comes_to_that(path: Path) -> None:
    for one in problems(path):
        assert one.sentence.endswith(".")
        assert one.fix.endswith(".")
        assert jargon([one]) == []
    broken = next(one for one in problems(path) if one.code == path.stem)
    if path.stem.startswith("breaks-r") and path.stem != "breaks-r10":
        assert "Look round (line " in broken.fix


@pytest.mark.parametrize("path", WALKED, ids=lambda path: path.stem)
def test_broken_cases_have_their_one_problem_at_its_place(path: Path) -> None:
    found: dict[Problem, None] = {}
    check_one(str(path), None, found, [])
    where = path if path.stem == "no-case" else path.with_suffix(".cases.yaml")
    assert [(one.code, one.span.path, one.span.line, one.span.column) for one in found] == [
        (path.stem, str(where), *place_said(where))
    ]


def test_every_code_has_a_broken_tree() -> None:
    assert {path.stem for path in PROVED} == {code.name for code in PROOFS}
    assert {path.stem for path in WALKED} == {code.name for code in CASES}
    assert {path.stem for path in (*PROVED, *WALKED)} <= set(CODES)


def test_what_is_not_proved_of_a_reviewed_tree_needs_a_reason_and_a_date(tmp_path: Path) -> None:
    text = (BROKEN / "cuts-not-proved.yaml").read_text(encoding="utf-8")
    procedures = tmp_path / "procedures"
    procedures.mkdir()
    for one in (BROKEN / "procedures").glob("*.yaml"):
        (procedures / one.name).write_bytes(one.read_bytes())
    reviewed = "by: electrician, on: 2026-03-01, again by: 2028-03-01"
    reason = "not proved: {cuts rise: {why: The fan's part is the smaller one., on: 2026-03-01}}"

    def codes(status: str) -> set[str]:
        file = tmp_path / "reviewed.yaml"
        file.write_text(text.replace("status: draft", f"status: {status}"), encoding="utf-8")
        return {one.code for one in problems(file)}

    draft = codes("draft")
    assert "cuts-not-proved" in draft
    assert "not-accepted" not in draft
    assert codes(f"{{reviewed: {{{reviewed}}}}}") == draft | {"not-accepted"}
    assert codes(f"{{reviewed: {{{reviewed}, {reason}}}}}") == draft
    of_safety = reason.replace("cuts rise", "R3")
    assert "not-accepted" in codes(f"{{reviewed: {{{reviewed}, {of_safety}}}}}")

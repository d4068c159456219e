"""Every slip tried on the shipped trees: the proof notices what could hurt, the cases the rest."""

from __future__ import annotations

from fractions import Fraction

import pytest

from engine.loader.library import cases_of, heads, load
from engine.mutation.counting import THE_SAME, Score
from engine.mutation.trying import Trial, every_mutant

TREES = sorted(head.name for head in heads())
BY_CASES = Fraction(97, 100)
"""Of a shipped tree more is asked than of others."""


@pytest.mark.parametrize("tree", TREES)
def test_the_cases_and_the_proof_notice_what_they_should(tree: str) -> None:
    loaded = load(tree)
    assert loaded.walk is not None
    cases, wrong = cases_of(tree, None, loaded.walk)
    assert not wrong
    trial = Trial(loaded.walk, cases, loaded.problems)
    score = Score(tuple(trial.tried(every_mutant(loaded.walk))))
    missed = [f"{one.mutant.span} {one.mutant.change}" for one in score.survivors()]
    assert trial.stray == ()
    assert score.unproved == 0, missed
    assert score.by_cases >= BY_CASES, missed
    assert score.the_same <= THE_SAME


@pytest.mark.parametrize("tree", TREES)
def test_what_goes_beyond_the_rules_is_there_and_nothing_notices_it(tree: str) -> None:
    """A step that the proof asks for is not to be told as one that no rule asks for."""
    loaded = load(tree)
    assert loaded.walk is not None
    cases, _ = cases_of(tree, None, loaded.walk)
    assert cases is not None
    trial = Trial(loaded.walk, cases, loaded.problems)
    for name in cases.beyond:
        unsafe = [
            one
            for one in every_mutant(loaded.walk)
            if one.operator.safety
            and any(step == name or step.endswith(f"/{name}") for step in one.steps)
        ]
        assert any(one.fate == "beyond the rules" for one in trial.tried(unsafe)), name

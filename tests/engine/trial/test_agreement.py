"""Tree, ranking and trial can't disagree: one tree, one session, one word of what clears what.

What a walk on a simulated unit came to is told again to the search for the cause, which must hold
the same suspects possible, and to the table of outcomes, which must know its answers.
"""

from __future__ import annotations

from functools import cache

import pytest

from engine.loader.kinds import judgements_of
from engine.loader.outcomes import pooled
from engine.suspects.from_tree import Said, TreeSearch, clearing
from engine.suspects.signature import answers_of
from engine.tree import Outcome, WalkTree
from engine.trial.belonging import belongs
from engine.trial.handing import rows_of
from engine.trial.outcomes import shown_by_step
from engine.trial.scoring import score
from engine.trial.walked import Walked
from engine.trial.walking import walk_all
from tests.engine.trial.trees import HIGH_LEG, tree, unit

NAME = "blank-thermostat"


@cache
def walked() -> list[Walked]:
    faults = belongs(tree(NAME), unit(HIGH_LEG))
    return walk_all(tree(NAME), unit(HIGH_LEG), rows_of(unit(HIGH_LEG), faults, 0), 1)


def outcome_of(walk: WalkTree, step: str, key: str, verdict: str) -> Outcome | None:
    for judgement in judgements_of(walk.steps[step]):
        outcome = judgement.answers.get(key)
        if outcome and outcome.verdict == verdict:
            return outcome
    return None


def said_of(walk: WalkTree, row: Walked) -> list[Said]:
    """Return what a row's answers said of the suspects, up to its first finding."""
    said = []
    for one in row.path:
        outcome = outcome_of(walk, one.step, one.key, one.verdict)
        if outcome:
            clears, points = frozenset(outcome.clears), frozenset(outcome.points_to)
            said.append(Said(one.step, one.verdict, clears, points))
            if outcome.finds:
                break
    return said


def test_a_cause_that_was_found_was_never_cleared_on_the_way() -> None:
    walk = tree(NAME)
    trial = score(walk, unit(HIGH_LEG), walked(), 0, 1)
    right = [one for one in trial.faults if one.group and not one.why]
    rows = {row.faults[0]: row for row in walked()}
    assert len(right) > 10
    for one in right:
        assert clearing(said_of(walk, rows[one.fault]), one.suspect) == (), one.fault


def test_the_table_of_a_trial_holds_answers_of_the_tree_and_nothing_else() -> None:
    walk = tree(NAME)
    table = shown_by_step(tree(NAME), unit(HIGH_LEG), walked())
    checked = 0
    for step, by in table.items():
        answers = answers_of(walk.steps[step])
        for counts in by.values():
            if answers:
                assert set(counts) <= set(answers), step
                checked += 1
    assert checked > 50


def test_the_odds_of_a_trial_are_what_the_search_reckons_with() -> None:
    walk = tree(NAME)
    odds = pooled([shown_by_step(tree(NAME), unit(HIGH_LEG), walked())])
    search = TreeSearch(walk, odds)
    suspects = search.suspects({})
    for step, by in odds.items():
        if step not in search.checks:
            continue
        shown = search.shows(step, suspects)
        for suspect, counts in by.items():
            if suspect in suspects:
                likeliest = max(counts, key=counts.__getitem__)
                assert shown[suspect][likeliest] == max(shown[suspect].values())
                assert sum(shown[suspect].values()) == pytest.approx(1)

"""Where a step judges several readings, each window says which of them it is about."""

from __future__ import annotations

import pytest

from engine.guide.about import about
from engine.loader.heads import heads
from engine.tree import ActHead, Judgement
from tests.stories import shipped


def named(tree: str, step: str) -> list[str]:
    walk = shipped(tree).walk
    assert walk is not None
    head = walk.steps[step].head
    assert isinstance(head, ActHead)
    return [about(head, one) for one in head.judgements]


@pytest.mark.parametrize(
    ("step", "words"),
    [
        ("windings", ["lowest of all", "windings"]),
        ("windings-3", ["lowest", "highest", "winding balance"]),
        ("capacitor", [""]),
    ],
)
def test_a_judgement_is_named_by_what_it_judges(step: str, words: list[str]) -> None:
    assert named("unit-trips-breaker", step)[: len(words)] == words


@pytest.mark.parametrize("tree", [head.name for head in heads()])
def test_what_is_judged_otherwise_goes_by_another_name(tree: str) -> None:
    walk = shipped(tree).walk
    assert walk is not None
    for step in walk.steps.values():
        if isinstance(step.head, ActHead) and len(step.head.judgements) > 1:
            banded: list[Judgement] = [one for one in step.head.judgements if one.bands]
            names = [about(step.head, one) for one in banded]
            assert all(names), step.name
            judged = {str(one.judge) for one in banded}
            assert len(set(names)) == len(judged), (step.name, names)

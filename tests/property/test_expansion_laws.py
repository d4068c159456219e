"""Whatever tree is written: it loads, and every name in what comes out leads somewhere."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import given, settings

from engine.loader import library
from engine.loader.texts import BRACES, outcomes_of, texts_of
from engine.problems import Severity
from engine.substitution import Scope, put_in
from engine.tree import (
    CARRY_ON,
    DONE,
    GO_ON,
    REPAIR,
    RETURN,
    STUCK_REASONS,
    THE,
    ActHead,
    EachHead,
    Step,
    UseHead,
    WalkTree,
)
from tests.property.trees import Desk, Written, trees


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    """Make a folder to write drawn trees in."""
    return Desk(tmp_path_factory.mktemp("drawn"))


def targets_of(step: Step) -> Iterator[str]:
    """Yield every place that a step may lead to."""
    yield from (step.then, step.if_not, *step.cannot.values())
    for _, outcome in outcomes_of(step):
        yield from (outcome.then, outcome.if_still_wrong)
        if outcome.finds:
            yield REPAIR + outcome.finds


def loose_ends(walk: WalkTree) -> list[str]:
    """Return everything in a tree as walked that leads nowhere or means nothing."""
    found = [
        f"{step.name}: {target}"
        for step in walk.steps.values()
        for target in targets_of(step)
        if target and not leads_on(walk, step, target)
    ]
    found += [name for name, first in walk.begins.items() if first not in walk.steps]
    found += [
        name
        for name, user in walk.inside.items()
        if not isinstance(walk.steps[user].head, UseHead) or name not in walk.steps
    ]
    return [*found, *left_standing(walk)]


def leads_on(walk: WalkTree, step: Step, target: str) -> bool:
    """Return whether a target is a step, or a word that the walk knows what to do with."""
    if target.startswith(RETURN):
        head = walk.steps[walk.inside[step.name]].head
        word = target.removeprefix(RETURN)
        changes = walk.inside[step.name].startswith(("enter ", "leave ")) and word == DONE
        return isinstance(head, UseHead) and (word in head.returns or changes)
    return target in (GO_ON, CARRY_ON) or target in walk.steps


def left_standing(walk: WalkTree) -> Iterator[str]:
    """Yield parameters, lists and reasons that should be gone or filled in."""
    for step in walk.steps.values():
        if set(step.cannot) != set(STUCK_REASONS):
            yield f"{step.name}: {sorted(step.cannot)}"
        if isinstance(step.head, EachHead):
            yield f"{step.name}: a list"
        if isinstance(step.head, ActHead):
            words = (step.head.zone, step.head.device, step.head.box, *step.head.leads_off)
            yield from (f"{step.name}: {word}" for word in words if word.startswith(THE))
            yield from (
                f"{step.name}: {name}"
                for _, formula in step.head.work_out
                for name in formula.names()
                if name.startswith(THE)
            )
        for _, text in texts_of(step):
            yield from (name for name in BRACES.findall(text) if name.startswith(THE))


@settings(max_examples=60, deadline=None)
@given(trees())
def test_a_tree_without_slips_loads_and_leads_everywhere(desk: Desk, written: Written) -> None:
    result = desk.load(written)
    assert [str(one) for one in result.problems if one.severity is not Severity.NOTE] == []
    assert result.walk is not None
    assert loose_ends(result.walk) == []


@settings(max_examples=20, deadline=None)
@given(trees())
def test_loading_twice_gives_the_same_tree(desk: Desk, written: Written) -> None:
    first, second = desk.load(written), desk.load(written)
    assert first.walk is not None
    assert second.walk is not None
    assert [step.title for step in first.walk.steps.values()] == [
        step.title for step in second.walk.steps.values()
    ]


@settings(max_examples=20, deadline=None)
@given(trees())
def test_putting_nothing_in_changes_nothing(desk: Desk, written: Written) -> None:
    walk = desk.load(written).walk
    assert walk is not None
    elsewhere = Scope({"no-such-step": "x"}, {"the nothing": "x"})
    for step in walk.steps.values():
        assert put_in(step, elsewhere) is step


def test_every_shipped_tree_leads_everywhere() -> None:
    for head in library.heads():
        walk = library.load(head.name).walk
        assert walk is not None
        assert loose_ends(walk) == []

"""Whole walks by dice on the shipped trees: all of them end, and nothing refused is ever done.

What was done is put before the judge who knows only the log (`tests.safety_officer`); the walk
itself asks the safety model. A few hundred walks here, thousands in tests/long/.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from random import Random

import pytest

from engine.loader.library import heads
from engine.session.concluding import THEIR_LOCK
from engine.session.folding import History, fold
from engine.session.moving import go
from engine.session.state import State
from engine.session.steps import layout_of
from tests.random_walks import walk as random_walk
from tests.safety_officer import complaints
from tests.technician import CLUMSY, STEADY, Habits, Technician, shipped

TREES = sorted(head.name for head in heads())
MOST = 1500
"""Lines after which a walk should long have ended."""
CAREFUL = replace(STEADY, cannot=0.005, good=0.95, repair=0.95)


def judged(tree: str, first: int, walks: int, habits: Habits = STEADY) -> Counter[str]:
    """Return how walks without corrections ended; fail where one does not end, or did wrong."""
    walk, layout = shipped(tree), layout_of(shipped(tree))
    ends: Counter[str] = Counter()
    for seed in range(first, first + walks):
        technician = Technician(walk, Random(seed), habits)
        technician.walk_on(MOST)
        assert technician.ended, f"walk {seed} goes on and on at {technician.done.state.step}"
        found = list(complaints(layout, technician.events))
        assert not found, f"walk {seed}: {found[0]}, {technician.events[found[0][0] - 1]}"
        ends[technician.done.state.end or technician.done.state.handed_to] += 1
    return ends


def ended(tree: str, first: int, walks: int) -> int:
    """Return how many entries clumsy walks made; fail where one does not end or folds otherwise."""
    walk, made = shipped(tree), 0
    for seed in range(first, first + walks):
        technician = Technician(walk, Random(seed), CLUMSY)
        technician.walk_on(MOST)
        assert technician.ended, f"walk {seed} goes on and on at {technician.done.state.step}"
        assert fold(walk, technician.entries) == technician.done.state, f"walk {seed}"
        made += len(technician.entries)
    return made


@pytest.mark.parametrize(("habits", "walks"), [(STEADY, 150), (CAREFUL, 150)])
def test_every_walk_ends_and_nothing_refused_was_done(habits: Habits, walks: int) -> None:
    ends = judged("blank-thermostat", 0, walks, habits)
    assert set(ends) == {"in service", "made safe", "withdrawn"}
    assert sum(ends.values()) == walks


@pytest.mark.parametrize("tree", TREES)
def test_walks_on_every_shipped_tree_end_well(tree: str) -> None:
    assert judged(tree, 1000, 25, CAREFUL)


@pytest.mark.parametrize("tree", TREES)
def test_clumsy_walks_end_too(tree: str) -> None:
    assert ended(tree, 0, 40) > 300


@pytest.mark.parametrize("tree", TREES)
def test_the_way_out_can_be_gone_from_any_state(tree: str) -> None:
    """From states that permitted acts lead to, with every stage, in every stage of changing."""
    walk, layout = shipped(tree), layout_of(shipped(tree))
    stages = ["", *walk.tree.stages]
    for seed in range(200):
        random = Random(seed)
        power = random_walk(random, layout, random.randint(0, 60))[1][-1]
        stopped = power.stop if power.stop != THEIR_LOCK else ""
        state = State(power, stage=random.choice(stages), failed=True, stopped=stopped)
        technician = Technician(walk, random, CAREFUL)
        technician.done = History(walk, [go(walk, state, walk.tree.if_stuck)])
        technician.walk_on(60)
        assert technician.done.state.end in ("made safe", "withdrawn"), seed

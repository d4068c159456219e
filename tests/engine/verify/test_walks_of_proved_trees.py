"""What is proved never to be refused is never refused on a walk, and the engine never has to help.

Walks by dice through the guide, without corrections: those are not walks of the tree.
"""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from engine.entries import EntryKind
from engine.guide.prompt import Now
from engine.loader.library import heads
from engine.power import Act
from engine.tree import ActHead
from engine.verify.proof import Verdict
from engine.verify.proving import prove
from engine.verify.safety import RULES
from engine.verify.ways import is_on_way_out
from tests.technician import STEADY, Habits, Technician, shipped

TREES = sorted(head.name for head in heads())
MOST = 1500
CAREFUL = replace(STEADY, cannot=0.005, good=0.95, repair=0.95)
STOPPING = replace(STEADY, stop=0.01, cannot=0.05)


def _is_left_out(technician: Technician) -> bool:
    """Return whether a walk has come to what the proof says that it leaves out.

    On a way out, and where somebody has only to be told, a *can't* without a place to go: the
    session goes on at *if stuck*, and puts in by itself what is missing there.
    """
    last = technician.entries[-1] if technician.entries else None
    if last is None or last.kind is not EntryKind.CANNOT or last.step not in technician.walk.steps:
        return False
    step = technician.walk.steps[last.step]
    told = isinstance(step.head, ActHead) and step.head.act is Act.TELL
    stuck = technician.walk.tree.if_stuck in step.cannot.values()
    return stuck and (told or is_on_way_out(technician.walk, last.step))


def never_refused(tree: str, first: int, walks: int, habits: Habits) -> None:
    """Assert that walks of a tree come to no step that is refused or has to be helped."""
    for seed in range(first, first + walks):
        technician = Technician(shipped(tree), Random(seed), habits)
        for _ in range(MOST):
            if technician.ended:
                break
            technician.act()
            if _is_left_out(technician):
                break
            state = technician.done.state
            assert technician.shown.now is not Now.REFUSED, (tree, seed, state.step)
            assert not state.first, (tree, seed, state.first)
            assert not state.retried, (tree, seed, state.retried)


def every_rule_proved(tree: str) -> None:
    """Assert that every rule is proved of a shipped tree."""
    verdicts = {result.name: result.verdict for result in prove(shipped(tree)).results}
    assert {verdicts[rule] for rule in RULES} == {Verdict.PROVED}


def test_every_rule_is_proved_of_a_shipped_tree() -> None:
    every_rule_proved("blank-thermostat")


@pytest.mark.parametrize("tree", TREES)
@pytest.mark.parametrize("habits", [STEADY, CAREFUL, STOPPING], ids=["steady", "careful", "stops"])
def test_no_walk_of_a_proved_tree_is_refused(tree: str, habits: Habits) -> None:
    never_refused(tree, 0, 10, habits)

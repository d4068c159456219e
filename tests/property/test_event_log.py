"""A second judge, who knows only the log, agrees with every act that the model permits.

The judge (tests/event_log.py, tests/safety_officer.py) uses no function of the model. 1,000 seeded
walks here, 10,000 in tests/long/.
"""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest

from engine.power import Act, Refusal, apply, begin, refusals
from tests.event_log import Event
from tests.random_walks import EVERY_LAYOUT, walk
from tests.safety_officer import complaints
from tests.sequences import Sequence, sequences

WALKS = 1000
HANDS = (
    Act.DISCHARGE, Act.READ_DEAD, Act.CHECK, Act.INSULATION_TEST, Act.HANDS_ON, Act.REPAIR,
    Act.HANDS_IN, Act.PUT_ON, Act.TAKE_OFF,
)  # fmt: skip
PROTECTS = (
    Act.LOOK_OVER, Act.SWITCH_OFF, Act.LOCK_OUT, Act.TRY, Act.PROVE_DEAD, Act.DISCHARGE,
    Act.CLOSE_UP, Act.ALL_CLEAR, Act.CHECK, Act.TAKE_OFF,
)  # fmt: skip


def judged(first: int, walks: int) -> Counter[Act]:
    """Return how often each act was permitted in seeded walks; fail where the judge complains."""
    counted: Counter[Act] = Counter()
    for seed in range(first, first + walks):
        random = Random(seed)
        layout = random.choice(EVERY_LAYOUT)
        events, _ = walk(random, layout)
        found = list(complaints(layout, events))
        assert not found, f"walk {seed} on {layout.name}: {found[0]}"
        counted.update(deed.act for deed, _ in events)
    return counted


def test_the_judge_agrees_with_every_permitted_act() -> None:
    counted = judged(0, WALKS)
    assert sum(counted[act] for act in HANDS) > 2 * WALKS
    assert set(Act) == set(counted)


def _told(one: Sequence) -> list[Event]:
    return [(stated.deed, stated.outcome) for stated in one.steps]


@pytest.mark.parametrize("one", sequences().values(), ids=str)
def test_the_judge_finds_the_same_first_step(one: Sequence) -> None:
    """Told by the rules alone, so that the judge is known to see what it should."""
    found = [at for at, _ in complaints(one.layout, _told(one))]
    assert (min(found) if found else 0) == one.step


def test_where_a_protective_step_left_out_worries_the_judge_the_model_refuses() -> None:
    worried = 0
    for seed in range(WALKS // 4):
        random = Random(seed)
        layout = random.choice(EVERY_LAYOUT)
        events, _ = walk(random, layout)
        protective = [at for at, (deed, _) in enumerate(events) if deed.act in PROTECTS]
        if not protective:
            continue
        left_out = random.choice(protective)
        events = events[:left_out] + events[left_out + 1 :]
        first = next((at for at, _ in complaints(layout, events)), None)
        if first is None:
            continue
        worried += 1
        state = begin(layout)
        refused: list[Refusal] = []
        for deed, outcome in events[:first]:
            refused += refusals(layout, state, deed)
            state = apply(layout, state, deed, outcome)
        assert refused, f"walk {seed} without event {left_out + 1}: the judge stops at {first}"
    assert worried > WALKS // 20

"""The sequences of tests/data/safe_work.seq: what passes, what breaks which rule at which step."""

from __future__ import annotations

import pytest

from engine.power import (
    Act,
    Proof,
    held_off,
    is_on,
    misfit,
)
from tests.sequences import (
    Sequence,
    first_broken,
    sequences,
    walked,
)

SEQUENCES = sequences()

PROTECTS = frozenset(
    {
        Act.LOOK_OVER, Act.SWITCH_OFF, Act.LOCK_OUT, Act.TRY, Act.PROVE_DEAD, Act.DISCHARGE,
        Act.CLOSE_UP, Act.ALL_CLEAR, Act.UNLOCK, Act.TAKE_OFF, Act.TAG_OUT, Act.TELL, Act.VERIFY,
    }
)  # fmt: skip
"""Deleting any of these from a walk that passes must be refuted …"""
SPARE = {
    ("C05", 4): "the disconnect stays open, and the breaker's lock holds unit and feeder off",
    ("C07", 16): "nobody went back into the box since the first one",
}
"""… but for these two steps, and why."""

PASSING = [one for one in SEQUENCES.values() if not one.rule]
UNSAFE = [one for one in SEQUENCES.values() if one.rule]
DELETIONS = [
    pytest.param(one, at, id=f"{one.name}-{at + 1}-{stated.deed.act.replace(' ', '-')}")
    for one in PASSING
    for at, stated in enumerate(one.steps)
    if stated.deed.act in PROTECTS
]


def test_the_file_holds_ten_that_pass_and_fifteen_that_do_not() -> None:
    assert sorted(SEQUENCES) == [
        *(f"C{n:02}" for n in range(1, 11)),
        *(f"U{n:02}" for n in range(1, 16)),
    ]
    assert all(one.name.startswith("C") for one in PASSING)
    assert all(one.name.startswith("U") for one in UNSAFE)


@pytest.mark.parametrize("one", PASSING, ids=str)
def test_ordinary_work_is_permitted_step_by_step(one: Sequence) -> None:
    assert first_broken(one.layout, one.steps) is None


@pytest.mark.parametrize("one", UNSAFE, ids=str)
def test_an_unsafe_walk_breaks_its_rule_at_its_step_and_no_earlier(one: Sequence) -> None:
    broken = first_broken(one.layout, one.steps)
    assert broken is not None
    assert (broken.step, broken.refused[0].rule) == (one.step, one.rule)


@pytest.mark.parametrize(("one", "at"), DELETIONS)
def test_a_walk_without_one_protective_step_is_refuted(one: Sequence, at: int) -> None:
    left = one.steps[:at] + one.steps[at + 1 :]
    spare = (one.name, at + 1) in SPARE
    assert (first_broken(one.layout, left) is None) is spare


@pytest.mark.parametrize("name", ["C03", "C04", "C05"])
def test_after_a_trip_a_walk_without_its_clear_check_is_refuted(name: str) -> None:
    """A *clear* check counts only where what tripped, or a fault found, is then energised."""
    one = SEQUENCES[name]
    clear = [at for at, step in enumerate(one.steps) if step.outcome == "clear"]
    refuted = [
        first_broken(one.layout, one.steps[:at] + one.steps[at + 1 :]) is not None for at in clear
    ]
    assert refuted == {"C03": [False], "C04": [True, True], "C05": [True]}[name]


@pytest.mark.parametrize("one", SEQUENCES.values(), ids=str)
def test_every_deed_told_fits_its_layout(one: Sequence) -> None:
    assert [misfit(one.layout, stated.deed) for stated in one.steps] == [""] * len(one.steps)


@pytest.mark.parametrize("one", SEQUENCES.values(), ids=str)
def test_a_power_zone_not_held_off_never_has_a_proof(one: Sequence) -> None:
    for _, state in walked(one.layout, one.steps):
        for at, zone in enumerate(one.layout.zones):
            if zone.kind != "control" and not held_off(one.layout, state, zone.name):
                assert state.proof[at] is Proof.NONE
            if zone.stores and is_on(one.layout, state, zone.name):
                assert state.charged[at]

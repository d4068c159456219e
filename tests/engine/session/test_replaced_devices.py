"""A device reported damaged is out of use until a repair that names it has replaced it."""

from __future__ import annotations

import pytest

from engine import power
from engine.power import Act, Deed, Position
from engine.session.steps import deed_of, layout_of
from engine.tree import NOT_NOW, ActHead
from tests.technician import shipped

TREE = shipped("unit-trips-breaker")
LAYOUT = layout_of(TREE)


@pytest.mark.parametrize(
    ("finding", "device"),
    [("breaker-worn", "breaker"), ("breaker-size", "breaker"), ("disconnect-joint", "disconnect")],
)
def test_what_the_repair_replaces_is_sound_and_off_after_it(finding: str, device: str) -> None:
    damaged = power.apply(LAYOUT, power.begin(LAYOUT), Deed(Act.ASK, on=device), "damaged")
    at = LAYOUT.device_at[device]
    assert damaged.position[at] is Position.DAMAGED
    off = Deed(Act.SWITCH_OFF, device=device)
    assert [one.rule for one in power.refusals(LAYOUT, damaged, off)] == ["R2"]
    repair = TREE.steps[f"repair {finding}"]
    assert isinstance(repair.head, ActHead)
    assert NOT_NOW in repair.head.judgements[0].answers
    mended = power.apply(LAYOUT, damaged, deed_of(repair), "done")
    assert mended.position[at] is Position.OPEN
    assert power.refusals(LAYOUT, mended, off) == ()


def test_a_repair_that_names_no_device_mends_none() -> None:
    damaged = power.apply(LAYOUT, power.begin(LAYOUT), Deed(Act.ASK, on="breaker"), "damaged")
    lug = deed_of(TREE.steps["repair loose-lug"])
    after = power.apply(LAYOUT, damaged, lug, "done")
    assert after.position[LAYOUT.device_at["breaker"]] is Position.DAMAGED

"""What parts two faults: the circuit, or what the unit's file says can be seen.

Which is which on the shipped tree follows from the trade: a blown fuse and an open winding are
read; whether a breaker was tripped or left off is seen on its handle (*common practice, no
source*).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.power import Act
from engine.tree import WalkTree
from engine.trial.parting import Crossed, Parting, crossings, nominal, parting
from engine.trial.walked import Walked
from engine.trial.walking import walk_all
from engine.unit.faults import Row
from tests.engine.trial.trees import HIGH_LEG, tree, unit

FUSE, PRIMARY, OFF, TRIPPED = (
    "control fuse blown",
    "transformer primary open",
    "breaker left off",
    "breaker found tripped",
)
DETECTOR, DRAIN = "shut-down open", "drain blocked"
FAULTS = (FUSE, PRIMARY, OFF, TRIPPED, DETECTOR, DRAIN)


@pytest.fixture(scope="module")
def walk() -> WalkTree:
    return tree("blank-thermostat")


@pytest.fixture(scope="module")
def own(walk: WalkTree) -> dict[str, Walked]:
    rows = [Row((unit(HIGH_LEG).faults[name],)) for name in FAULTS]
    return nominal(walk_all(walk, unit(HIGH_LEG), rows, 1))


@pytest.fixture(scope="module")
def crossed(walk: WalkTree, own: dict[str, Walked]) -> Crossed:
    rows = crossings(walk, unit(HIGH_LEG), own)
    walked = walk_all(walk, unit(HIGH_LEG), list(rows.values()), 1)
    return dict(zip(rows, walked, strict=True))


@pytest.fixture(scope="module")
def parted(walk: WalkTree, own: dict[str, Walked], crossed: Crossed) -> Parting:
    return parting(walk, own, crossed)


def test_what_is_read_is_not_crossed_and_what_is_seen_is(crossed: Crossed) -> None:
    assert (FUSE, PRIMARY) not in crossed
    assert (OFF, TRIPPED) in crossed
    assert (TRIPPED, OFF) in crossed


def test_the_circuit_of_one_is_walked_with_the_signs_of_the_other(
    walk: WalkTree, own: dict[str, Walked]
) -> None:
    row = crossings(walk, unit(HIGH_LEG), own)[(OFF, TRIPPED)]
    (fault,) = row.faults
    faults = unit(HIGH_LEG).faults
    assert fault.signs == faults[OFF].signs != faults[TRIPPED].signs
    assert (fault.changes, fault.found) == (faults[TRIPPED].changes, faults[TRIPPED].found)


def test_what_only_a_handle_tells_is_seen_and_what_a_meter_tells_is_not(parted: Parting) -> None:
    assert parted.seen[OFF] == (TRIPPED,)
    assert parted.seen[TRIPPED] == (OFF,)
    assert FUSE not in parted.seen
    assert PRIMARY not in parted.seen


def test_a_device_of_others_may_be_told_by_its_lamp(parted: Parting) -> None:
    """The detector's lamp says what it is; it is handed on, and nothing is mended by its looks."""
    assert DRAIN in parted.seen[DETECTOR]
    assert parted.alone == ()


def test_what_is_mended_by_its_looks_while_ohms_would_know_misses_the_goal(
    walk: WalkTree, own: dict[str, Walked], crossed: Crossed
) -> None:
    tree_of = walk.tree
    name = own[DETECTOR].finding
    mended = replace(tree_of.findings[name], act=Act.REPAIR)
    careless = replace(walk, tree=replace(tree_of, findings={**tree_of.findings, name: mended}))
    alone = parting(careless, own, crossed).alone
    assert (DETECTOR, DRAIN, "string") in alone
    assert {one.fault for one in alone} == {DETECTOR}

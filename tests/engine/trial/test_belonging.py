"""Which faults of a unit belong to a complaint: what each does is common practice of the trade.

What a fault does to a unit is common practice, no source, where a test does not name one; every
complaint that technicians are called for can be said in the words of ``shows``.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

import pytest

from engine.formula import Measured
from engine.loader.build_complaint import build_complaint
from engine.loader.building import Building, names
from engine.loader.text import read
from engine.loader.units import unit_names
from engine.tree import WalkTree
from engine.trial.belonging import belongs, cannot_show, nameplate_values
from tests.engine.trial.trees import HIGH_LEG, WYE, tree, unit

LEAST = {"unit-trips-breaker": 12, "blank-thermostat": 8}
"""How many faults of each unit a shipped tree has to find, at least."""


def shows(words: str) -> WalkTree:
    """Return a tree of whose complaint a unit shows what the words say."""
    document = read("complaint", f"complaint: {{said as: [it], shows: {words}}}\n".encode())
    file = Building(document)
    complaint = build_complaint(file, names(names(document.data).get("complaint")))
    assert not file.problems
    walk = tree("blank-thermostat")
    return replace(walk, tree=replace(walk.tree, complaint=complaint))


SUPPLY = (
    "[breaker holds, {any of: ["
    "{read: volts pairs of breaker line, below: low of rated_volts less 10 %},"
    "{read: volts pairs of breaker line, above: high of rated_volts plus 10 %},"
    "{read: volts pairs of breaker line, judge: percent of unbalance(read), above: 2 %}]}]"
)
"""10 % of the rated volts: NEMA MG 1, from memory; 2 % of unbalance: common practice, no source."""
COMPLAINTS = {
    "nothing runs": (
        "[compressor stands, outdoor_fan stands, blower stands, breaker holds]",
        {"leg 1 lost upstream", "fuse 1 blown", "transformer primary open", "drain blocked"},
        {"blower seized", "rotor locked", "feeder shorted"},
    ),
    "hums and trips on overload": (
        "[compressor hums, compressor.overload trips, breaker holds]",
        {"rotor locked", "run capacitor open", "start winding open"},
        {"run capacitor low", "feeder shorted", "contactor coil open"},
    ),
    "the outdoor fan stands": (
        "[compressor starts, outdoor_fan stands, breaker holds]",
        {"outdoor fan seized", "outdoor fan open", "fan capacitor open"},
        {"fuse 1 blown", "contactor coil open", "rotor locked"},
    ),
    "the blower stands": (
        "[blower stands, display lit, breaker holds]",
        {"blower seized", "blower open"},
        {"outdoor fan seized", "transformer primary open"},
    ),
    "runs and cools poorly": (
        "[compressor turns, blower turns, {read: temperature air.supply, above: 62 F}]",
        {"refrigerant low"},
        {"airflow low", "drain blocked", "rotor locked"},
    ),
    "ice": ("ice-on-coil", {"airflow low"}, {"refrigerant low", "rotor locked"}),
    "water": ("{any of: [water-in-pan, drain-blocked]}", {"drain blocked"}, {"float failed"}),
    "the control fuse blows": (
        "control_fuse trips",
        {"cable R to C shorted", "thermostat shorted", "contactor coil shorted"},
        {"control fuse blown", "cable R broken", "drain blocked"},
    ),
    "the supply is wrong": (
        SUPPLY,
        {"leg 1 lost upstream", "supply low"},
        {"burnt lug leg 1", "fuse 2 blown", "feeder shorted", "drain blocked"},
    ),
    "at once": (
        "breaker trips within 1 s",
        {"feeder shorted", "contactor shorted between legs"},
        {"hot lug leg 1", "rotor locked and protector welded"},
    ),
    "after minutes": (
        "breaker trips after 1 min",
        {"hot lug leg 1", "conductor beside the clamp"},
        {"feeder shorted", "contactor shorted between legs"},
    ),
}


@pytest.mark.parametrize("name", COMPLAINTS)
def test_a_fault_belongs_where_the_unit_shows_the_complaint(name: str) -> None:
    words, there, elsewhere = COMPLAINTS[name]
    found: Collection[str] = belongs(shows(words), unit(HIGH_LEG))
    assert there <= set(found)
    assert not elsewhere & set(found)


def test_a_loose_leg_unbalances_three_phases_and_one_phase_has_no_unbalance() -> None:
    only = "{read: volts pairs of breaker line, judge: percent of unbalance(read), above: 2 %}"
    found = belongs(shows(only), unit(WYE))
    assert "one leg low" in found
    assert "supply low" not in found
    assert belongs(shows(only), unit(HIGH_LEG)) == ()


def test_a_contactor_chatters_where_the_volts_fall_as_it_pulls_in() -> None:
    # Coils pull in at 85 in a hundred of their volts: NEMA ICS 2, from memory. No shipped fault
    # brings the supply between pull-in and drop-out, so none chatters.
    assert belongs(shows("contactor chatters"), unit(HIGH_LEG)) == ()


@pytest.mark.parametrize("name", unit_names())
@pytest.mark.parametrize("called", LEAST)
def test_enough_faults_of_every_unit_belong_to_a_shipped_tree(called: str, name: str) -> None:
    found = belongs(tree(called), unit(name))
    assert len(found) >= LEAST[called]
    assert set(found) < set(unit(name).faults)
    assert cannot_show(tree(called), unit(name)) == ""


def test_no_fault_belongs_to_two_shipped_complaints() -> None:
    one, other = (set(belongs(tree(name), unit(HIGH_LEG))) for name in LEAST)
    assert not one & other


def test_a_part_that_a_unit_lacks_shows_nothing_and_is_told() -> None:
    walk = shows("inducer turns")
    assert belongs(walk, unit(HIGH_LEG)) == ()
    assert cannot_show(walk, unit(HIGH_LEG)).startswith("3-ton-high-leg has no inducer")


def test_a_tree_that_says_nothing_of_it_is_told() -> None:
    walk = tree("blank-thermostat")
    silent = replace(walk.tree.complaint, shows=None)
    walk = replace(walk, tree=replace(walk.tree, complaint=silent))
    assert belongs(walk, unit(HIGH_LEG)) == ()
    assert "does not say" in cannot_show(walk, unit(HIGH_LEG))


def test_a_nameplate_is_read_as_it_would_be_typed() -> None:
    values = nameplate_values(tree("blank-thermostat").fields, {"rated_volts": ("208-230",)})
    found = values["rated_volts"]
    assert isinstance(found, tuple)
    ends = [one.quantity.value for one in found if isinstance(one, Measured)]
    assert ends == [208, 230]

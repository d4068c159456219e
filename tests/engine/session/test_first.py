"""What the engine puts in by itself: what comes first, and the way out that nothing refuses."""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.layouts import LAYOUTS
from engine.power import Act, Deed, Insulation, Position, begin, refusals
from engine.session.first import WAY_OUT, comes_first, made, name_of
from engine.session.folding import History
from engine.session.moving import go
from engine.session.state import State
from engine.session.steps import deed_of, step_named
from engine.tree import ActHead
from tests.engine.session.walking import begin as at_the_start
from tests.engine.session.walking import come_back, enter, is_at, lead
from tests.technician import Technician, shipped

LAYOUT = LAYOUTS["single feed"]
TREE = shipped()
NAMES = (
    "first/look over",
    "first/close up/control box",
    "first/open up/disconnect box",
    "first/switch off/disconnect",
    "first/tag out/breaker",
    "first/ask/disconnect",
    "first/take off/lead/unit/control box",
    "first/take off/open gas/unit/",
    "first/read live/control/control box",
    "first/all clear",
    "first/tell",
)


@pytest.mark.parametrize("name", NAMES)
def test_a_step_is_made_from_its_name_and_names_itself(name: str) -> None:
    step = made(TREE, LAYOUT, name)
    assert step.name == name
    assert step.title
    assert step.do
    assert "{" not in step.title
    assert name_of(replace(deed_of(step), mode="", on="")) == name


def test_a_name_of_none_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        step_named(TREE, "first/dance")


def test_coming_back_to_batteries_reads_volts_before_hands_go_in() -> None:
    technician = lead(
        at_the_start(), "repair batteries-flat", {"thermostat_power": "1", "batteries": "2.1"}
    )
    come_back(technician)
    lead(technician, "first/read live/control/thermostat")
    assert technician.shown.towards == "Thermostat batteries flat"
    (spot, _), *_ = technician.shown.asked
    assert (spot.a, spot.b) == ("thermostat.R", "thermostat.C")
    enter(technician, "0.4")
    assert is_at(technician.shown, "repair batteries-flat")
    assert technician.done.state.verdicts["r-to-c"] == "nothing", "no diagnosis hangs on it"


def test_line_volts_before_hands_go_in_lead_out() -> None:
    technician = lead(
        at_the_start(), "repair batteries-flat", {"thermostat_power": "1", "batteries": "2.1"}
    )
    come_back(technician)
    enter(lead(technician, "first/read live/control/thermostat"), "120")
    assert technician.shown.refusals[0].startswith("R1")
    enter(technician, "c 5")
    assert is_at(technician.shown, "leave/all-clear") or technician.done.state.changing


def test_nothing_is_put_in_twice_for_one_step() -> None:
    power = begin(LAYOUT)
    deed = Deed(Act.SWITCH_ON, device="disconnect", mode="for service")
    first = comes_first(LAYOUT, power, deed)
    assert first == "first/look over"
    assert comes_first(LAYOUT, power, deed, [first]) == "first/ask/disconnect"


def test_a_lock_of_mine_is_replaced_by_a_tag_before_the_end() -> None:
    power = begin(LAYOUT)
    position = list(power.position)
    position[1] = position[2] = Position.LOCKED
    power = power._replace(position=tuple(position), told=True, looked_over=True)
    technician = Technician(TREE, at_the_start().random)
    technician.done = History(TREE, [go(TREE, State(power, failed=True), "leave/made-safe")])
    assert technician.shown.step == "first/tag out/breaker"
    enter(technician, "1")
    assert technician.shown.step == "first/tag out/disconnect"
    enter(technician, "1")
    assert technician.done.state.end == "made safe"


def test_a_fault_ahead_of_the_tag_gets_a_tag_of_its_own() -> None:
    power = begin(LAYOUT)
    position, known = list(power.position), list(power.insulation)
    position[LAYOUT.device_at["breaker"]] = Position.OPEN
    position[LAYOUT.device_at["disconnect"]] = Position.TAGGED
    known[LAYOUT.zone_at["feeder"]] = Insulation.FAULT
    power = power._replace(
        position=tuple(position), insulation=tuple(known), told=True, looked_over=True
    )
    technician = Technician(TREE, at_the_start().random)
    technician.done = History(TREE, [go(TREE, State(power, failed=True), "leave/made-safe")])
    assert technician.shown.step == "first/tag out/breaker"
    enter(technician, "1")
    assert technician.done.state.end == "made safe"


def test_a_device_told_to_stand_both_ways_is_looked_at() -> None:
    technician = lead(at_the_start(), "handle")
    number = next(one.number for one in technician.shown.choices if "lock" in one.key)
    enter(technician, str(number), "u", "1")
    lead(technician, "first/ask/disconnect")
    assert [one.key for one in technician.shown.choices] == [
        "it is off",
        "it is on",
        "another's lock or tag",
        "burnt or loose",
    ]
    enter(technician, "2")
    assert not is_at(technician.shown, "first/ask/disconnect")


def test_the_way_out_is_never_refused() -> None:
    power = begin(LAYOUT)
    for step in (made(TREE, LAYOUT, WAY_OUT), made(TREE, LAYOUT, "first/withdrawn")):
        power = power._replace(told=True, stop=power.stop or "unfit")
        assert isinstance(step.head, ActHead)
        assert refusals(LAYOUT, power, deed_of(step)) == ()


def test_an_end_that_is_refused_and_cant_be_put_right_is_withdrawn_from() -> None:
    power = begin(LAYOUT)._replace(told=True, looked_over=True)
    position = list(power.position)
    position[2] = Position.DAMAGED
    position[1] = Position.THEIRS
    power = power._replace(position=tuple(position), cover=(0, *power.cover[1:]))  # type: ignore[arg-type]
    technician = Technician(TREE, at_the_start().random)
    technician.done = History(TREE, [go(TREE, State(power, failed=True), "leave/made-safe")])
    assert technician.shown.step == "first/close up/panel"
    enter(technician, "c 1")
    assert technician.shown.step == WAY_OUT
    assert not technician.shown.stuck
    enter(technician, "1")
    assert technician.done.state.end == "withdrawn"

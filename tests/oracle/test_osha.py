"""The model of safe work against the published text it follows.

Quoted where the text itself was read. Where a paragraph of 29 CFR 1910.333 is named beside a
quotation, the words are those of Washington State's adoption of it:

- WAC 296-24-975(2)(b), general industry (law.cornell.edu, WAC-296-24-975);
- WAC 296-307-37807 to 37817, agriculture, for locks and re-energising (app.leg.wa.gov);
- 29 CFR 1910.334(b)(2), as quoted in OSHA's standard interpretation of 2001-11-19 (osha.gov,
  interpretations, 24009);
- NFPA 70E-2024, 120.6(7), as quoted by a training firm (70econsultants.com).

1910.333(b)(2)(iv), the verification by a qualified person with test equipment and by trying the
controls, is *from memory*: no published copy of that paragraph was read.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.layouts import Device
from engine.power import Act, Deed, Proof, Refusal, State, apply, begin, refusals
from tests.sequences import TOLD_ON, after, rules_against, steps_of

RTU = TOLD_ON["rtu"]
BAS = TOLD_ON["bas"]
IN_ORDER = (
    "look over -> fit",
    "switch off disconnect",
    "lock out disconnect",
    "try unit -> stopped",
    "open up @control box",
    "prove dead unit @control box -> dead",
    "discharge unit @control box -> below limit",
)
WORK = "repair unit @control box"


def so_far(count: int) -> State:
    return after(RTU, "; ".join(IN_ORDER[:count])) if count else begin(RTU)


def test_the_whole_order_leads_to_work() -> None:
    """WAC 296-24-975(2)(b) = 29 CFR 1910.333(b)(2), text read.

    "You must follow the requirements in the order in which they are presented."
    """
    assert rules_against(RTU, so_far(len(IN_ORDER)), WORK) == ()


@pytest.mark.parametrize("count", range(len(IN_ORDER)), ids=lambda n: IN_ORDER[n])
def test_no_step_of_the_order_is_enough_before_the_last(count: int) -> None:
    """As above: work is refused at every point before the order is complete."""
    assert rules_against(RTU, so_far(count), WORK)


@pytest.mark.parametrize("left_out", range(len(IN_ORDER)), ids=lambda n: IN_ORDER[n])
def test_no_step_of_the_order_may_be_left_out(left_out: int) -> None:
    """As above: without any one step, that step's successors or the work are refused."""
    state = begin(RTU)
    refused: list[Refusal] = []
    for stated in steps_of("; ".join((*IN_ORDER[:left_out], *IN_ORDER[left_out + 1 :], WORK))):
        refused += refusals(RTU, state, stated.deed)
        state = apply(RTU, state, stated.deed, stated.outcome)
    assert refused


def test_disconnected_from_all_sources() -> None:
    """1910.333(b)(2)(ii)(B), text read.

    "You must disconnect the circuits and equipment to be worked on from all electric energy
    sources." A second source on the control side is one of all.
    """
    state = after(BAS, "look over -> fit; switch off disconnect; lock out disconnect")
    assert rules_against(BAS, state, "try unit -> stopped") == ("R2",)


def test_control_devices_are_no_means_of_deenergising() -> None:
    """1910.333(b)(2)(ii)(B), text read.

    "You must not use control circuit devices, such as push buttons, selector switches, and
    interlocks, as the sole means for deenergizing circuits or equipment."
    """
    thermostat = Device("thermostat stop", "not isolating", "feeder", "unit")
    layout = replace(RTU, devices=(*RTU.devices[:2], thermostat, *RTU.devices[3:]))
    state = after(layout, "look over -> fit; switch off thermostat stop")
    assert rules_against(layout, state, "lock out thermostat stop") == ("R2",)
    assert rules_against(layout, state, "try unit -> stopped") == ("R2",)


def test_a_lock_on_each_disconnecting_means() -> None:
    """1910.333(b)(2)(iii)(A) and (b)(1), texts read.

    "A lock and a tag must be placed on each disconnecting means used to deenergize circuits and
    equipment on which work is to be performed", WAC 296-307-37813(1), text read; and "conductors
    and parts of electric equipment that have been deenergized but have not been locked out or
    tagged must be treated as energized parts", WAC 296-307-37807(1), text read.
    """
    off = after(RTU, "look over -> fit; switch off disconnect; open up @control box")
    assert rules_against(RTU, off, "prove dead unit @control box -> dead") == ("R2",)
    assert rules_against(RTU, off, "read dead unit @control box") == ("R6",)
    assert rules_against(RTU, off, "hands on unit @control box") == ("R1",)


def test_stored_energy_is_released_and_capacitors_discharged() -> None:
    """1910.333(b)(2)(ii)(C), text read.

    "You must release stored electric energy which might endanger personnel. You must discharge
    capacitors …"
    """
    assert rules_against(RTU, so_far(6), WORK) == ("R3",)


def test_capacitors_are_treated_as_energised_while_they_are_discharged() -> None:
    """1910.333(b)(2)(ii)(C), its note, text read.

    "If the capacitors or associated equipment are handled in meeting this requirement, you must
    treat them as energized."

    The model's one addition to the order: the zone is read for AC first, then bled with everything
    beside it proven too, then read for DC; it counts as live until that reading is in.
    """
    assert rules_against(RTU, so_far(5), IN_ORDER[6]) == ("R1",)
    beside = after(
        RTU,
        "look over -> fit; switch off disconnect; lock out disconnect; try unit -> stopped; "
        "open up @bare disconnect; prove dead unit @bare disconnect -> dead",
    )
    bleed = "discharge unit @bare disconnect -> below limit"
    assert rules_against(RTU, beside, bleed) == ("R4",)


def test_controls_are_operated_to_verify_that_nothing_restarts() -> None:
    """1910.333(b)(2)(iv)(A), *from memory*.

    A qualified person operates the equipment's controls or
    otherwise verifies that the equipment cannot be restarted.
    """
    untried = so_far(3)
    assert "R2" in rules_against(RTU, untried, IN_ORDER[5])
    started = after(RTU, "try unit -> not stopped", untried)
    assert "R2" in rules_against(RTU, started, IN_ORDER[5])


def test_a_test_verifies_that_circuit_parts_are_deenergised() -> None:
    """1910.333(b)(2)(iv)(B), *from memory*.

    A qualified person uses test equipment on the circuit
    parts to which employees will be exposed and verifies that they are de-energised.
    """
    assert rules_against(RTU, so_far(5), WORK) == ("R1",)


def test_live_dead_live_at_the_point_of_work() -> None:
    """NFPA 70E-2024, 120.6(7), quotation read.

    "Test each phase conductor or circuit part both phase-to-phase and phase-to-ground. Before
    and after each test, determine that the test instrument is operating satisfactorily through
    verification on any known voltage source."

    The three readings are one outcome of one act: some of them, or any that is not a plain *dead*,
    prove nothing, and the next attempt begins with trying again.
    """
    ready = so_far(5)
    some = Deed(Act.PROVE_DEAD, zone="unit", box="control box", unread=("one leg",))
    unit = RTU.zone_at["unit"]
    assert apply(RTU, ready, some, "dead").proof[unit] is Proof.TRIED
    failed = after(RTU, "prove dead unit @control box -> not dead", ready)
    assert failed.proof[unit] is Proof.NONE
    assert rules_against(RTU, failed, IN_ORDER[5]) == ("R2",)
    elsewhere = rules_against(RTU, ready, "prove dead unit @disconnect box -> dead")
    assert elsewhere == ("R6",), "at each point of work: in a box that is open"


@pytest.mark.parametrize("item", ["jumper", "grounds", "lead"])
def test_tools_jumpers_shorts_and_grounds_are_off_before_reenergising(item: str) -> None:
    """1910.333(b)(2)(v)(A), WAC 296-307-37817(1), text read.

    "… verify that all tools, electrical jumpers, shorts, grounds, and other devices have been
    removed, so that the circuits and equipment can be safely energized."
    """
    state = after(
        RTU, f"{'; '.join(IN_ORDER)}; put on unit @control box: {item}; close up @control box"
    )
    on = "switch on disconnect: for service -> holds"
    state = after(RTU, "all clear; unlock disconnect", state)
    assert rules_against(RTU, state, on) == ("R7",)


def test_people_are_warned_and_clear_before_the_lock_comes_off() -> None:
    """1910.333(b)(2)(v)(B) and (D), WAC 296-307-37817(2) and (4), text read.

    "Employees exposed to the hazards associated with reenergizing the circuit or equipment must
    be warned to stay clear"; "there must be a visual determination that all employees are clear".
    """
    state = after(RTU, f"{'; '.join(IN_ORDER)}; {WORK}; close up @control box")
    assert rules_against(RTU, state, "unlock disconnect") == ("R7",)


def test_each_lock_is_taken_off_by_who_put_it_on() -> None:
    """1910.333(b)(2)(v)(C), WAC 296-307-37817(3), text read.

    "Each lock and tag must be removed by the employee who applied it or under his or her direct
    supervision."
    """
    state = after(RTU, "look over -> fit; ask disconnect: their lock")
    assert rules_against(RTU, state, "unlock disconnect") == ("R12",)
    assert rules_against(RTU, state, "switch on disconnect: for service -> holds") == ("R12",)


TRIPPED = (
    "ask breaker: tripped; look over -> fit; switch off disconnect; lock out disconnect; "
    "lock out breaker; try unit -> stopped; open up @disconnect box -> barrier missing; "
    "prove dead feeder @disconnect box -> dead; prove dead unit @disconnect box -> dead; "
    "discharge unit @disconnect box -> below limit"
)
BACK = "close up @disconnect box; all clear; unlock breaker; unlock disconnect"
RESET = "switch on breaker: for service -> holds"
CHECKED = "check feeder @disconnect box -> clear; check unit @disconnect box -> clear"


def test_no_reenergising_until_it_has_been_determined() -> None:
    """29 CFR 1910.334(b)(2), text read.

    "After a circuit is de-energized by a circuit protective device, the circuit may not be
    manually reenergized until it has been determined that the equipment and circuit can be safely
    energized."
    """
    assert rules_against(RTU, after(RTU, f"{TRIPPED}; {BACK}"), RESET) == ("R5",)
    assert rules_against(RTU, after(RTU, f"{TRIPPED}; {CHECKED}; {BACK}"), RESET) == ()


@pytest.mark.parametrize("found", ["fault", "not clear"])
def test_a_check_that_is_not_clear_determines_nothing(found: str) -> None:
    """As above."""
    checks = CHECKED.replace(
        "feeder @disconnect box -> clear", f"feeder @disconnect box -> {found}"
    )
    assert rules_against(RTU, after(RTU, f"{TRIPPED}; {checks}; {BACK}"), RESET) == ("R5",)


def test_repetitive_reclosing_is_prohibited() -> None:
    """29 CFR 1910.334(b)(2), text read.

    "The repetitive manual reclosing of circuit breakers or re-energizing circuits through
    replaced fuses is prohibited."

    A second trip after a clear check is not closed again, however clear the next check.
    """
    state = after(RTU, f"{TRIPPED}; {CHECKED}; {BACK}")
    state = after(RTU, "switch on disconnect: for service -> holds", state)
    tripped = after(RTU, "switch on breaker: for service -> trips", state)
    again = after(RTU, f"{TRIPPED.partition('; ')[2]}; {CHECKED}; {BACK}", tripped)
    assert rules_against(RTU, again, RESET) == ("R5",)


def test_a_replaced_fuse_is_a_reclosing() -> None:
    """As above, "or re-energizing circuits through replaced fuses"."""
    state = after(RTU, f"ask control fuse: tripped; {'; '.join(IN_ORDER)}")
    state = after(RTU, "read live control @control box -> under 50", state)
    state = after(RTU, "repair control @control box; all clear", state)
    state = after(RTU, "switch on control fuse: for test -> holds; close up @control box", state)
    state = after(RTU, "all clear; unlock disconnect", state)
    assert rules_against(RTU, state, "switch on disconnect: for service -> holds") == ("R5",)


def test_the_note_on_overloads_is_not_used() -> None:
    """29 CFR 1910.334(b)(2), its note, text read, and left aside on purpose.

    The note says that no examination is needed where the design shows an overload. A handle does
    not tell an overload from a fault. Only a *limit*, which is an
    overload relay or a pressure or temperature switch and no overcurrent device, is reset once
    without a ground check (*common practice, no source*).
    """
    assert rules_against(RTU, after(RTU, f"{TRIPPED}; {BACK}"), RESET) == ("R5",)

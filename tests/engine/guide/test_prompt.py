"""What a prompt holds: one thing to do, everything needed for it, and what is wanted."""

from __future__ import annotations

import pytest

from engine.guide.prompt import Now, prompt, question
from engine.tree import ActHead
from tests.engine.session.walking import begin, enter, lead, small
from tests.technician import shipped

TREE = shipped()


def test_one_reading_is_asked_for_by_its_unit() -> None:
    assert lead(begin(), "r-to-c").shown.wanted == "V?"


def test_a_few_readings_are_asked_for_by_name() -> None:
    technician = lead(begin(), "dc-gone-no-capacitor", {"fitted": "3 4 5"})
    assert technician.shown.wanted == "L1-L2 L2-L3 L3-L1 V?"
    enter(technician, "0 0")
    assert technician.shown.wanted == "L3-L1 V?"
    assert technician.shown.last == "2 of 3: L1-L2 0 V · L2-L3 0 V"


def test_many_readings_are_counted_and_their_order_is_said() -> None:
    technician = lead(begin(), "volts-gone")
    assert technician.shown.wanted == "1 of 8: before V?"
    assert technician.shown.order == (
        "before: Source known to be live",
        "pairs: L1-L2 L2-L3 L3-L1",
        "ground: L1-ground L2-ground L3-ground",
        "after: Source known to be live",
    )
    enter(technician, "120 0.1")
    assert technician.shown.wanted == "3 of 8: L2-L3 V?"
    assert technician.shown.last == "2 of 8: before 120 V · L1-L2 0.1 V"


def test_what_is_only_done_has_one_answer_and_enter_is_not_it() -> None:
    shown = lead(begin(), "lock").shown
    assert [(one.number, one.key) for one in shown.choices] == [(1, "done")]
    assert shown.enter == ""
    assert shown.wanted == "1 when done"


def test_a_change_of_stage_says_what_it_is_for() -> None:
    assert lead(begin(), "lock").shown.towards == "The whole R string, by ohms"
    assert lead(begin(), "string").shown.towards == ""


def test_leads_that_come_off_are_named() -> None:
    shown = lead(begin(), "string").shown
    assert shown.leads_off == (
        "Lead off: R string, last joint before the cable. Back on after the reading."
    )


def test_a_repair_says_what_it_takes() -> None:
    technician = lead(
        begin(),
        "repair fuse-only",
        {
            "r-to-c-unit": "0.2",
            "fuse": "OL",
            "short": "300 ohm",
            "coils": "14 ohm",
        },
    )
    assert technician.shown.parts == ("Control fuse, 3 A, one spare",)


def test_what_is_asked_of_a_prompt_is_the_same_with_and_without_what_is_shown() -> None:
    technician = begin()
    for _ in range(30):
        if technician.shown.now is Now.ENDED:
            break
        state, now = technician.done.state, technician.clock
        whole, asks = prompt(TREE, state, now), question(TREE, state, now)
        for name in ("now", "step", "title", "asked", "choices", "wanted", "field", "enter",
                     "refusals", "wait_left", "stuck", "number"):  # fmt: skip
            assert getattr(whole, name) == getattr(asks, name)
        technician.enter(technician.plain())


def test_a_wait_counts_down_from_the_entry_before_it() -> None:
    technician = lead(begin(small()), "quiet")
    assert (technician.shown.now, technician.shown.wait_left) == (Now.WAIT, 300)
    assert technician.shown.meanwhile.startswith("Read the nameplate.")
    technician.clock = technician.clock.replace(minute=5, second=14)
    assert (technician.shown.now, technician.shown.wait_left) == (Now.STEP, 0)


@pytest.mark.parametrize("tree", [TREE, small()], ids=lambda tree: tree.tree.name)
def test_every_step_can_be_shown(tree: object) -> None:
    walk = TREE if tree is TREE else small()
    technician = begin(walk)
    for name, step in walk.steps.items():
        if isinstance(step.head, ActHead):
            state = technician.done.state._replace(step=name)
            shown = prompt(walk, state, technician.clock)
            assert shown.title
            assert "None" not in " ".join((shown.title, shown.do, shown.why))

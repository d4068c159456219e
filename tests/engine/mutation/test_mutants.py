"""Each kind of slip: one that must be killed, by the one whose business it is."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from engine.mutation.functional import MOVED
from engine.mutation.mutant import Mutant
from engine.mutation.trying import Fate, Trial, every_mutant
from engine.mutation.unsafe import LINE_SIDE, SOURCE
from engine.power import Act
from engine.tree import ActHead, PassHead, WalkTree
from engine.unread import with_unread_said
from tests.engine.mutation.slips import among, mutants, small, the, trial, tried
from tests.technician import shipped

UNSAFE = (
    ("look over left out", "Look round before", "", "R10"),
    ("switch off left out", "Switch off", "on to enter unit dead", "R2"),
    ("lock out left out", "Lock and tag", "", "R2"),
    ("try left out", "Try to make it run", "", "R2"),
    ("prove dead left out", "No volts", "", "R1"),
    ("discharge left out", "Bleed", "", "R3"),
    ("tag out left out", "Tag the", "", "R9"),
    ("all clear left out", "People and tools", "unlock", "R7"),
    ("close up left out", "Shut the disconnect box", "", "R7"),
    ("unlock left out", "Your lock off", "", "R7"),
    ("verify left out", "Ten minutes", "", "R9"),
    ("tell left out", "Tell the customer", "in-service", "R9"),
    ("open up left out", "Open the control box", "", "R6"),
    ("counts as its opposite", "No volts", "", "R1"),
    ("counts as its opposite", "Bleed", "", "R3"),
    ("second source forgotten", "", "outlet", "R4"),
    ("second source forgotten", "", "building controls", "R2"),
)


@pytest.mark.parametrize(("operator", "title", "change", "rule"), UNSAFE)
def test_unsafe_slips_are_killed_by_the_rule_that_they_break(
    operator: str, title: str, change: str, rule: str
) -> None:
    (one,) = tried(the(operator, title, change))
    assert (one.fate, one.by) == (Fate.PROOF, rule)
    assert one.why.endswith(".")


FUNCTIONAL = (
    ("targets swapped", "Supply at the disconnect", '"below least" leads', "supply a little low"),
    ("step left out", "Capacitor of the fan", "", "capacitor weak"),
    ("step left out", "Fan capacitor weak", "", "capacitor weak"),
    ("cut moved", "Capacitor of the fan", '"below low" ends at 80', "capacitor weak"),
    ("cut moved", "Supply at the disconnect", '"below least" ends at 80', "supply a little low"),
    ("nameplate value swapped", "Supply with the fan", "high of", "capacitor weak"),
)


@pytest.mark.parametrize(("operator", "title", "change", "case"), FUNCTIONAL)
def test_slips_in_what_is_found_are_killed_by_a_case(
    operator: str, title: str, change: str, case: str
) -> None:
    (one,) = tried(the(operator, title, change))
    assert (one.fate, one.by) == (Fate.CASES, case)
    assert case in one.why


def test_a_killed_mutant_really_differs() -> None:
    """What the killing case comes to is not what it comes to on the tree as it is."""
    from engine.guide.casework import walk_case
    from tests.engine.mutation.slips import cases

    killed = [one for one in tried(*mutants()) if one.fate is Fate.CASES]
    assert len(killed) > 25
    for one in killed:
        case = cases().cases[one.by]
        walks = (walk_case(walk, case) for walk in (small(), one.mutant.walk(small())))
        before, after = (
            (walked.refused, walked.missing, walked.view.state.found, walked.view.state.passed)
            for walked in walks
        )
        assert before != after, one.mutant


def test_an_unchanged_tree_survives_nothing() -> None:
    """Nothing kills what is no change, and it is told to be the same."""
    for safety in (False, True):
        some = next(one for one in mutants() if one.operator.safety is safety and one.steps)
        steps = {name: small().steps[name] for name in some.steps}
        (one,) = tried(replace(some, steps=steps))
        assert one.fate is Fate.SAME


def test_a_mutant_changes_its_steps_and_nothing_else() -> None:
    walk = small()
    for mutant in mutants():
        changed = mutant.walk(walk)
        gone = set(walk.steps) - set(changed.steps)
        assert {name for name in changed.steps if changed.steps[name] is not walk.steps[name]} == (
            set(mutant.steps)
        )
        assert all(name.startswith(tuple(f"{one}/" for one in mutant.steps)) for name in gone)
        assert all(changed.steps[name] != walk.steps[name] for name in mutant.steps)
        assert changed.tree.layout == (mutant.layout or walk.tree.layout)


def test_a_procedure_left_out_is_not_there() -> None:
    (mutant,) = among(mutants(), "step left out", "On again")
    assert "on-again/call" in small().steps
    assert not [name for name in mutant.walk(small()).steps if name.startswith("on-again/")]


def test_every_act_for_safety_is_left_out_once() -> None:
    """By counting in the file's steps themselves: none is forgotten, none taken twice."""
    acts = Counter(
        step.head.act
        for step in {step.span: step for step in small().steps.values()}.values()
        if isinstance(step.head, ActHead)
    )
    for act in (Act.LOOK_OVER, Act.LOCK_OUT, Act.TRY, Act.PROVE_DEAD, Act.DISCHARGE, Act.TAG_OUT):
        assert len(among(mutants(), f"{act} left out")) == acts[act]


def test_a_step_of_a_procedure_is_changed_wherever_it_is_used() -> None:
    several = among(every_mutant(shipped()), "close up left out", "", "return done")
    assert any(len(one.steps) > 1 for one in several)
    for one in several:
        assert len({shipped().steps[name].span for name in one.steps}) == 1


def test_what_is_left_out_goes_on_where_its_good_answer_leads() -> None:
    (left,) = the("prove dead left out", "No volts").steps.values()
    assert isinstance(left.head, PassHead)
    assert left.then == "enter unit dead/bleed"


def test_cuts_are_moved_down_and_up() -> None:
    percents = sorted(one.value for one in MOVED)
    assert percents[0] < 100 < percents[1]
    moved = among(mutants(), "cut moved", "Start winding")
    assert [one.change for one in moved] == [
        f'"up to 200 ohm" ends at {percent} % of that' for percent in percents
    ]


# --- what only larger trees have ------------------------------------------------------------------


def _checks(walk: WalkTree) -> list[Mutant]:
    return [one for one in every_mutant(walk) if one.operator == LINE_SIDE]


def test_a_check_moved_to_the_line_side_is_no_check_of_the_unit() -> None:
    walk = shipped("unit-trips-breaker")
    moved = [new for one in _checks(walk) for new in one.steps.values()]
    assert moved
    for new in moved:
        old = walk.steps[new.name].head
        assert isinstance(new.head, ActHead)
        assert isinstance(old, ActHead)
        assert new.head.unread
        assert not old.unread
        assert all(
            not point.endswith(" load") for spec in new.head.readings for point in spec.points
        )
        assert with_unread_said(new.head, walk.vocabulary) == new.head


def test_a_source_is_forgotten_by_naming_a_layout_that_has_more() -> None:
    forgotten = [one for one in mutants() if one.operator == SOURCE]
    assert [one.layout for one in forgotten] == ["two feeds and outlet", "building controls"]


@pytest.mark.parametrize(
    ("is_placed", "fate", "by"),
    [
        # Nobody knows where it is read, so nothing but the caution warns.
        (False, Fate.PROOF, "live readings warn"),
        # In a box that shows more than 50 V the step warns by itself.
        (True, Fate.SURVIVED, ""),
    ],
)
def test_a_caution_left_out_is_missed_where_nothing_else_warns(
    is_placed: bool, fate: Fate, by: str
) -> None:
    supply = small().steps["supply"]
    head = supply.head
    assert isinstance(head, ActHead)
    cautions = (("WARNING", "Treat every terminal as live."),)
    head = head if is_placed else replace(head, zone="", box="")
    warned = replace(supply, head=head, cautions=cautions)
    walk = replace(small(), steps={**small().steps, "supply": warned})
    [mutant] = among(every_mutant(walk), "caution left out")
    assert mutant.steps["supply"].cautions == ()
    [one] = Trial(walk, None).tried([mutant])
    assert (one.fate, one.by) == (fate, by)


def test_wrong_cases_kill_nothing() -> None:
    assert trial().stray == ()

"""Suspects of the shipped trees: nothing that the tree, the session and the ranking disagree on."""

from __future__ import annotations

from functools import cache

import pytest

from engine import power
from engine.guide.casework import walk_case
from engine.guide.headless import Alike
from engine.guide.possible import moment_of
from engine.layouts import LAYOUTS
from engine.power import Act, Deed
from engine.session import steps
from engine.session.folding import history
from engine.session.state import State
from engine.suspects.access import Access, applies, deed_of, stage_of
from engine.suspects.from_tree import OTHER, OTHER_LEAST, Moment, Said, TreeSearch
from engine.suspects.route import forks
from engine.suspects.signature import answers_of, causes, hints, shares
from engine.tree import ActHead, WalkTree
from tests.stories import cases, shipped

TREES = ("blank-thermostat", "unit-trips-breaker")


def tree(name: str) -> WalkTree:
    walk = shipped(name).walk
    assert walk is not None
    return walk


@cache
def search(name: str) -> TreeSearch:
    return TreeSearch(tree(name))


@cache
def states(name: str, every: int) -> list[State]:
    """Return states on the way of each so-many-th case of a tree."""
    walk, found = tree(name), list[State]()
    alike = Alike(walk)
    for number, case in enumerate(cases(name).values()):
        if number % every == 0:
            view = walk_case(walk, case, alike).view
            found += history(walk, view.mine).states[1::5]
    return found


def arrival(walk: WalkTree) -> power.State:
    return power.begin(LAYOUTS[walk.tree.layout])._replace(looked_over=True)


@pytest.mark.parametrize("name", TREES)
def test_what_the_session_holds_cleared_is_what_is_cleared_here(name: str) -> None:
    """Of what was said of a suspect the latest counts, in the list of suspects and here."""
    walk, seen = tree(name), 0
    for state in states(name, 30):
        possible = search(name).still_possible(moment_of(walk, state))
        latest = {one.suspect: one for one in state.bearings}
        cleared = {
            suspect
            for suspect, bearing in latest.items()
            if bearing.cleared and applies(walk.tree.suspects[suspect].condition, state.words)
        }
        assert set(possible.cleared) == cleared
        assert {one for one, chance in possible.remaining.items() if not chance} == cleared
        assert possible.remaining[OTHER] >= OTHER_LEAST
        assert sum(possible.remaining.values()) == pytest.approx(1.0)
        for suspect, by in possible.cleared.items():
            assert by[-1].step == latest[suspect].step
        seen += len(cleared)
    assert seen > 20


@pytest.mark.parametrize("name", TREES)
def test_likelihoods_say_what_the_author_said(name: str) -> None:
    walk = tree(name)
    finds = causes(walk)
    for step in walk.steps.values():
        answers = answers_of(step)
        for suspect in walk.tree.suspects if answers else ():
            planned, weighed = shares(answers, finds, suspect), hints(answers, finds, suspect)
            assert sum(planned.values()) == pytest.approx(1.0)
            assert sum(weighed.values()) == pytest.approx(1.0)
            assert set(planned) <= set(weighed)
            if any(suspect not in one.clears for one in answers.values()):
                assert not any(suspect in answers[word].clears for word in weighed)


@pytest.mark.parametrize("name", TREES)
def test_an_act_is_the_same_deed_here_and_in_the_session(name: str) -> None:
    for step in tree(name).steps.values():
        if isinstance(step.head, ActHead):
            assert deed_of(step.head) == steps.deed_of(step)


@pytest.mark.parametrize("name", TREES)
def test_every_stage_is_got_to_and_its_readings_are_permitted_there(name: str) -> None:
    walk = tree(name)
    access = Access(walk, {})
    for stage in walk.tree.stages:
        there = access.change(arrival(walk), "", stage)
        assert there is not None
        assert there.minutes > 0
        back = access.change(there.power, stage, "")
        assert back is not None
        dead = [
            step
            for step in walk.steps.values()
            if stage_of(step) == stage
            and isinstance(step.head, ActHead)
            and step.head.act is Act.READ_DEAD
        ]
        for step in dead:
            assert access.permitted(there.power, step) is not None
            assert access.permitted(arrival(walk), step) is None


@pytest.mark.parametrize("name", TREES)
def test_what_comes_next_is_permitted_and_not_yet_answered(name: str) -> None:
    walk = tree(name)
    for state in states(name, 90)[::5]:
        moment = moment_of(walk, state)
        advice = search(name).next_check(moment)
        access = Access(walk, state.words)
        for choice in advice.choices:
            step = walk.steps[choice.task.name]
            assert step.name not in {one.step for one in moment.said}
            assert step.name not in moment.cannot
            there = access.change(state.power, state.stage, stage_of(step))
            assert there is not None
            assert access.permitted(there.power, step) is not None
            assert choice.minutes >= choice.first - 1e-9
            assert advice.instead(step.name) is not None
        if advice.next:
            assert advice.instead(advice.next) == 0.0


def test_after_a_trip_nothing_that_wants_power_is_offered() -> None:
    """29 CFR 1910.334(b)(2): no reset before the circuit is shown to be fit for it."""
    walk = tree("unit-trips-breaker")
    layout = LAYOUTS[walk.tree.layout]
    tripped = power.apply(layout, arrival(walk), Deed(Act.ASK, on="breaker"), "found tripped")
    advice = search("unit-trips-breaker").next_check(Moment(tripped))
    read_live = {
        walk.tree.stages[stage_of(step)].zone
        for one in advice.choices
        if isinstance((step := walk.steps[one.task.name]).head, ActHead)
        and step.head.act is Act.READ_LIVE
    }
    assert advice.choices
    assert not read_live & {"feeder", "unit", "control"}  # nothing behind the breaker is on


def test_nothing_is_looked_for_after_a_reason_to_stop() -> None:
    walk = tree("blank-thermostat")
    moment = Moment(arrival(walk), stopped=True)
    assert search("blank-thermostat").next_check(moment).next is None
    gas = power.apply(LAYOUTS[walk.tree.layout], arrival(walk), Deed(Act.ASK), "gas")
    offered = search("blank-thermostat").next_check(Moment(gas)).choices
    assert all(walk.steps[one.task.name].stage == "" for one in offered)  # asking, from outside


def test_where_every_listed_suspect_is_cleared_the_answers_that_clash_are_named() -> None:
    walk = tree("blank-thermostat")
    every = frozenset(walk.tree.suspects)
    half = frozenset(sorted(every)[:10])
    moment = Moment(
        arrival(walk),
        said=(
            Said("r-to-c", "good", half),
            Said("batteries", "good", every - half),
            Said("string", "closed", half),
        ),
    )
    possible = search("blank-thermostat").still_possible(moment)
    assert possible.remaining[OTHER] == 1.0
    assert set(possible.clashes) == {("batteries", "r-to-c"), ("batteries", "string")}


def test_who_switched_it_off_is_asked_only_once_it_is_seen_off() -> None:
    """A question from one branch means nothing off it; a reading at rest says the same anywhere."""
    walk = tree("blank-thermostat")
    found = forks(walk, ("r-to-c", "handle", "why-off", "breaker", "why-breaker-off", "string"))
    assert found["why-off"] == ("handle", frozenset({"it is off"}))
    assert found["why-breaker-off"] == ("breaker", frozenset({"off"}))
    assert not {"r-to-c", "string"} & set(found)
    advice = search("blank-thermostat").next_check(Moment(arrival(walk)))
    asked = {one.task.name for one in advice.choices}
    assert "why-off" not in asked
    assert "r-to-c-unit" in asked


def test_what_a_trial_has_shown_stands_in_for_the_author() -> None:
    walk = tree("blank-thermostat")
    suspects = walk.tree.suspects
    shown = {name: {"nothing" if at % 2 else "good": 1.0} for at, name in enumerate(suspects)}
    tried = TreeSearch(walk, {"r-to-c": shown})
    assert tried.next_check(Moment(arrival(walk))).next is not None

"""No protecting step of a shipped tree can be left out unseen: all of one tree, some of the other.

The long tier leaves out every one of the other tree.
"""

from __future__ import annotations

import pytest

from engine.loader.library import load
from engine.tree import ActHead, Step, UseHead, WalkTree
from tests.deleted_steps import NOT_MISSED, PROTECTS, assert_missed, protecting

SAMPLE = ("bleed",)


def shipped(name: str) -> WalkTree:
    walk = load(name).walk
    assert walk is not None
    return walk


BLANK, TRIPS = shipped("blank-thermostat"), shipped("unit-trips-breaker")


@pytest.mark.parametrize("step", protecting(BLANK).values(), ids=lambda step: step.name)
def test_a_protecting_step_left_out_is_missed(step: Step) -> None:
    assert_missed(BLANK, step)


@pytest.mark.parametrize("name", SAMPLE)
def test_a_protecting_step_of_the_larger_tree_is_missed(name: str) -> None:
    assert_missed(TRIPS, TRIPS.steps[name])


def test_the_steps_that_are_not_missed_are_steps() -> None:
    for walk in (BLANK, TRIPS):
        names = {step.name.rpartition("/")[2] for step in protecting(walk).values()}
        assert NOT_MISSED[walk.tree.name].keys() <= names


def test_the_work_that_protects_is_used_and_every_kind_of_it_is_left_out() -> None:
    used = {
        step.head.procedure
        for walk in (BLANK, TRIPS)
        for step in walk.steps.values()
        if isinstance(step.head, UseHead)
    }
    acts = {
        step.head.act
        for walk in (BLANK, TRIPS)
        for step in protecting(walk).values()
        if isinstance(step.head, ActHead)
    }
    assert {"prove-dead", "prove-dead-and-discharge", "ground-check", "lock-out"} <= used
    assert acts == set(PROTECTS)

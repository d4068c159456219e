"""What is the same: worked out in every cell, for each kind of slip one that changes nothing."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from engine.mutation.equivalence import Equivalence
from engine.mutation.functional import functional
from engine.mutation.mutant import Mutant
from engine.mutation.trying import every_mutant
from engine.mutation.unsafe import unsafe
from engine.mutation.written import every_written, judgements, with_answers
from engine.tree import OTHERWISE, Judgement, Outcome, SortHead, Step, WalkTree
from tests.engine.mutation.slips import mutants, small
from tests.technician import STEADY, Technician, shipped


def every(walk: WalkTree) -> list[Mutant]:
    written = tuple(every_written(walk))
    return [*functional(walk, written), *unsafe(walk, written)]


def with_steps(*steps: Step) -> WalkTree:
    return replace(small(), steps={**small().steps, **{step.name: step for step in steps}})


def same(walk: WalkTree, operator: str, title: str, change: str = "") -> list[bool]:
    """Return for each such mutant whether it is the same as its tree."""
    held = Equivalence(walk)
    chosen = [
        one
        for one in every(walk)
        if one.operator.words == operator and one.title == title and change in one.change
    ]
    return [held.holds(one) for one in chosen]


def _good_or_high_alike() -> WalkTree:
    """Return the tree with a supply that is too high let pass like one that is within."""
    supply = small().steps["supply"]
    answers = judgements(supply)[0].answers
    return with_steps(with_answers(supply, 0, [(OTHERWISE, answers["up to most"])]))


def test_a_cut_between_answers_that_end_alike_may_lie_anywhere() -> None:
    walk = _good_or_high_alike()
    assert same(walk, "cut moved", "Supply at the disconnect", "up to most") == [True, True]
    assert same(walk, "cut moved", "Supply at the disconnect", "below least") == [False, False]
    assert same(small(), "cut moved", "Supply at the disconnect", "up to most") == [False, False]


def test_a_value_in_such_a_cut_may_be_any_other() -> None:
    walk = _good_or_high_alike()
    wrong_end = "low of rated_volts stands where high of"
    assert same(walk, "nameplate value swapped", "Supply at the disconnect", wrong_end) == [True]
    assert same(small(), "nameplate value swapped", "Supply at the disconnect", wrong_end) == [
        False
    ]


def _sort(name: str, **words: str) -> Step:
    answers = {word: Outcome(word, then=then) for word, then in words.items()}
    head = SortHead(by_step="filter", judgement=Judgement(answers))
    return replace(small().steps["filter"], name=name, title=name, head=head)


def test_a_sort_whose_answers_lead_to_one_place_may_be_left_out() -> None:
    filter_ = small().steps["filter"]
    led = with_answers(filter_, 0, [("clean", Outcome("clean", then="by-filter"))])
    alike = with_steps(led, _sort("by-filter", clean="supply", loaded="supply"))
    apart = with_steps(led, _sort("by-filter", clean="supply", loaded="listen"))
    assert same(alike, "step left out", "by-filter") == [True]
    assert same(apart, "step left out", "by-filter") == [False]


@pytest.mark.parametrize("operator", ["targets swapped", "step left out", "cut moved"])
def test_what_no_walk_comes_to_may_be_anything(operator: str) -> None:
    never = replace(small().steps["windings"], name="never", title="never")
    span = replace(never.span, line=never.span.line + 1000)
    assert set(same(with_steps(replace(never, span=span)), operator, "never")) == {True}
    assert set(same(small(), operator, "Start winding of the fan")) == {False}


def test_safe_work_that_nobody_comes_to_may_be_left_out() -> None:
    never = replace(small().steps["ten-minutes"], name="never", title="never")
    span = replace(never.span, line=never.span.line + 1000)
    walk = with_steps(replace(never, span=span))
    assert same(walk, "verify left out", "never") == [True]
    assert same(walk, "counts as its opposite", "never") == [True]
    assert same(small(), "verify left out", "Ten minutes on the call") == [False]


def test_a_return_of_a_change_of_stage_is_no_dead_answer() -> None:
    """The step that enters a stage is asked of nobody, and yet its answers are gone by."""
    assert same(small(), "targets swapped", "Enter unit dead") == [False]


def test_few_are_the_same() -> None:
    held = Equivalence(small())
    found = [one for one in mutants() if held.holds(one)]
    assert len(found) <= len(mutants()) // 5


def walked(walk: WalkTree, seed: int) -> list[tuple[str, str, str]]:
    """Return what a technician made of dice does on a tree."""
    technician = Technician(walk, Random(seed), STEADY)
    technician.walk_on(120)
    return [(str(one.kind), one.step, one.outcome) for one in technician.entries]


def test_what_is_told_to_be_the_same_walks_alike_on_random_answers() -> None:
    walk = shipped()
    held = Equivalence(walk)
    alike = [one for one in every_mutant(walk) if held.holds(one)]
    assert alike
    for seed in range(2):
        before = walked(walk, seed)
        assert before
        for mutant in alike:
            assert walked(mutant.walk(walk), seed) == before, mutant

"""Shipped trees with one protecting step left out wherever it stands, and what the proof says.

A step left out leads on to where its good answer leads. A step of shared work is left out of every
use of it at once.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import PurePath

from engine.power import OUTCOMES, Act
from engine.problems import Span
from engine.tree import ActHead, Outcome, PassHead, Step, WalkTree
from engine.verify.graph import Graph
from engine.verify.safety import Safety, Unsafe

PROTECTS = (Act.PROVE_DEAD, Act.DISCHARGE, Act.TRY, Act.LOOK_OVER, Act.CHECK)
NOT_MISSED: Mapping[str, Mapping[str, str]] = {
    "blank-thermostat": {
        "at-the-unit": "the visit was looked over indoors; the second look is for the roof's edge",
        "before-the-lock": "it was looked over before, indoors or at the unit",
        "short": "nothing has tripped: a check that is left out finds no fault and clears none",
        "board-short": "nothing has tripped: a check that is left out finds no fault, clears none",
    },
    "unit-trips-breaker": {},
}
"""By tree, steps that may be left out without breaking a rule, with why."""


def protecting(walk: WalkTree) -> dict[Span, Step]:
    """Return the protecting steps as they are written, one use of each."""
    found: dict[Span, Step] = {}
    for step in walk.steps.values():
        if isinstance(step.head, ActHead) and step.head.act in PROTECTS:
            found.setdefault(step.span, step)
    return found


def without(walk: WalkTree, span: Span) -> WalkTree:
    """Return a tree without a step, in every use of it."""
    steps = {
        name: _passed(step) if step.span == span and isinstance(step.head, ActHead) else step
        for name, step in walk.steps.items()
    }
    return replace(walk, steps=steps)


def _passed(step: Step) -> Step:
    good = next(_good(step))
    assert good.then, f"the good answer of {step.name} leads to a finding"
    return replace(step, head=PassHead(), then=good.then)


def _good(step: Step) -> Iterator[Outcome]:
    head = step.head
    assert isinstance(head, ActHead)
    best = OUTCOMES[head.act][0]
    for judgement in head.judgements:
        yield from (one for one in judgement.answers.values() if one.counts_as == best)


def broken_without(walk: WalkTree, span: Span) -> tuple[Unsafe, ...]:
    """Return what is unsafe in a tree without a step, with the walks that show it."""
    found = Safety(Graph(without(walk, span)))
    assert not found.not_proved
    return found.unsafe


def assert_missed(walk: WalkTree, step: Step) -> None:
    """Assert that without a step the tree is refuted with a walk, or is named as not missed."""
    broken = broken_without(walk, step.span)
    where = f"{PurePath(step.span.path).name} line {step.span.line}: {step.name}"
    if step.name.rpartition("/")[2] in NOT_MISSED[walk.tree.name]:
        assert not broken, f"{where} is missed by now; take it from the list"
        return
    assert broken, f"{where} can be left out, and nothing is said of that"
    assert all(one.walk.legs for one in broken), where

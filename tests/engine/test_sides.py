"""A check made ahead of a contactor is part of one: it says nothing of what is behind.

The sequence of the safety model in which a check on the line side of an open contactor is refused
(R5) is in tests/sequences.py; here a tree's readings are found to be of that kind.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from engine.formula import parse
from engine.power import Act
from engine.power.acts import OTHER_SIDE
from engine.reading import Function
from engine.session.steps import deed_of
from engine.trade.catalogue import FIGURES
from engine.tree import ActHead, Judgement, ReadingSpec, Spread, Step
from engine.unread import with_unread_said
from engine.vocabulary import Comparison, Relation
from tests.technician import shipped

WORDS = shipped().vocabulary


def check(*sets: str, judge: str = "", act: Act = Act.CHECK) -> ActHead:
    """Return a check of some sets to ground, each a reading of its own."""
    specs = tuple(
        ReadingSpec(name, Function.OHMS, Spread.TO_GROUND, (points,), "dead")
        for name, points in zip("abc", sets, strict=False)
    )
    formula = parse(judge or f"min({', '.join('abc'[: len(sets)])})", FIGURES)
    judgements = (Judgement({}, formula),)
    return ActHead(act, zone="unit", box="control box", readings=specs, judgements=judgements)


@pytest.mark.parametrize(
    ("head", "part"),
    [
        (check("contactor line", "contactor load"), False),
        (check("contactor line"), True),
        (check("contactor load"), True),
        (check("contactor line", act=Act.INSULATION_TEST), True),
        (check("contactor line", "contactor load", judge="min(a)"), True),
        (check("compressor leads"), False),
        (check("disconnect line"), False),
        (check("contactor line", act=Act.READ_DEAD), False),
    ],
)
def test_both_sides_are_read_always_and_judged(head: ActHead, part: bool) -> None:
    said = with_unread_said(head, WORDS)
    assert isinstance(said, ActHead)
    assert (OTHER_SIDE in said.unread) is part
    assert (OTHER_SIDE in deed_of(Step("ground", "Ground", said)).unread) is part


def test_a_side_read_only_on_some_units_does_not_count() -> None:
    line, load = check("contactor line", "contactor load").readings
    fitted = (Comparison("fitted", Relation.HAS, ("blower",)),)
    head = check("contactor line", "contactor load")
    said = with_unread_said(replace(head, readings=(line, replace(load, condition=fitted))), WORDS)
    assert isinstance(said, ActHead)
    assert OTHER_SIDE in said.unread


def test_the_shipped_checks_reach_both_sides() -> None:
    for tree in ("blank-thermostat", "unit-trips-breaker"):
        for step in shipped(tree).steps.values():
            unread = step.head.unread if isinstance(step.head, ActHead) else ()
            assert OTHER_SIDE not in unread, step.name

"""A reading that a unit is not asked for counts as an empty set in what is judged."""

from __future__ import annotations

from fractions import Fraction

from engine.formula import Measured, Value
from engine.quantity import Kind, Quantity
from engine.reading import Special
from engine.session.judging import Judged, classify
from tests.engine.written import walk_of

TREE = """\
start: ground
steps:
  ground:
    title: Every terminal to bare metal
    act: ask
    readings:
      line: {function: ohms, between: [a, ground]}
      blower: {function: ohms, to ground from: b, if: fitted has blower}
    judge: min(line, blower)
    bands:
      below 1 Mohm: {verdict: grounded, then: leave}
      otherwise: {verdict: nothing, then: leave}
  leave: {act: end, end: withdrawn, stage: any}
findings: {}
"""


def _ohms(value: int) -> Measured:
    return Measured(Quantity(Fraction(value), Kind.RESISTANCE), Fraction(value), Fraction(value))


def _verdict(**given: Value) -> str:
    step = walk_of(TREE).steps["ground"]
    judged = classify(step, given, lambda name: None)
    assert isinstance(judged, Judged)
    return judged.outcome.verdict


def test_the_least_is_taken_without_a_reading_that_is_not_asked_for() -> None:
    assert _verdict(line=Special.OL) == "nothing"
    assert _verdict(line=_ohms(400)) == "grounded"


def test_a_reading_that_is_asked_for_counts() -> None:
    assert _verdict(line=Special.OL, blower=(Special.OL, _ohms(400))) == "grounded"

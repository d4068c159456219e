"""What a procedure's return says of the suspects is kept, like any answer's."""

from __future__ import annotations

from engine import power
from engine.session.following import target_of
from engine.session.state import Bearing, State
from engine.session.steps import layout_of
from tests.engine.written import walk_of

SURVEY = """\
procedure: survey
title: Survey
returns: [good, low]
start: look
steps:
  look: {act: ask, choices: {good: return good, low: return low}}
"""
TREE = """\
start: supply
steps:
  supply:
    use: survey
    returns:
      good: {clears: [loose-wire], then: leave}
      low: {points to: [loose-wire], then: leave}
  leave: {act: end, end: withdrawn, stage: any}
findings: {}
"""


def test_a_return_bears_on_the_suspects() -> None:
    walk = walk_of(TREE, SURVEY)
    state = State(power=power.begin(layout_of(walk)))
    for word, cleared in (("good", True), ("low", False)):
        after, step = target_of(walk, state, "supply/look", f"return {word}")
        assert step == "leave"
        assert after.bearings == (Bearing("loose-wire", "supply", word, cleared, 0),)

"""No case of a shipped tree has somebody read a nameplate with a live box open before them."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from engine import power
from engine.guide.headless import Alike, walk_through
from engine.session.steps import layout_of
from tests.stories import cases
from tests.technician import shipped

NINE = datetime(2026, 3, 14, 9, tzinfo=UTC)
THERE = {
    "breaker_marking": "on the breaker, behind the dead front",
    "control_volts": "on the transformer in the box; taken as usual with Enter",
    "rated_capacitance": "on the can in the box",
    "blower_fla": "only where the unit draws too much",
    "outdoor_fan_fla": "only where the unit draws too much",
    "trips_on": "nothing is read for it",
}
"""What may be asked with hands out of an open box, and why."""


@pytest.mark.parametrize("tree", ["blank-thermostat", "unit-trips-breaker"])
def test_questions_are_asked_before_a_box_is_open(tree: str) -> None:
    walk = shipped(tree)
    alike = Alike(walk)
    for case in cases(tree).values():
        walk_through(walk, case.nameplate, case.answers, start=NINE, alike=alike)
    states = [came.before.state for came in alike.seen.values() if came.before.state.needs]
    assert len(states) > 50
    reached = {one.needs for one in states if power.open_and_live(layout_of(walk), one.power)}
    assert reached <= set(THERE)

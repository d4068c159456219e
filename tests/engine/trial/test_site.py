"""What has been done to a unit, and what is found there then."""

from __future__ import annotations

import numpy as np

from engine.reading import Function
from engine.trial.site import CALL, Site, Work
from engine.unit.condition import Condition
from engine.unit.faults import Row
from engine.unit.meter import Rows
from engine.unit.settled import When
from tests.engine.trial.trees import HIGH_LEG, unit

ONE = np.array([0])
LINE = ("contactor.L1", "contactor.L2")


def site(*faults: str) -> Site:
    of = unit(HIGH_LEG)
    return Site(of, [Row((of.faults[one],)) for one in faults], 1)


def volts(at: Site, work: Work, rows: Rows = ONE) -> list[float]:
    shown = at.read(work, rows, Condition(), Function.VOLTS, LINE, When.AT_REST)
    return [round(float(one)) for one in shown.value]


def test_hands_would_meet_volts_until_everything_ahead_of_them_is_off() -> None:
    at = site("thermostat dead")
    feeder = ["disconnect.line.L1", "disconnect.line.L2"]
    off = Work().switched("disconnect", on=False)
    assert at.live(Work(), ONE, LINE).all()
    assert not at.live(off, ONE, LINE).any()
    assert at.live(off, ONE, feeder).all()
    assert not at.live(off.switched("breaker", on=False), ONE, feeder).any()


def test_a_device_stands_as_it_was_found_until_somebody_switches_it() -> None:
    at = site("disconnect left off", "thermostat dead")
    both = np.array([0, 1])
    assert volts(at, Work(), both)[0] == 0
    assert volts(at, Work(), both)[1] > 200
    on = Work().switched("disconnect", on=True)
    assert min(volts(at, on, both)) > 200


def test_what_tripped_stays_open_until_it_is_reset_and_opens_again() -> None:
    at = site("contactor shorted between legs")
    assert volts(at, Work()) == [0]
    at.reset(ONE, "breaker")
    at.happened(Work(closed=frozenset({"breaker"})), ONE)
    assert volts(at, Work()) == [0]


def test_a_blown_control_fuse_is_put_in_new_with_a_repair_and_not_before() -> None:
    at = site("cable R to C shorted")
    where = ("board.R", "board.C")

    def control(work: Work) -> float:
        shown = at.read(work, ONE, Condition(calls=CALL), Function.VOLTS, where, When.RUNNING)
        return float(shown.value[0])

    assert control(Work()) < 3
    mended = Work(repaired=frozenset({"cable-shorted"}))
    assert control(mended) < 3
    at.replaced(ONE)
    assert control(mended) > 20


def test_a_condition_is_settled_once_for_a_row_and_a_reading_taken_once() -> None:
    at = site("thermostat dead", "wrong tap", "drain blocked")
    rows = np.array([0, 1, 2])
    first = volts(at, Work(), rows)
    settles = at.settles
    assert volts(at, Work(), np.array([2, 0])) == [first[2], first[0]]
    assert at.settles == settles

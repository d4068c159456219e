"""The shipped units on the bench, loaded once, and readings of theirs in a few words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import numpy as np
from numpy.typing import NDArray

from engine.loader.units import load_unit
from engine.reading import Function
from engine.unit.bench import Bench, Settled, When
from engine.unit.condition import Condition
from engine.unit.faults import Change, Fault, Row
from engine.unit.unit import Unit

SINGLE = "3-ton-high-leg"
THREE = "7-5-ton-208y"
HIGH = "5-ton-480y"
UNITS = (SINGLE, THREE, HIGH)
CALL = Condition(calls=frozenset({"Y", "G"}))
COOLING_OFF = Condition()


@cache
def unit(name: str) -> Unit:
    loaded = load_unit(name)
    assert [str(one) for one in loaded.problems] == []
    assert loaded.unit is not None
    return loaded.unit


def fault(name: str, *changes: tuple[str, float], while_running: bool = False) -> Fault:
    """Return a fault of a test's own: parameter and value."""
    made = tuple(Change(param, value) for param, value in changes)
    return Fault(name, "test", made, while_running=while_running)


def settled(
    name: str, faults: Sequence[Fault | str] = (), condition: Condition = CALL, variation: int = 0
) -> Settled:
    """Return one unit with faults, named or made, in a condition."""
    of = unit(name)
    row = Row(tuple(of.faults[one] if isinstance(one, str) else one for one in faults), variation)
    return Bench(of, [row]).settle(condition)


def reads(what: Settled, function: Function, *points: str, when: When = When.RUNNING) -> float:
    """Return one reading in its base unit; infinite for OL, nan for what is refused."""
    shown = what.read(function, points, when)
    if shown.live[0]:
        return float("nan")
    return float("inf") if shown.over[0] else float(shown.value[0])


def volts(what: Settled, a: str, b: str = "ground", when: When = When.RUNNING) -> float:
    return reads(what, Function.VOLTS, a, b, when=when)


def amps(what: Settled, point: str, when: When = When.RUNNING) -> float:
    return reads(what, Function.CLAMP_AMPS, point, when=when)


def first(values: NDArray[np.generic]) -> float:
    return float(np.asarray(values).ravel()[0])


def off(condition: Condition, *devices: str) -> Condition:
    return replace(condition, open=condition.open | set(devices))

"""Leads a technician through a tree by answers that name steps, for tests of single moments."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from random import Random

from engine.guide.prompt import Now, Prompt
from engine.loader.library import load
from engine.tree import WalkTree
from tests.technician import GOOD, Technician, shipped

HERE = Path(__file__).parent

USUAL: Mapping[str, str] = {
    "phases": "3",
    "thermostat_power": "2",
    "battery_volts": "3",
    "fitted": "1 3 4 5",
    "rated_volts": "208-230",
    "r-to-c": "0.2",
    "r-to-g": "0.1",
    "r-to-c-unit": "24.1",
    "line-volts": "209 208 210 121 120 120",
    "capacitor": "45 uF",
    "rated_capacitance": "45",
    "transformer_tap": "208",
}
"""What is answered where a test says nothing: 24 V at the unit and none at the wall."""


@cache
def small(name: str = "hums") -> WalkTree:
    """Return a small tree: a compressor that hums, or one that sorts by what was never read."""
    walk = load(str(HERE / f"{name}.yaml")).walk
    assert walk is not None
    return walk


def begin(walk: WalkTree | None = None) -> Technician:
    """Return a technician at the first step."""
    return Technician(walk or shipped(), Random(0))


def lead(
    technician: Technician, to: str, answers: Mapping[str, str] | None = None, most: int = 90
) -> Technician:
    """Answer until the walk stands at a step, named by its whole name or the end of it.

    A step is answered as the test says, else as usual, else by what goes well.
    """
    said = {**USUAL, **(answers or {})}
    for _ in range(most):
        shown = technician.shown
        if shown.now is Now.ENDED or (is_at(shown, to) and not shown.field):
            break
        reply = technician.enter(line_for(shown, said))
        assert reply.taken, (shown.step, reply.refused)
        assert reply.entries, (shown.step, reply.lines)
    assert is_at(technician.shown, to), f"at {technician.shown.step or 'the end'}, not {to}"
    return technician


def is_at(shown: Prompt, step: str) -> bool:
    """Return whether a prompt is that of a step."""
    return shown.step == step or shown.step.endswith(f"/{step}")


def line_for(shown: Prompt, said: Mapping[str, str]) -> str:
    name = shown.field.name if shown.field else shown.step
    while name not in said and "/" in name:
        name = name.partition("/")[2]
    if name in said:
        return said[name]
    if shown.field:
        return ""
    if shown.now is Now.WAIT:
        return "over"
    if shown.asked:
        return " ".join(GOOD.get(spot.reading, f"0.1 {how.symbol}") for spot, how in shown.asked)
    return "1" if shown.choices else ""


def enter(technician: Technician, *lines: str) -> Technician:
    """Type lines, each of which has to be taken."""
    for line in lines:
        reply = technician.enter(line)
        assert reply.taken, (line, reply.refused)
    return technician


def come_back(technician: Technician) -> None:
    """Leave the work and come back to it."""
    enter(technician, "l")
    technician.come_back()

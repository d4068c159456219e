"""Trials: what one walk of a batch costs, in time and in dense solutions of the unit's size."""

from __future__ import annotations

import time
from collections.abc import Iterator

import numpy as np

from engine.loader.library import load
from engine.loader.units import load_unit
from engine.trial.belonging import belongs
from engine.trial.walking import walk_all
from engine.unit.faults import Row
from tests.bench.__main__ import Measured
from tests.bench.timing import call

FAULTS, VARIATIONS, RUNS = 12, 100, 2
MOST_SOLVES = 80.0
"""Solutions that a walk may cost."""
TRIED = (
    ("blank-thermostat", "3-ton-high-leg", 1000.0),
    ("blank-thermostat", "7-5-ton-208y", 600.0),
    ("unit-trips-breaker", "3-ton-high-leg", 300.0),
)
"""Tree, unit, and how many walks a second there should be at least.

The first two are walks of some 25 steps in eight conditions; those of the other tree are thrice as
long, in twenty.
"""


def figures() -> Iterator[Measured]:
    """Yield each figure."""
    for tree, name, least in TRIED:
        taken, solved = _walk(tree, name)
        words = f"a walk of {tree}, {name}"
        yield Measured(words, taken * 1e3, 1e3 / least, "ms")
        yield Measured(f"{words}, in solutions", taken / solved, MOST_SOLVES, "x solve")


def _walk(tree: str, name: str) -> tuple[float, float]:
    """Return the seconds that a walk of a batch takes, and those of one dense solution."""
    walk, unit = load(tree).walk, load_unit(name).unit
    assert walk is not None
    assert unit is not None
    faults = [unit.faults[one] for one in belongs(walk, unit)[::2]][:FAULTS]
    faults += [unit.faults[one] for one in belongs(walk, unit)[1::2]][: FAULTS - len(faults)]
    rows = [Row((fault,), at) for fault in faults for at in range(VARIATIONS)]
    least = float("inf")
    for _ in range(RUNS):
        begun = time.process_time()
        walk_all(walk, unit, rows)
        least = min(least, time.process_time() - begun)
    return least / len(rows), _solution(len(unit.netlist.nodes))


def _solution(size: int, several: int = 200) -> float:
    """Return the seconds of one of several dense solutions of a size."""
    chance = np.random.default_rng(1)
    matrix = chance.normal(size=(several, size, size)) + 1j * np.eye(size)
    right = np.ones((several, size, 1), dtype=np.complex128)
    return call(lambda: np.linalg.solve(matrix, right), runs=5) / several

"""The simulated unit: one settling for the screen, many for a trial, against one plain solution."""

from __future__ import annotations

import time
from collections.abc import Iterator

import numpy as np

from engine.loader.units import load_unit
from engine.unit.bench import Bench
from engine.unit.condition import Condition
from engine.unit.faults import Row
from engine.unit.unit import Unit
from tests.bench.__main__ import Measured
from tests.bench.timing import call

ROWS = 1200
RUNS = 15
UNITS = ("3-ton-high-leg", "7-5-ton-208y")
CALL = Condition(calls=frozenset({"Y", "G"}))


def figures() -> Iterator[Measured]:
    """Yield each figure."""
    for name in UNITS:
        unit = load_unit(name).unit
        assert unit is not None
        yield _one(unit)
        yield _batched(unit)


def _one(unit: Unit) -> Measured:
    """Return the processor's time for one new condition: what a screen waits for."""
    bench = Bench(unit, [Row()])
    taken = []
    for _ in range(RUNS):
        begun = time.process_time()
        bench.settle(CALL)
        taken.append(time.process_time() - begun)
    return Measured(f"one settling, {unit.name}", min(taken) * 1e3, 10.0, "ms")


def _batched(unit: Unit) -> Measured:
    """Return what a row of a batch costs, in dense solutions of the same size."""
    faults = list(unit.faults.values())[:12]
    rows = [Row((fault,), at) for fault in faults for at in range(ROWS // 12)]
    bench = Bench(unit, rows)
    settled = call(lambda: bench.settle(CALL), runs=2) / ROWS
    size, several = len(unit.netlist.nodes), 200
    chance = np.random.default_rng(1)
    matrix = chance.normal(size=(several, size, size)) + 1j * np.eye(size)
    right = np.ones((several, size, 1), dtype=np.complex128)
    solved = call(lambda: np.linalg.solve(matrix, right), runs=3) / several
    return Measured(f"a row of {ROWS} settling, {unit.name}", settled / solved, 10.0, "x solve")

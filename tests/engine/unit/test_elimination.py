"""The fixed-order elimination against a dense solution with pivots (numpy's LAPACK)."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.unit.elimination import Factored, Plan

ROWS = 3


def random_circuit(
    seed: int, size: int, extra: int
) -> tuple[list[tuple[int, int]], np.ndarray[tuple[int, ...], np.dtype[np.complex128]]]:
    """Return joined pairs and a dense matrix [rows, size, size] of admittances between them."""
    chance = np.random.default_rng(seed)
    pairs = {(int(chance.integers(0, node)), node) for node in range(1, size)}
    for _ in range(extra):
        one, other = sorted(int(node) for node in chance.integers(0, size, 2))
        if one != other:
            pairs.add((one, other))
    dense = np.zeros((ROWS, size, size), dtype=np.complex128)
    for one, other in sorted(pairs):
        y = 10.0 ** chance.uniform(-3, 3, ROWS) * np.exp(1j * chance.uniform(-1.2, 1.2, ROWS))
        dense[:, one, other] -= y
        dense[:, other, one] -= y
        dense[:, one, one] += y
        dense[:, other, other] += y
    leak = 10.0 ** chance.uniform(-4, -1, (ROWS, size))
    dense[:, np.arange(size), np.arange(size)] += leak
    return sorted(pairs), dense


def solved(
    plan: Plan,
    dense: np.ndarray[tuple[int, ...], np.dtype[np.complex128]],
    right: np.ndarray[tuple[int, ...], np.dtype[np.complex128]],
) -> np.ndarray[tuple[int, ...], np.dtype[np.complex128]]:
    entries = np.zeros((plan.entries + 1, ROWS), dtype=np.complex128)
    for (row, column), at in plan.entry.items():
        entries[at] = dense[:, row, column]
    sums = np.zeros((plan.size + 1, ROWS), dtype=np.complex128)
    sums[: plan.size] = dense.sum(axis=2).T
    factored = Factored(plan, entries, sums)
    sides = np.zeros((plan.size + 1, 1, ROWS), dtype=np.complex128)
    sides[: plan.size, 0] = right.T
    last = factored.forward(sides)
    answer = np.linalg.solve(factored.dense(), last) if last.shape[1] else last
    return np.asarray(factored.backward(sides, answer)[: plan.size, 0].T)


@given(st.integers(0, 10**6), st.integers(2, 40), st.integers(0, 30), st.integers(0, 6))
@settings(max_examples=60)
def test_it_agrees_with_a_dense_solution(seed: int, size: int, extra: int, last: int) -> None:
    pairs, dense = random_circuit(seed, size, extra)
    chance = np.random.default_rng(seed + 1)
    right = chance.normal(size=(ROWS, size)) + 1j * chance.normal(size=(ROWS, size))
    plan = Plan(size, pairs, sorted(chance.permutation(size)[: min(last, size)].tolist()))
    expected = np.linalg.solve(dense, right[:, :, None])[:, :, 0]
    found = solved(plan, dense, right)
    assert np.abs(found - expected).max() <= 1e-7 * np.abs(expected).max()


def test_a_stray_beside_a_contact_keeps_its_digits() -> None:
    # Two nodes joined by 1 mohm, with 1e-9 S and 3e-9 S to earth and 1 nA fed in: by hand,
    # volts = 1e-9 / 4e-9. Stored diagonals would lose five digits of the strays.
    plan = Plan(2, [(0, 1)], [])
    entries = np.full((3, 1), -1e3)
    entries[2] = 0
    sums = np.array([[1e-9], [3e-9], [0.0]])
    sides = np.array([[[1e-9]], [[0.0]], [[0.0]]])
    factored = Factored(plan, entries, sums)
    volts = factored.backward(sides, factored.forward(sides))
    assert volts[1, 0, 0] == pytest.approx(0.25, rel=1e-11)

"""A thousand random matrices against the plain recursion, and how far rollout is from the best.

The eight rows of the second test are those by which greedy choice and rollout were compared when
the method was chosen; what is held is what was asked then: 3 % over the optimum on average, 9 % at
the 95th percentile.
"""

from __future__ import annotations

import random
from statistics import mean

import pytest

from engine.suspects.ranking import rank
from tests.matrices import optimum, random_matrix

ROWS = [
    (12, 20, "equal", False, 0.5),
    (12, 20, "mild", False, 0.5),
    (12, 20, "skewed", False, 0.5),
    (12, 20, "skewed", True, 0.5),
    (12, 20, "mild", True, 0.3),
    (12, 20, "dominant", True, 0.3),
    (12, 12, "skewed", True, 0.3),
    (8, 10, "skewed", True, 0.4),
]
"""Suspects, checks, prior, whether minutes differ, how often a check shows the second outcome."""
EACH = 60


@pytest.mark.parametrize("block", range(10))
def test_a_thousand_random_matrices_equal_the_optimum(block: int) -> None:
    for seed in range(100 * block, 100 * block + 100):
        rng = random.Random(seed)
        prior = ("equal", "mild", "skewed", "dominant")[seed % 4]
        matrix = random_matrix(rng, 12, 20, prior=prior, density=rng.choice([0.3, 0.4, 0.5]))
        expected = optimum(matrix)
        assert rank(matrix, {}).minutes == pytest.approx(expected, rel=1e-9, abs=1e-9)


def test_rollout_is_near_the_optimum() -> None:
    over: list[float] = []
    for number, (suspects, checks, prior, costs, density) in enumerate(ROWS):
        row = []
        for seed in range(EACH):
            rng = random.Random(1000 * number + seed)
            matrix = random_matrix(rng, suspects, checks, prior=prior, costs=costs, density=density)
            row.append(rank(matrix, {}, most_states=0).minutes / rank(matrix, {}).minutes - 1)
        assert min(row) > -1e-9
        print(f"{ROWS[number]}: {_told(row)}")
        over += row
    print(f"all {len(over)}: {_told(over)}")
    assert mean(over) <= 0.03
    assert sorted(over)[len(over) * 95 // 100] <= 0.09


def _told(over: list[float]) -> str:
    ordered = sorted(over)
    part = ordered[len(ordered) * 95 // 100]
    return f"mean {mean(over):.2%}, 95th percentile {part:.2%}, most {ordered[-1]:.2%}"

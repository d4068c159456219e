"""The next check: suspects and checks of random matrices, with what access costs."""

from __future__ import annotations

import random
import time
from collections.abc import Iterator

from engine.matrix import Matrix
from engine.suspects.planning import MOST_STATES
from engine.suspects.ranking import rank
from tests.bench.__main__ import Measured
from tests.bench.timing import percentile
from tests.matrices import random_matrix

SUSPECTS, CHECKS = 14, 20
FLOOR = 100.0
PART = 95
EACH = 60


def figures() -> Iterator[Measured]:
    """Yield the milliseconds to the next check, exactly and by rollout, with 1 and 8 accesses."""
    for accesses in (1, 8):
        made = [
            random_matrix(random.Random(seed), SUSPECTS, CHECKS, accesses=accesses)
            for seed in range(EACH)
        ]
        for most, how in ((MOST_STATES, "exact"), (0, "rollout")):
            size = f"{SUSPECTS} x {CHECKS}, {accesses} accesses"
            name = f"next check, {size}, {how}, {PART}th percentile"
            yield Measured(name, 1000 * percentile([*_taken(made, most)], PART), FLOOR, "ms")


def _taken(made: list[Matrix], most: int) -> Iterator[float]:
    for matrix in made:
        begun = time.perf_counter()
        rank(matrix, {}, most_states=most)
        yield time.perf_counter() - begun

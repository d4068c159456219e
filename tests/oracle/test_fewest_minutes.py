"""The fewest expected minutes, found by algorithms that share nothing with the engine's.

Random matrices: plain recursion over sets (`tests.matrices.optimum`). Chains: the optimal
alphabetic tree by dynamic programming over intervals (Knuth 1971, from memory). Every possible
check: Huffman's algorithm (1952, from memory).
"""

from __future__ import annotations

import heapq
import random
from functools import cache
from itertools import accumulate

import pytest

from engine.matrix import Check, Matrix, plain_check
from engine.suspects.planning import Method
from engine.suspects.ranking import rank
from tests.matrices import optimum, random_matrix


@pytest.mark.parametrize("seed", range(12))
def test_random_matrices_equal_the_optimum(seed: int) -> None:
    matrix = random_matrix(random.Random(seed), 12, 20, prior=("mild", "skewed")[seed % 2])
    found = rank(matrix, {})
    assert found.method is Method.EXACT
    assert found.minutes == pytest.approx(optimum(matrix), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_so_they_do_where_access_costs(seed: int) -> None:
    rng = random.Random(seed)
    matrix = random_matrix(rng, 8, 10, accesses=rng.randint(2, 8))
    found = rank(matrix, {}, access=1)
    assert found.minutes == pytest.approx(optimum(matrix, 1), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("seed", range(8))
def test_what_the_next_check_leads_to_is_what_it_promised(seed: int) -> None:
    """The value of a check is its minutes and what is expected after each of its outcomes."""
    matrix = random_matrix(random.Random(100 + seed), 9, 12, density=0.4)
    found = rank(matrix, {})
    assert found.next is not None
    check = matrix.check(found.next)
    minutes = check.minutes
    for outcome in ("0", "1"):
        after = rank(matrix, {found.next: outcome})
        fitting = [one for one, row in check.shows.items() if outcome in row]
        minutes += after.minutes * sum(found.belief.remaining[one] for one in fitting)
    assert found.minutes == pytest.approx(minutes, rel=1e-9)


@pytest.mark.parametrize("seed", range(10))
def test_chains_are_optimal_alphabetic_trees(seed: int) -> None:
    rng = random.Random(seed)
    count = rng.randint(3, 30)
    priors = [rng.random() + 0.01 for _ in range(count)]
    minutes = [float(rng.randint(1, 9)) for _ in range(count - 1)]
    names = [f"part {at:02}" for at in range(count)]
    checks = [
        plain_check(f"cut {cut:02}", minutes[cut], {n: str(at > cut) for at, n in enumerate(names)})
        for cut in range(count - 1)
    ]
    sums = [0.0, *accumulate(priors)]

    @cache
    def fewest(first: int, last: int) -> float:
        if first == last:
            return 0.0
        mass = sums[last + 1] - sums[first]
        return min(
            minutes[cut] * mass + fewest(first, cut) + fewest(cut + 1, last)
            for cut in range(first, last)
        )

    found = rank(Matrix(dict(zip(names, priors, strict=True)), tuple(checks)), {})
    assert found.method is Method.EXACT  # thirty suspects, few intervals
    assert found.minutes == pytest.approx(fewest(0, count - 1) / sums[-1], rel=1e-9)


@pytest.mark.parametrize("seed", range(6))
def test_every_possible_check_is_huffman(seed: int) -> None:
    rng = random.Random(seed)
    priors = [rng.random() + 0.01 for _ in range(rng.randint(2, 8))]
    names = [f"s{at}" for at in range(len(priors))]
    checks = [
        plain_check(f"{cut:03}", 1.0, {n: str(cut >> at & 1) for at, n in enumerate(names)})
        for cut in range(1, 2 ** (len(priors) - 1))
    ]
    heap, expected = sorted(priors), 0.0
    while len(heap) > 1:
        joined = heapq.heappop(heap) + heapq.heappop(heap)
        expected += joined
        heapq.heappush(heap, joined)
    found = rank(Matrix(dict(zip(names, priors, strict=True)), tuple(checks)), {})
    assert found.minutes == pytest.approx(expected / sum(priors), rel=1e-9)


@pytest.mark.parametrize("seed", range(10))
def test_noisy_checks_equal_a_plain_recursion(seed: int) -> None:
    """Likelihoods: every check at most once, finished at 0.95 or where nothing parts any more."""
    rng = random.Random(seed)
    names = [f"s{at}" for at in range(4)]
    weights = {name: rng.random() + 0.05 for name in names}
    checks = []
    for number in range(5):
        odds = {name: rng.choice([0.05, 0.3, 0.8, 0.97, 1.0]) for name in names}
        shows = {n: {"+": p, "-": 1 - p} if p < 1 else {"+": 1.0} for n, p in odds.items()}
        checks.append(Check(f"c{number}", float(rng.randint(1, 6)), shows))

    def fewest(left: dict[str, float], made: frozenset[str]) -> float:
        whole = sum(left.values())
        live = {name: one for name, one in left.items() if one}
        if max(live.values()) >= 0.95 * whole:
            return 0.0
        best = None
        for check in checks:
            parts = len({tuple(sorted(check.shows[name].items())) for name in live}) > 1
            if check.name in made or not parts:
                continue
            minutes = check.minutes * whole
            for outcome in "+-":
                after = {n: one * check.shows[n].get(outcome, 0.0) for n, one in live.items()}
                if sum(after.values()):
                    minutes += fewest(after, made | {check.name})
            best = minutes if best is None else min(best, minutes)
        return best or 0.0

    found = rank(Matrix(weights, tuple(checks), by_odds=True), {})
    expected = fewest(weights, frozenset()) / sum(weights.values())
    assert found.minutes == pytest.approx(expected, rel=1e-9, abs=1e-9)

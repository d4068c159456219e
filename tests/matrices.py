"""Random matrices, and the fewest minutes by a solver that shares nothing with the engine's.

`optimum` is the plain recursion over frozen sets of suspects, all probabilities worked out from
the matrix as it is written.
"""

from __future__ import annotations

import random
from functools import cache

from engine.matrix import Matrix, plain_check


def random_matrix(
    rng: random.Random,
    suspects: int,
    checks: int,
    *,
    prior: str = "skewed",
    costs: bool = True,
    density: float = 0.5,
    accesses: int = 1,
) -> Matrix:
    """Return a matrix with checks of two outcomes.

    ``prior`` is equal, mild, skewed or dominant (one suspect, on which no check shows anything,
    outweighs all others); ``density`` is how often a check shows the second outcome.
    """
    weights = _weights(rng, suspects, prior)
    names = [f"s{at}" for at in range(suspects)]

    def shown(at: int) -> str:
        hit = rng.random() < density
        return "1" if hit and not (prior == "dominant" and at == 0) else "0"

    made = [
        plain_check(
            f"c{number}",
            float(rng.randint(1, 13)) if costs else 1.0,
            {name: shown(at) for at, name in enumerate(names)},
            access=rng.randrange(accesses),
        )
        for number in range(checks)
    ]
    changes = tuple(
        tuple(0.0 if a == b else float(rng.randint(2, 15)) for b in range(accesses))
        for a in range(accesses)
    )
    return Matrix(dict(zip(names, weights, strict=True)), tuple(made), changes)


def _weights(rng: random.Random, suspects: int, prior: str) -> list[float]:
    if prior == "equal":
        return [1.0] * suspects
    if prior == "skewed":
        return [rng.random() ** 4 + 1e-3 for _ in range(suspects)]
    weights = [rng.uniform(0.5, 1.5) for _ in range(suspects)]
    if prior == "dominant":
        weights[0] = sum(weights[1:]) * rng.uniform(1, 4)
    return weights


def optimum(matrix: Matrix, access: int = 0) -> float:
    """Return the fewest expected minutes, for checks that are never wrong."""
    shows = [
        {name: next(iter(one)) for name, one in check.shows.items()} for check in matrix.checks
    ]
    whole = sum(matrix.suspects.values())

    @cache
    def fewest(left: frozenset[str], here: int) -> float:
        best = None
        mass = sum(matrix.suspects[name] for name in left)
        for check, row in zip(matrix.checks, shows, strict=True):
            cells: dict[str, set[str]] = {}
            for name in left:
                cells.setdefault(row[name], set()).add(name)
            if len(cells) < 2:
                continue
            minutes = mass * (check.minutes + matrix.changes[here][check.access])
            minutes += sum(fewest(frozenset(cell), check.access) for cell in cells.values())
            best = minutes if best is None else min(best, minutes)
        return best or 0.0

    return fewest(frozenset(matrix.suspects), access) / whole

"""A tree tried on a unit, from the rows to what comes of them.

Owns `try_tree`: the rows are walked, those that part by signs are walked crossed, the best order is
reckoned, and all of it is scored.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Executor

from engine.tree import WalkTree
from engine.trial.best import best_minutes
from engine.trial.handing import batches, hand_out
from engine.trial.parting import crossings, nominal, parting
from engine.trial.result import Trial
from engine.trial.scoring import score
from engine.trial.walked import Walked
from engine.unit.faults import Row
from engine.unit.unit import Unit


def try_tree(
    walk: WalkTree,
    unit: Unit,
    rows: Sequence[Row],
    seed: int,
    executor: Executor | None = None,
    number: int = 1,
    told: Callable[[int], None] = lambda rows: None,
) -> tuple[Trial, list[Walked]]:
    """Return what a tree comes to on a unit, and every row as it was walked.

    ``number`` is into how many batches the rows are handed out; ``told`` hears how many are walked.
    Raises what the executor raises.
    """
    walked = hand_out(batches(walk, unit, rows, seed, number), executor, told)
    own = nominal(walked)
    crossed = crossings(walk, unit, own)
    besides = batches(walk, unit, list(crossed.values()), seed, number)
    parted = parting(walk, own, dict(zip(crossed, hand_out(besides, executor), strict=True)))
    samples = max((one.variation for one in rows), default=0)
    best = best_minutes(walk, unit, walked)
    return score(walk, unit, walked, samples, seed, best, parted), walked

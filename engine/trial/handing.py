"""Rows handed out to be walked: in this process, or by any `concurrent.futures.Executor`.

Owns `Batch` and `hand_out`. Rows depend on nothing but their own seed, fault and variation, so
however they are handed out the same comes back. All faults of a variation go into one batch: what
they have in common is settled once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import Executor, as_completed
from dataclasses import dataclass
from itertools import combinations

from engine.tree import WalkTree
from engine.trial.walked import Walked
from engine.trial.walking import walk_all
from engine.unit.faults import Fault, Row
from engine.unit.unit import Unit


@dataclass(frozen=True, slots=True)
class Batch:
    """Rows that are walked together; everything a worker process needs."""

    walk: WalkTree
    unit: Unit
    rows: tuple[Row, ...]
    seed: int


def rows_of(unit: Unit, faults: Iterable[str], samples: int, *, pairs: bool = False) -> list[Row]:
    """Return every row of a trial: each fault nominal and in ``samples`` variations.

    With ``pairs`` also every two faults of different suspects together, on the nominal unit.
    """
    chosen: list[Fault] = [unit.faults[name] for name in faults]
    single = [Row((fault,), variation) for variation in range(samples + 1) for fault in chosen]
    double = [
        Row(two) for two in combinations(chosen, 2) if pairs and two[0].suspect != two[1].suspect
    ]
    return [*single, *double]


def batches(
    walk: WalkTree, unit: Unit, rows: Sequence[Row], seed: int, number: int = 1
) -> list[Batch]:
    """Return the rows in so many batches, in their order: fewer and larger ones take less work."""
    size = max(1, -(-len(rows) // number))
    return [
        Batch(walk, unit, tuple(rows[start : start + size]), seed)
        for start in range(0, len(rows), size)
    ]


def hand_out(
    several: Sequence[Batch],
    executor: Executor | None = None,
    told: Callable[[int], None] = lambda rows: None,
) -> list[Walked]:
    """Return what came of every row, in the order of the batches; ``told`` how many are walked.

    Without an executor they are walked here, one after the other. What is not begun when somebody
    stops it is not begun any more.
    """
    if executor is None:
        return [one for batch in several for one in walk_batch(batch, told)]
    futures = {executor.submit(walk_batch, batch): at for at, batch in enumerate(several)}
    try:
        for future in as_completed(futures):
            future.result()
            told(len(several[futures[future]].rows))
    except BaseException:
        for future in futures:
            future.cancel()
        raise
    return [one for future in futures for one in future.result()]


def walk_batch(batch: Batch, told: Callable[[int], None] = lambda rows: None) -> list[Walked]:
    """Walk a batch: what is handed to a worker, which tells nothing till it has done."""
    return walk_all(batch.walk, batch.unit, batch.rows, batch.seed, told)

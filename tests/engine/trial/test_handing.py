"""However rows are handed out, the same comes back: batches, executors, one of somebody's own."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Executor, Future
from typing import ParamSpec, TypeVar

import pytest

from engine.trial.handing import Batch, batches, hand_out, rows_of
from engine.trial.walked import Walked
from tests.engine.trial.trees import HIGH_LEG, tree, unit

P = ParamSpec("P")
T = TypeVar("T")
FAULTS = ("fuse 1 blown", "cable R to C shorted", "drain blocked")


class Backwards(Executor):
    """Somebody's own executor: it keeps everything, and does the last first."""

    def __init__(self) -> None:
        self._kept: list[Callable[[], None]] = []

    def submit(self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
        future: Future[T] = Future()
        self._kept.append(lambda: future.set_result(fn(*args, **kwargs)))
        if len(self._kept) == 3:
            while self._kept:
                self._kept.pop()()
        return future


def handed(number: int, executor: Executor | None, told: Callable[[int], None]) -> list[Walked]:
    walk, high_leg = tree("blank-thermostat"), unit(HIGH_LEG)
    rows = rows_of(high_leg, FAULTS, 3)
    return hand_out(batches(walk, high_leg, rows, 1, number), executor, told)


def test_another_executor_can_take_its_place() -> None:
    told: list[int] = []
    whole = handed(1, None, told.append)
    assert sum(told) == len(whole) == 12
    assert len(told) > 1
    told.clear()
    assert handed(3, Backwards(), told.append) == whole
    assert told == [4, 4, 4]
    assert [(one.faults[0], one.variation) for one in whole[:4]] == [
        *((fault, 0) for fault in FAULTS),
        (FAULTS[0], 1),
    ]


def test_what_goes_wrong_in_a_worker_is_raised_and_the_rest_is_let_go() -> None:
    class Waiting(Executor):
        """An executor of which only the first task is ever done, and fails."""

        def __init__(self) -> None:
            self.given: list[Future[object]] = []

        def submit(self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
            future: Future[T] = Future()
            if not self.given:
                future.set_exception(KeyboardInterrupt())
            self.given.append(future)  # type: ignore[arg-type]
            return future

    waiting = Waiting()
    walk, high_leg = tree("blank-thermostat"), unit(HIGH_LEG)
    several = [Batch(walk, high_leg, (row,), 1) for row in rows_of(high_leg, FAULTS, 0)]
    with pytest.raises(KeyboardInterrupt):
        hand_out(several, waiting)
    assert [one.cancelled() for one in waiting.given] == [False, True, True]


def test_the_rows_of_a_trial_are_every_fault_in_every_variation() -> None:
    high_leg = unit(HIGH_LEG)
    rows = rows_of(high_leg, FAULTS, 2)
    assert len(rows) == 3 * len(FAULTS)
    assert {row.variation for row in rows} == {0, 1, 2}


def test_pairs_are_of_different_suspects_and_nominal() -> None:
    high_leg = unit(HIGH_LEG)
    alike = ("fuse 1 blown", "fuse 2 blown", "drain blocked")
    rows = [row for row in rows_of(high_leg, alike, 2, pairs=True) if len(row.faults) == 2]
    assert [row.key for row in rows] == ["fuse 1 blown+drain blocked", "fuse 2 blown+drain blocked"]
    assert {row.variation for row in rows} == {0}

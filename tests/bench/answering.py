"""From an answer to the next step: the line taken, folded in, written down, and what comes next."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from engine.guide.visit import Visit
from engine.job.store import Header, create
from engine.loader.library import load
from engine.tree import WalkTree
from tests.bench.__main__ import Measured
from tests.bench.large_tree import tree_text
from tests.bench.timing import percentile

STEPS = 300
FLOOR = 50.0
PART = 95
RUNS = 3


def figures() -> Iterator[Measured]:
    """Yield the milliseconds from Enter to the next step, over a walk of 300 readings."""
    with tempfile.TemporaryDirectory() as folder:
        walk = large(Path(folder))
        walks = [_walked(walk, Path(folder) / str(number)) for number in range(RUNS)]
    taken = min(percentile(one, PART) for one in walks)
    name = f"answer to next step, {STEPS} steps, {PART}th percentile"
    yield Measured(name, 1000 * taken, FLOOR, "ms")


def large(folder: Path) -> WalkTree:
    """Return the large tree ready to walk."""
    file = folder / "large.yaml"
    file.write_text(tree_text(STEPS), encoding="utf-8", newline="\n")
    walk = load(str(file)).walk
    assert walk is not None
    return walk


def _walked(walk: WalkTree, folder: Path) -> list[float]:
    now = datetime(2026, 3, 2, 8, tzinfo=UTC)
    job = create(folder / "jobs", Header("", now.isoformat(), "Ana"))
    visit = Visit(job, walk, lambda: now + timedelta(seconds=len(job.entries)), "Ana")
    visit.begin()
    taken: list[float] = []
    while not visit.state.end:
        line = _line(visit)
        begun = time.perf_counter()
        shown = visit.enter(line)
        visit.prompt()
        taken.append(time.perf_counter() - begun)
        assert not shown.refused, shown.refused
    return taken


def _line(visit: Visit) -> str:
    shown = visit.prompt()
    if shown.asked:
        return "24.1"
    return str(shown.choices[-1].number) if shown.title == "The end of it" else "1"

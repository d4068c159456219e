"""How long the proofs of a large tree take, and that twice the tree takes about twice as long."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

from engine.loader.library import load
from engine.tree import WalkTree
from engine.verify.proof import Verdict
from engine.verify.proving import prove
from tests.bench.__main__ import Measured
from tests.bench.rooms import tree_text
from tests.bench.timing import call

MANY = 10_000
WHOLE, LINEAR = 2.0, 1.5


def figures() -> Iterator[Measured]:
    """Yield the seconds that a large tree is proved in, and how they grow with the tree."""
    few, many = (_expanded(size) for size in (MANY, 2 * MANY))
    once = call(lambda: _proved(few), runs=1)
    yield Measured(f"proofs of {MANY} steps, four zones", once, WHOLE, "s")
    twice = call(lambda: _proved(many), runs=1) / (2 * once)
    yield Measured(f"proofs of {2 * MANY} steps, by step, over {MANY}", twice, LINEAR, "times")


def _expanded(size: int) -> WalkTree:
    """Return a tree of at least so many steps, procedures and stages written out."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "rooms.yaml"
        file.write_text(tree_text(size), encoding="utf-8", newline="\n")
        walk = load(str(file)).walk
    assert walk is not None
    assert len(walk.steps) >= size
    return walk


def _proved(walk: WalkTree) -> None:
    open_ = [one.name for one in prove(walk).results if one.verdict is not Verdict.PROVED]
    assert not open_, f"what is timed is a proof, and this is none: {open_}"

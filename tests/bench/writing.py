"""How long a saved file takes to be seen whole: loaded, drawn in text and proved."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

from engine.authoring import drawn, studied, with_proof
from tests.bench.__main__ import Measured
from tests.bench.large_tree import tree_text
from tests.bench.timing import call

STEPS, SEEN = 200, 0.5


def figures() -> Iterator[Measured]:
    """Yield the seconds from a save to the whole picture of a tree."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "large.yaml"
        file.write_text(tree_text(STEPS), encoding="utf-8", newline="\n")
        seconds = call(lambda: _seen(file), runs=5)
    yield Measured(f"load, proof and drawing of {STEPS} steps being written", seconds, SEEN, "s")


def _seen(file: Path) -> None:
    study = studied(file, None)
    assert study.walk is not None
    assert len(drawn(study.walk)) > STEPS
    assert with_proof(study).proof is not None

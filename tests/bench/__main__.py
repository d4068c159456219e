"""The figures to keep, as ratios measured in one run: ``python -m tests.bench``.

A line passes up to its floor, is marked ``over`` beyond it, and fails the run beyond three times
the floor: a shared machine is noisy, a lost order of magnitude is not. Bytecode is compiled first,
and numeric libraries get one thread.
"""

from __future__ import annotations

import compileall
import os
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
TOO_MUCH = 3
"""Times a floor at which the run fails."""


@dataclass(frozen=True)
class Measured:
    """One figure against its floor, both in the same unit."""

    name: str
    value: float
    floor: float
    unit: str

    @property
    def word(self) -> str:
        """Whether it keeps its floor."""
        if self.value <= self.floor:
            return "kept"
        return "over" if self.value <= TOO_MUCH * self.floor else "FAILED"

    def __str__(self) -> str:
        return f"{self.name:<58} {self.value:9.2f} {self.floor:9.2f} {self.unit:<8} {self.word}"


def every_figure() -> Iterator[Measured]:
    """Yield each figure as soon as it is measured."""
    from tests.bench import (
        answering,
        loading,
        proofs,
        ranking,
        simulating,
        starting,
        trying,
        writing,
    )

    yield from starting.figures()
    yield from loading.figures()
    yield from answering.figures()
    yield from ranking.figures()
    yield from simulating.figures()
    yield from trying.figures()
    yield from proofs.figures()
    yield from writing.figures()


def main() -> int:
    """Print the table; return 1 where a figure is beyond three times its floor."""
    for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS"):
        os.environ[name] = "1"
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    sys.dont_write_bytecode = False
    for folder in ("engine", "tui", "tests"):
        compileall.compile_dir(ROOT / folder, quiet=2)
    print(f"{'figure':<58} {'measured':>9} {'floor':>9} unit")
    failed = 0
    for figure in every_figure():
        print(figure, flush=True)
        failed += figure.word == "FAILED"
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())

"""Killed two hundred times more, at moments of its own each time it is run."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.killed import kill_and_look

JOBS, TRIALS = 10, 20


@pytest.mark.parametrize("job", range(JOBS))
def test_nothing_acknowledged_is_lost(tmp_path: Path, job: int) -> None:
    seed = random.SystemRandom().randrange(2**32)
    print(f"seed {seed}")
    assert kill_and_look(tmp_path, TRIALS, seed) > 0

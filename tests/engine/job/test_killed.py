"""Killed at any moment (as ``kill -9`` does): nothing acknowledged is lost, the job goes on."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.killed import kill_and_look

JOBS, TRIALS = 10, 20


@pytest.mark.parametrize("seed", range(JOBS))
def test_nothing_acknowledged_is_lost(tmp_path: Path, seed: int) -> None:
    assert kill_and_look(tmp_path, TRIALS, seed) > 0

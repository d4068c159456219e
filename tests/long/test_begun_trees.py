"""Trees begun by answering whatever comes: every one of many is whole."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from tests.engine.starter.answering import answered, written
from tests.engine.starter.test_tree_text import problems


@pytest.mark.parametrize("seed", range(100, 150))
def test_whatever_is_answered_the_tree_is_whole(tmp_path: Path, seed: int) -> None:
    done = answered(Random(seed).randrange, causes=1 + seed % 7)
    assert done.beginning is not None
    assert problems(written(done.beginning, tmp_path)) == []

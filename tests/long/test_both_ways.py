"""Two hundred rows walked both ways: in a batch, and at the prompt."""

from __future__ import annotations

import pytest

from tests.engine.trial.test_both_ways import PAIRS, assert_alike, drawn, tree
from tests.engine.unit.benches import unit


@pytest.mark.parametrize(("name", "of"), PAIRS)
def test_many_rows_in_a_batch_walk_as_at_the_prompt(name: str, of: str) -> None:
    walk, simulated = tree(name), unit(of)
    rows = drawn(walk, simulated, 34, 11)
    assert_alike(walk, simulated, rows, list(range(len(rows))))

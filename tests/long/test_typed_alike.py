"""Every shipped case, walked from a file and typed line by line."""

from __future__ import annotations

import pytest

from engine.loader.heads import heads
from tests.engine.cli.test_walk import typed_alike


@pytest.mark.parametrize("tree", sorted(head.name for head in heads()))
def test_every_case_comes_to_the_same_typed(tree: str) -> None:
    assert typed_alike(tree, 0, 1) > 100

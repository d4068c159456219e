"""5,000 walks by dice on each shipped tree's way, steady and clumsy."""

from __future__ import annotations

import pytest

from tests.property.test_random_walks import CAREFUL, TREES, ended, judged


@pytest.mark.parametrize("tree", TREES)
def test_five_thousand_walks_end_and_nothing_refused_was_done(tree: str) -> None:
    assert judged(tree, 10_000, 1_500).total() == 1_500
    assert judged(tree, 20_000, 2_000, CAREFUL).total() == 2_000


@pytest.mark.parametrize("tree", TREES)
def test_clumsy_walks_end_and_fold_to_the_same_state(tree: str) -> None:
    assert ended(tree, 30_000, 1_500) > 10_000

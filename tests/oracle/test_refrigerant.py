"""The figures of `engine.trade.refrigerant` against what stands outside the project."""

from __future__ import annotations

import pytest

from tests.oracle.rows import Row, check, name_of, rows


@pytest.mark.parametrize("row", rows("refrigerant"), ids=name_of)
def test_figure_answers_what_its_source_says(row: Row) -> None:
    check(row)

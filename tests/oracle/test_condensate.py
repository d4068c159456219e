"""The figures of `engine.trade.condensate` against what stands outside the project."""

from __future__ import annotations

import pytest

from tests.oracle.rows import Row, check, name_of, rows


@pytest.mark.parametrize("row", rows("condensate"), ids=name_of)
def test_figure_answers_what_its_source_says(row: Row) -> None:
    check(row)

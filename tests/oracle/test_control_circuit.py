"""The figures of `engine.trade.control_circuit` against what stands outside the project."""

from __future__ import annotations

import pytest

from tests.oracle.rows import Row, check, name_of, rows


@pytest.mark.parametrize("row", rows("control_circuit"), ids=name_of)
def test_figure_answers_what_its_source_says(row: Row) -> None:
    check(row)

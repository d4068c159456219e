"""No figure without a witness: each has an expected value that comes from elsewhere."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.trade.catalogue import FIGURES
from tests.oracle.rows import DATA, Row, every_row, name_of, rows


@pytest.mark.parametrize("name", FIGURES)
def test_figure_has_a_row_with_a_source(name: str) -> None:
    assert any(row["figure"] == name for row in every_row()), (
        f"no row of tests/oracle/data/ holds an expected value for {name}"
    )


@pytest.mark.parametrize("name", FIGURES)
def test_every_output_of_a_figure_has_a_row_unless_it_is_free_text(name: str) -> None:
    told = {row["key"] for row in every_row() if row["figure"] == name}
    outputs = FIGURES[name].outputs
    assert told <= {output.name for output in outputs}
    assert told >= {output.name for output in outputs if output.kind or output.words}


@pytest.mark.parametrize("row", every_row(), ids=name_of)
def test_row_names_its_source_and_a_figure_of_the_catalogue(row: Row) -> None:
    assert row["source"].strip()
    assert row["figure"] in FIGURES


@pytest.mark.parametrize("path", sorted(DATA.glob("*.json")), ids=lambda path: path.stem)
def test_every_data_file_is_read_by_a_test(path: Path) -> None:
    stem = path.stem
    tests = DATA.parent.glob("test_*.py")
    assert rows(stem)
    assert any(f'rows("{stem}")' in test.read_text(encoding="utf-8") for test in tests)

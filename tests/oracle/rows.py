"""Rows of expected values, each with the source that gave it, held against the figures.

A row of ``tests/oracle/data/*.json`` has: figure, inputs (as the figure's function takes them,
lists for tuples), key (the output), expected, tolerance (absolute; left out for words), source;
for a sentence ``says``, the words that must be in it, in place of expected.
No expected value comes from the project itself.
"""

from __future__ import annotations

import json
from math import inf
from pathlib import Path
from typing import Any

import pytest

from engine.trade.catalogue import FIGURES

DATA = Path(__file__).parent / "data"

Row = dict[str, Any]


def rows(name: str) -> list[Row]:
    """Return the rows of the data file ``name``."""
    found: list[Row] = json.loads((DATA / f"{name}.json").read_text(encoding="utf-8"))
    return found


def every_row() -> list[Row]:
    """Return the rows of every data file."""
    return [row for path in sorted(DATA.glob("*.json")) for row in rows(path.stem)]


def name_of(row: Row) -> str:
    """Return a short name for a row, for the test report."""
    given = " ".join(f"{key}={value}" for key, value in row["inputs"].items())
    return f"{row['figure']} {given} {row['key']}"


def check(row: Row) -> None:
    """Fail unless the figure answers what the row's source says."""
    values = {key: _given(value) for key, value in row["inputs"].items()}
    got = FIGURES[row["figure"]].answer(**values)[row["key"]]
    if "says" in row:
        assert isinstance(got, str)
        assert all(words in got for words in row["says"]), f"{got}\n{row['source']}"
        return
    expected = row["expected"]
    if isinstance(got, tuple):
        got = list(got)
    if isinstance(expected, float | int) and not isinstance(expected, bool):
        assert got == pytest.approx(expected, abs=row["tolerance"], rel=0), row["source"]
    else:
        assert got == expected, row["source"]


def _given(value: object) -> object:
    if value == "OL":
        return inf
    if isinstance(value, list):
        return tuple(_given(item) for item in value)
    return value

"""Traps, drains and the water in them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from engine.figure import FigureError
from engine.trade.condensate import condensate, drain, trap
from engine.trade.table import table


def test_sign_of_the_pressure_does_not_matter() -> None:
    assert trap(-1.5, 1.05) == trap(1.5, 1.05)


def test_every_row_of_the_table_counts_up_to_its_end() -> None:
    for tons, size in table("drain_size")["rows"]:
        assert drain(tons, 10, 0.25).size == size


def test_local_table_replaces_the_shipped_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    local = {**table("drain_size"), "source": "code: the town's own", "rows": [[40, "1"]]}
    (tmp_path / "tables").mkdir()
    path = tmp_path / "tables" / "drain_size.json"
    path.write_text(json.dumps(local), encoding="utf-8", newline="\n")
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path))
    assert drain(5, 10, 0.25).size == "1"
    with pytest.raises(FigureError, match="ends at 40 tons"):
        drain(41, 10, 0.25)


@pytest.mark.parametrize(
    ("tons", "feet", "slope", "key"),
    [
        (0, 8, 0.25, "tons"),
        (251, 8, 0.25, "tons"),
        (5, -8, 0.25, "feet"),
        (5, 8, 0.12, "slope"),
        (5, 8, -0.25, "slope"),
        (5, 8, float("nan"), "slope"),
    ],
)
def test_drain_that_the_code_does_not_know_is_refused(
    tons: float, feet: float, slope: float, key: str
) -> None:
    with pytest.raises(FigureError) as refused:
        drain(tons, feet, slope)
    assert refused.value.key == key


@pytest.mark.parametrize(("inches", "od"), [(10.5, 1.05), (-11, 1.05), (-1.5, 0), (-1.5, -1)])
def test_trap_nobody_builds_is_refused(inches: float, od: float) -> None:
    with pytest.raises(FigureError):
        trap(inches, od)


@pytest.mark.parametrize(
    ("entering", "leaving", "key"),
    [(0.009, 0.011, "to"), (11.2, 9.7, "from"), (0.011, -0.001, "to")],
)
def test_air_that_gains_water_or_is_not_a_ratio_is_refused(
    entering: float, leaving: float, key: str
) -> None:
    with pytest.raises(FigureError) as refused:
        condensate(2000, entering, leaving)
    assert refused.value.key == key

"""Tables: the shipped ones carry their source; a local edition replaces one or is refused."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import pytest

from engine.figure import FigureError
from engine.shipped import tables
from engine.trade.breakers import trip_time
from engine.trade.insulation import insulation
from engine.trade.limits import limit
from engine.trade.table import table
from engine.trade.unbalance import unbalance_effect

NAMES = sorted(item.name.removesuffix(".json") for item in tables().iterdir())


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path))
    (tmp_path / "tables").mkdir()
    return tmp_path / "tables"


def put(home: Path, name: str, **changes: Any) -> Path:
    data = json.loads((tables() / f"{name}.json").read_text(encoding="utf-8")) | changes
    path = home / f"{name}.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    return path


@pytest.mark.parametrize("name", NAMES)
def test_shipped_table_says_source_and_edition(name: str) -> None:
    held = table(name)
    assert held["source"]
    assert held["edition"]
    assert held["rows"]


@pytest.mark.parametrize("name", NAMES)
def test_a_copy_of_the_shipped_table_is_a_local_edition(name: str, home: Path) -> None:
    put(home, name, edition="local")
    assert table(name)["edition"] == "local"
    assert table(name)["rows"]


def test_local_edition_is_used_by_the_figures(home: Path) -> None:
    put(home, "unbalance_derating", rows=[[0, 1.0], [10, 0.5]])
    assert unbalance_effect(5).derating_factor == pytest.approx(0.75)
    rows = [
        row | {"value": 2000} if row["name"] == "insulation" else row
        for row in table("limits")["rows"]
    ]
    put(home, "limits", rows=rows)
    assert insulation(1.0, 230).floor_megohms == pytest.approx(0.46)


def test_a_local_table_that_changes_is_read_again(home: Path) -> None:
    put(home, "trip_times", rows=[[100, 1800, 60]])
    assert trip_time(20, 40).seconds_at_most == 60
    path = put(home, "trip_times", rows=[[100, 1800, 90]])
    os.utime(path, ns=(1, 1))
    assert trip_time(20, 40).seconds_at_most == 90


def test_without_a_home_and_with_an_empty_one_the_shipped_table_counts(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.delenv("HALFSPLIT_HOME", raising=False)
    assert trip_time(20, 40).seconds_at_most == 120
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path))
    assert trip_time(20, 40).seconds_at_most == 120


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"rows": []}, "it has no rows"),
        ({"source": ""}, "it has no source"),
        ({"rows": "none"}, "its rows are not a list"),
        ({"rows": [[30, 3600, "two minutes"]]}, "row 1 of its rows"),
        ({"rows": [[30, 3600, 120], [50, 3600]]}, "row 2 of its rows"),
        ({"rows": [[30, 3600, 120], [50, None, 240]]}, "row 2 of its rows"),
        ({"rows": [[30, 3600, True]]}, "row 1 of its rows"),
        ({"rows": [[50, 3600, 240], [30, 3600, 120]]}, "do not rise"),
        ({"columns": "none"}, "its columns is not of the kind"),
    ],
)
def test_a_local_table_of_another_shape_is_refused_by_name(
    home: Path, changes: dict[str, Any], words: str
) -> None:
    path = put(home, "trip_times", **changes)
    with pytest.raises(FigureError, match=words) as caught:
        trip_time(20, 40)
    assert str(path) in caught.value.sentence


@pytest.mark.parametrize(
    "raw", [b"", b"{", b"[1, 2]", b"\xff\xfe", b'{"rows": NaN}', b"[" * 100_000]
)
def test_a_local_table_that_is_no_json_object_is_refused(home: Path, raw: bytes) -> None:
    path = home / "trip_times.json"
    path.write_bytes(raw)
    with pytest.raises(FigureError) as caught:
        trip_time(20, 40)
    assert str(path) in caught.value.sentence
    assert "Traceback" not in caught.value.sentence


def test_a_key_of_the_shipped_table_may_not_be_missing(home: Path) -> None:
    path = put(home, "trip_times")
    data = json.loads(path.read_text(encoding="utf-8"))
    del data["columns"]
    path.write_text(json.dumps(data), encoding="utf-8")
    with pytest.raises(FigureError, match="it has no columns, which the shipped table has"):
        table("trip_times")


def test_a_limit_left_out_of_a_local_edition_is_named(home: Path) -> None:
    rows = [row for row in table("limits")["rows"] if row["name"] != "pole drop"]
    put(home, "limits", rows=rows)
    assert limit("insulation") == 1000
    with pytest.raises(FigureError, match="no row named 'pole drop'"):
        limit("pole drop")

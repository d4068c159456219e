"""What a trial showed, kept in a file: read as written, refused when it is old or none."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from engine.loader.outcomes import (
    OfUnit,
    Outcomes,
    OutcomesError,
    hold,
    pooled,
    read_outcomes,
    write_outcomes,
)
from engine.loader.units import load_unit, unit_digest, unit_names

SHOWN = {"r-to-c": {"leg-lost": {"nothing": 3, "good": 1}, "float-failed": {"good": 4}}}
TABLE = Outcomes("blank-thermostat", "a1", {"3-ton-high-leg": OfUnit("b2", 100, 1, SHOWN)})
UNITS = {"3-ton-high-leg": "b2"}


def test_what_is_written_is_read(tmp_path: Path) -> None:
    path = tmp_path / "deep" / "blank-thermostat.outcomes.json"
    write_outcomes(path, TABLE)
    assert read_outcomes(path) == TABLE
    hold(path, TABLE, "a1", UNITS.__getitem__)


def test_odds_are_shares_of_all_units_together() -> None:
    more = {"r-to-c": {"leg-lost": {"nothing": 4}}}
    odds = TABLE.joined("7-5-ton-208y", OfUnit("c3", 4, 1, more)).odds()
    assert odds["r-to-c"]["leg-lost"] == {"nothing": 7 / 8, "good": 1 / 8}
    assert odds["r-to-c"]["float-failed"] == {"good": 1}
    assert pooled([]) == {}


def test_a_unit_tried_again_takes_the_place_of_its_table() -> None:
    again = OfUnit("b3", 10, 2, {})
    assert TABLE.joined("3-ton-high-leg", again).units == {"3-ton-high-leg": again}


@pytest.mark.parametrize(
    ("digest", "units", "said"),
    [
        ("other", UNITS, "before blank-thermostat was changed. Try it again: halfsplit trial"),
        ("a1", {"3-ton-high-leg": "new"}, "before 3-ton-high-leg was changed"),
        ("a1", {}, "on 3-ton-high-leg, which is not there"),
    ],
)
def test_an_old_table_is_refused(digest: str, units: dict[str, str], said: str) -> None:
    with pytest.raises(OutcomesError) as refused:
        hold(Path("t.outcomes.json"), TABLE, digest, lambda name: units.get(name, ""))
    assert said in str(refused.value)


@pytest.mark.parametrize(
    "path", [("units", "3-ton-high-leg", "steps"), ("tree hash",), ("format",)]
)
def test_a_file_that_lacks_anything_is_no_table(path: tuple[str, ...], tmp_path: Path) -> None:
    file = tmp_path / "t.outcomes.json"
    write_outcomes(file, TABLE)
    data = json.loads(file.read_text(encoding="utf-8"))
    inner = data
    for key in path[:-1]:
        inner = inner[key]
    del inner[path[-1]]
    file.write_text(json.dumps(data), encoding="utf-8", newline="\n")
    with pytest.raises(OutcomesError, match="is no table of outcomes"):
        read_outcomes(file)


@pytest.mark.parametrize("text", ["", "[]", "{", '{"format": 2}', "17"])
def test_a_torn_file_is_no_table(text: str, tmp_path: Path) -> None:
    file = tmp_path / "t.outcomes.json"
    file.write_text(text, encoding="utf-8", newline="\n")
    with pytest.raises(OutcomesError, match="halfsplit trial --save writes one"):
        read_outcomes(file)


@pytest.mark.parametrize("count", [-1, 1.5, "3", True])
def test_rows_are_counted_whole(count: object, tmp_path: Path) -> None:
    file = tmp_path / "t.outcomes.json"
    write_outcomes(file, TABLE)
    text = file.read_text(encoding="utf-8").replace(
        '"nothing": 3', f'"nothing": {json.dumps(count)}'
    )
    file.write_text(text, encoding="utf-8", newline="\n")
    with pytest.raises(OutcomesError):
        read_outcomes(file)


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(OutcomesError, match="can't be opened"):
        read_outcomes(tmp_path / "none.outcomes.json")


def test_the_hash_of_a_units_files_is_that_of_the_unit() -> None:
    name = unit_names()[0]
    unit = load_unit(name).unit
    assert unit is not None
    assert unit_digest(name) == unit.digest
    assert unit_digest("no-such-unit") == ""


def test_a_file_that_adds_faults_changes_the_hash(tmp_path: Path) -> None:
    before = unit_digest("3-ton-high-leg", tmp_path)
    folder = tmp_path / "trees" / "units"
    folder.mkdir(parents=True)
    (folder / "more.yaml").write_text("adds to: 3-ton-high-leg\n", encoding="utf-8", newline="\n")
    assert unit_digest("3-ton-high-leg", tmp_path) != before

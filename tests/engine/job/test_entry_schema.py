"""Every line that is written satisfies the schema of a line; JSON Schema 2020-12 judges."""

from __future__ import annotations

import json
from datetime import timedelta
from functools import cache
from typing import Any

import jsonschema_rs
import pytest
from jsonschema import Draft202012Validator

from engine.entries import EntryKind
from engine.job.closing import add, close
from engine.job.store import RECORD, Job, open_job
from engine.shipped import data
from tests.typed_jobs import LEFT_OPEN, NINE, REPAIRED, TO_THE_CAPACITOR, Watch, typed, walked


@cache
def schema() -> Any:
    return json.loads((data("schemas") / "entry.json").read_text(encoding="utf-8"))


def lines(job: Job) -> list[Any]:
    raw = (job.folder / RECORD).read_text(encoding="utf-8")
    return [json.loads(line) for line in raw.splitlines()]


@pytest.fixture(scope="module")
def everything(tmp_path_factory: pytest.TempPathFactory) -> list[Any]:
    """Return the lines of jobs in which every kind of entry was made at a door."""
    jobs = tmp_path_factory.mktemp("jobs")
    picture = jobs / "plate.jpg"
    picture.write_bytes(b"\xff\xd8")
    first = walked(jobs, [*TO_THE_CAPACITOR, f"p {picture}", "n it smells", "f unclear", "l"])
    going = typed(open_job(first.folder), ["1"], Watch(NINE + timedelta(hours=1)))
    going.enter("u")
    going.enter("c 1")
    close(going.job, {"md": b"# Report\n"}, "Dana", NINE)
    add(going.job, "The part came in.", "Sam", NINE)
    stopped = walked(jobs, ["1", "x 1"])
    known = walked(jobs, ["1", "1", "3", "208-230", "k"])
    more = [walked(jobs, these) for these in (REPAIRED, LEFT_OPEN)]
    return [line for job in (first, stopped, known, *more) for line in lines(job)]


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(schema())


def test_every_line_that_is_written_satisfies_it(everything: list[Any]) -> None:
    fast = jsonschema_rs.validator_for(schema())
    slow = Draft202012Validator(schema())
    for line in everything:
        assert [error.message for error in slow.iter_errors(line)] == []
        assert fast.is_valid(line)


def test_nearly_every_kind_was_written(everything: list[Any]) -> None:
    written = {line["kind"] for line in everything if "kind" in line}
    assert set(EntryKind) - written <= {EntryKind.SKIP, EntryKind.KNOWN}


def test_names_and_kinds_are_those_of_the_engine() -> None:
    from dataclasses import fields

    from engine.entries import Entry, FileSeal, Said
    from engine.job.store import Header

    parts = schema()["$defs"]
    for part, kind, more in (
        ("entry", Entry, {"hash", "format"}),
        ("header", Header, {"hash", "format", "record"}),
        ("said", Said, set()),
        ("file", FileSeal, set()),
    ):
        names = {field.name for field in fields(kind)}
        assert set(parts[part]["properties"]) == names | more
    assert parts["entry"]["properties"]["kind"]["enum"] == list(EntryKind)


@pytest.mark.parametrize(
    "change",
    [
        {"kind": "weld"},
        {"weight": 3},
        {"n": "1"},
        {"time": "2026-03-14 09:00"},
        {"time": "2026-03-14T09:00:00"},
        {"hash": "abc"},
        {"format": 2},
        {"said": []},
        {"said": [{"name": "rc", "spot": "", "value": "24 V", "kind": "voltage"}]},
        {"said": [{"name": "rc", "spot": "", "value": "24", "kind": ""}]},
        {"kind": "strike"},
        {"kind": "close"},
        {"kind": "walk"},
    ],
)
def test_what_is_no_line_does_not(everything: list[Any], change: dict[str, Any]) -> None:
    note = next(line for line in everything if line.get("kind") == "note")
    fast = jsonschema_rs.validator_for(schema())
    assert fast.is_valid(note)
    assert not fast.is_valid({**note, **change})
    assert not Draft202012Validator(schema()).is_valid({**note, **change})

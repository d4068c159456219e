"""Schemas as schemas, and what their errors say to an author.

Oracle: the two validators are written apart from each other (one in Rust, one in Python); they
must agree on every file, good or bad. JSON Schema 2020-12's own meta-schema judges the schemas.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from copy import deepcopy
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

from engine.layouts import LAYOUTS
from engine.loader.document import Data
from engine.loader.schema import SCHEMAS, check, schemas, unknown_kind
from engine.loader.shape import EXPLAINED, HEADS
from engine.loader.text import read
from engine.power import Act
from engine.quantity import Kind
from engine.reading import Function
from engine.shipped import data
from engine.tree import STUCK_REASONS, Spread
from tests.engine.loader.jargon import jargon
from tests.engine.loader.small_tree import SMALL, load

ROOT = Path(__file__).parents[3]
SHIPPED = sorted((ROOT / "trees").rglob("*.yaml"))
BROKEN = sorted((ROOT / "tests" / "broken_trees").glob("*.yaml"))


def subschemas(schema: Any) -> Iterator[dict[str, Any]]:
    if isinstance(schema, list):
        for one in schema:
            yield from subschemas(one)
    if isinstance(schema, dict):
        yield schema
        for key, one in schema.items():
            if key not in ("enum", "const", "required", "dependentRequired"):
                yield from subschemas(one)


NAMED = [(name, one) for name, schema in schemas().items() for one in subschemas(schema)]


# --- the schemas themselves -----------------------------------------------------------------------


@pytest.mark.parametrize("name", schemas())
def test_a_schema_is_one(name: str) -> None:
    Draft202012Validator.check_schema(schemas()[name])
    assert schemas()[name]["$id"] == f"halfsplit:{name}"


def test_every_name_is_described_in_a_sentence() -> None:
    for name, schema in NAMED:
        for key, one in schema.get("properties", {}).items():
            if isinstance(one, dict) and not set(one) <= {"const", "enum", "not"}:
                assert one.get("description", "").endswith("."), f"{name}: {key}"
        for key, one in schema.get("$defs", {}).items():
            assert one.get("description", "").endswith("."), f"{name}: {key}"


def test_nothing_is_one_of_several_shapes_and_nothing_is_open() -> None:
    for name, schema in NAMED:
        assert "oneOf" not in schema, name
        kinds = schema.get("type", [])
        if "object" in ([kinds] if isinstance(kinds, str) else kinds) and "type" in schema:
            assert "additionalProperties" in schema or set(schema) == {"type"}, schema


def test_every_rule_of_the_schemas_can_be_explained() -> None:
    silent = {"$schema", "$id", "$ref", "$defs", "$comment", "title", "description", "properties"}
    silent |= {"items", "allOf", "if", "then", "else", "propertyNames"}
    used: set[str] = set()
    for schema in schemas().values():
        for one in _rules(schema):
            used |= set(one)
    assert used - silent == set(EXPLAINED)


def _rules(schema: Any) -> Iterator[dict[str, Any]]:
    """Yield schemas only, not the mappings from names to schemas."""
    if not isinstance(schema, dict):
        return
    yield schema
    for key in ("if", "then", "else", "not", "items", "propertyNames", "additionalProperties"):
        yield from _rules(schema.get(key))
    for key in ("properties", "$defs"):
        for one in schema.get(key, {}).values():
            yield from _rules(one)
    for key in ("allOf", "anyOf"):
        for one in schema.get(key, []):
            yield from _rules(one)


def test_the_words_of_the_schemas_are_those_of_the_engine() -> None:
    step = schemas()["steps"]["$defs"]["step"]["properties"]
    reading = schemas()["steps"]["$defs"]["reading"]["properties"]
    field = schemas()["words"]["$defs"]["field"]["properties"]
    assert step["act"]["enum"] == list(Act)
    assert reading["function"]["enum"] == list(Function)
    assert {one.value for one in Spread} <= set(reading)
    assert set(schemas()["tree"]["properties"]["layout"]["enum"]) == set(LAYOUTS)
    assert set(field["quantity"]["enum"]) <= set(Kind)
    reasons = schemas()["steps"]["$defs"]["cannot"]["properties"]
    assert tuple(reasons) == STUCK_REASONS
    assert set(HEADS) <= set(step)


def test_what_each_kind_of_step_may_say_is_something_that_steps_can_say() -> None:
    defs = schemas()["steps"]["$defs"]
    allowed = [set(defs[head.replace(" ", "-")]["propertyNames"]["enum"]) for head in HEADS]
    assert set().union(*allowed) == set(defs["step"]["properties"])
    for head, names in zip(HEADS, allowed, strict=True):
        assert names & set(HEADS) == {head}


# --- both validators ------------------------------------------------------------------------------


@cache
def validators(kind: str) -> tuple[Any, Draft202012Validator]:
    """Return both validators of a kind of file."""
    every = schemas()
    whole = every[SCHEMAS[kind]]
    rust = jsonschema_rs.validator_for(
        {"$ref": whole["$id"]},
        registry=jsonschema_rs.Registry([(one["$id"], one) for one in every.values()]),
    )
    resources = [(one["$id"], Resource.from_contents(one)) for one in every.values()]
    registry: Registry[Any] = Registry().with_resources(resources)
    return rust, Draft202012Validator(whole, registry=registry)


def both(kind: str, what: Data | None) -> tuple[bool, bool]:
    """Return the verdicts of the two validators on the data of a file."""
    rust, python = validators(kind)
    return rust.is_valid(what), python.is_valid(what)


@pytest.mark.parametrize("path", [*SHIPPED, *BROKEN], ids=lambda path: path.stem)
def test_the_validators_agree_on_every_file(path: Path) -> None:
    document = read(path.name, path.read_bytes())
    if not isinstance(document.data, dict):
        return
    kind = next(key for key in document.data if key != "format")
    if kind not in SCHEMAS:
        assert unknown_kind(document).code == "unknown-kind"
        return
    rust, python = both(kind, document.data)
    assert rust == python
    if not document.doubtful:
        assert rust == (check(document, kind) == ())


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_a_shipped_file_has_no_problem_of_writing_or_shape(path: Path) -> None:
    document = read(path.name, path.read_bytes())
    assert isinstance(document.data, dict)
    kind = next(key for key in document.data if key != "format")
    assert [*map(str, document.problems), *map(str, check(document, kind))] == []


def places(what: Data, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    inner: Any = what.items() if isinstance(what, dict) else enumerate(what)
    if isinstance(what, str):
        return []
    return [found for key, one in inner for found in ((*path, key), *places(one, (*path, key)))]


TREE = load(SMALL).data
assert isinstance(TREE, dict)
PLACES = places(TREE)
INSTEAD: list[Data] = ["", "x" * 200, "2", "not one of them", [], ["a"], [["a"]], {}, {"a": "b"}]


@given(place=st.sampled_from(PLACES), instead=st.sampled_from([None, "renamed", *INSTEAD]))
def test_whatever_is_changed_the_validators_agree_and_problems_are_short(
    place: tuple[str | int, ...], instead: Data | None
) -> None:
    changed: Any = deepcopy(TREE)
    around = changed
    for part in place[:-1]:
        around = around[part]
    old = around[place[-1]]
    if instead is None:
        del around[place[-1]]
    elif instead == "renamed" and isinstance(around, dict):
        around["re" + str(place[-1])] = around.pop(place[-1])
    else:
        around[place[-1]] = instead
    document = read("x.yaml", yaml.safe_dump(changed, sort_keys=False, width=9999).encode())
    assert document.data == changed or document.problems
    rust, python = both("tree", changed)
    found = check(document, "tree")
    assert rust == python
    assert bool(found) == (not rust) or document.doubtful
    assert list(found) == sorted(set(found))
    assert jargon(found) == []
    for one in found:
        assert len(one.sentence) < 160
        assert len(one.fix) < 260
        assert str(old) not in one.sentence or len(str(old)) <= 40


# --- what is said ---------------------------------------------------------------------------------


def test_the_small_tree_has_no_problem() -> None:
    assert check(load(SMALL), "tree") == ()


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "verdict: good",
            "verdit: good",
            "34:19 unknown-key `verdit` does not belong here. Did you mean `verdict`?",
        ),
        (
            "    minutes: 4\n",
            "    minuts: 4\n",
            "27:5 unknown-key `minuts` does not belong here. Did you mean `minutes`?",
        ),
        (
            "title: Compressor hums",
            "titel: Compressor hums",
            "3:1 unknown-key `titel` does not belong here. Did you mean `title`?",
        ),
        (
            "    minutes: 4\n",
            "    keep: [power]\n",
            "27:5 unknown-key `keep` does not belong to a step with an act. Take `keep` out.",
        ),
        (
            "    minutes: 4\n",
            "    mode: for test\n",
            "27:5 unknown-key `mode` does not belong to a step with act: read dead. "
            "Take `mode` out.",
        ),
        (
            "revision: 1\n",
            "",
            "1:1 missing-key The file has no `revision`. "
            "Add `revision:` - a whole number, one more with each change.",
        ),
        (
            "function: capacitance, ",
            "",
            "31:16 missing-key `herm` has no `function`. "
            "Add `function:` - what the meter is set to.",
        ),
        (
            "    source: nameplate; tolerance on the can\n",
            "    if: phases is 1\n",
            "36:5 missing-key `capacitor` has `if` and no `if not`. "
            "Add `if not:` - the step to go to where the condition does not hold.",
        ),
        (
            "act: read dead",
            "act: reed dead",
            '26:10 wrong-word `act` cannot be "reed dead". Did you mean `read dead`?',
        ),
        (
            "status: draft",
            "status: ready",
            "6:9 wrong-form `status` is not written as it must be: ready. "
            "Write draft, or below it reviewed: {by: …, on: 2026-03-31, again by: 2027-03-31}.",
        ),
        (
            "status: draft",
            "status: {reviewed: {by: electrician, on: 2026-02-01, again by: 2026-13-01}}",
            "6:64 wrong-form `again by` is not written as it must be: 2026-13-01. "
            "Write a date with the year first, for example 2026-03-31.",
        ),
        (
            "title: Run capacitor, HERM to C",
            "title: [HERM to C]",
            "24:12 wrong-shape `title` has a list where a text must be. "
            "If it is one text, put it in quotes.",
        ),
        (
            "[run_cap.HERM, run_cap.C]",
            "[run_cap.HERM]",
            "31:55 wrong-count `between` holds 1, and must hold exactly 2.",
        ),
        (
            "  again: {",
            "  Once more: {",
            "44:3 wrong-form The name `Once more` is not written as it must be. "
            "Write small letters, digits and hyphens, a letter first.",
        ),
        (
            "    act: read dead\n",
            "",
            "23:3 no-head `capacitor` does not say what kind of step it is. "
            "It needs one of act, use, sort, for each, hand over or like.",
        ),
        (
            "    act: read dead\n",
            "    act: read dead\n    use: isolate\n",
            "27:5 two-heads This step has `act` and `use`; a step does one thing. "
            "Make a step of each.",
        ),
        (
            ", clears: [weak-capacitor], then: each",
            "",
            "34:7 no-way-on The answer `otherwise` leads nowhere. "
            "Add `then:` with a step, or `finds:` with a finding.",
        ),
        (
            "finds: weak-capacitor, if still wrong",
            "finds: weak-capacitor, then",
            "33:57 two-ways-on The answer `below low` leads to a step and to a finding. "
            "Keep `finds:` and put the step behind `if still wrong:`, or keep `then:`.",
        ),
        (
            "    bands:\n",
            '    choices: {"yes": each}\n    bands:\n',
            "33:5 two-answers `capacitor` has choices and bands; one of them can answer. "
            "Several judgements of one step go below `judge in turn:`.",
        ),
    ],
)
def test_a_slip_is_said_at_its_name(old: str, new: str, said: str) -> None:
    assert old in SMALL
    document = load(SMALL.replace(old, new, 1))
    assert [str(one) for one in check(document, "tree")] == [f"small.yaml:{said}"]


def test_a_list_of_texts_with_a_colon_gets_its_hint() -> None:
    (found,) = check(load(SMALL.replace("[it hums and stops]", "[{it hums: it stops}]")), "tree")
    assert found.code == "wrong-shape"
    assert found.fix == "If it is one text, put it in quotes."


def test_what_was_read_on_a_guess_is_not_judged() -> None:
    document = read(
        "x.yaml", SMALL.replace("said as: [it hums and stops]", "said as: {a}").encode()
    )
    assert [one.code for one in document.problems] == ["name-in-braces"]
    assert check(document, "tree") == ()


def test_a_file_of_no_known_kind() -> None:
    document = load("format: 1\nthree: x\n")
    found = unknown_kind(document)
    assert str(found.span) == "small.yaml:2:1"
    assert found.fix == "Did you mean `tree:`?"
    assert unknown_kind(load("gadgets: x\n")).fix.startswith("Begin with tree, procedure,")


def test_schemas_are_shipped_as_files() -> None:
    names = {one.name.removesuffix(".json") for one in data("schemas").iterdir()}
    assert names >= set(SCHEMAS.values())
    assert schemas()["tree"] == json.loads(
        (data("schemas") / "tree.json").read_text(encoding="utf-8")
    )

"""The schemas that an editor uses, judged as an editor does: YAML 1.2 with its numbers, draft 7.

The judge is the jsonschema library with PyYAML, both of which know nothing of this program.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft7Validator

from engine.codes import SHAPE
from engine.loader.editor_schema import editor_files, editor_schema
from engine.loader.schema import SCHEMAS

ROOT = Path(__file__).parents[3]
FILES = sorted(one for one in (ROOT / "trees").rglob("*.yaml"))
KNOWN = [one for one in FILES if one.parent.name != "units" and one.parent.parent.name != "units"]
BROKEN = sorted((ROOT / "tests" / "broken_trees").glob("*.yaml"))
SHAPES = {code.name for code in SHAPE}
BEYOND = {"unknown-kind": "no schema is chosen for a file of no known kind"}
"""Problems of shape that no schema of one kind of file can show, and why."""
WRITING_SEEN = {
    "comma-in-braces": "a name alone in braces is a name with nothing, where a text belongs",
    "nothing-given": "a name with nothing has no text",
}
"""Problems of the writing that a schema marks, too, and why."""


class Core(getattr(yaml, "CSafeLoader", yaml.SafeLoader)):  # type: ignore[misc]
    """YAML as an editor reads it: 1.2, in which yes and on are words and 2 is a number."""


Core.yaml_implicit_resolvers = {}
for tag, pattern, first in (
    ("bool", r"^(?:true|false)$", "tf"),
    ("null", r"^(?:null|~)$", "n~"),
    ("int", r"^[-+]?[0-9]+$", "-+0123456789"),
    ("float", r"^[-+]?(?:\.[0-9]+|[0-9]+\.[0-9]*)$", "-+.0123456789"),
):
    Core.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(pattern), list(first))


@cache
def judge(kind: str) -> Draft7Validator:
    return Draft7Validator(editor_schema(kind))


def read(path: Path) -> Any:
    return named(yaml.load(path.read_text(encoding="utf-8"), Loader=Core))


def named(data: Any) -> Any:
    """Return data with every name a text, as JSON has them: an editor does the same."""
    if isinstance(data, dict):
        return {str(name): named(one) for name, one in data.items()}
    return [named(one) for one in data] if isinstance(data, list) else data


def kind_of(data: Any) -> str | None:
    first = next((key for key in data if key != "format"), None)
    return first if first in SCHEMAS else None


@pytest.mark.parametrize("kind", SCHEMAS)
def test_a_schema_for_an_editor_is_one_and_stands_by_itself(kind: str) -> None:
    schema = editor_schema(kind)
    Draft7Validator.check_schema(schema)
    refs = re.findall(r"'\$ref': '([^']*)'", str(schema))
    assert refs
    assert all(ref.startswith("#/definitions/") for ref in refs)


@pytest.mark.parametrize("path", KNOWN, ids=lambda path: path.name)
def test_every_shipped_file_is_taken(path: Path) -> None:
    data = read(path)
    kind = kind_of(data)
    if kind is None:
        pytest.skip("no schema for an editor is made for this kind")
    errors = [f"{list(one.path)}: {one.message}" for one in judge(kind).iter_errors(data)]
    assert errors == []


@pytest.mark.parametrize("path", BROKEN, ids=lambda path: path.stem)
def test_of_the_broken_files_those_of_a_wrong_shape_are_marked(path: Path) -> None:
    try:
        data = read(path)
    except (yaml.YAMLError, UnicodeDecodeError):
        return  # an editor marks what is no YAML by itself
    kind = kind_of(data) if isinstance(data, dict) else None
    if kind is None:
        assert path.stem in BEYOND or path.stem not in SHAPES
        return
    marked = path.stem in SHAPES or path.stem in WRITING_SEEN
    assert judge(kind).is_valid(data) is not marked


@pytest.mark.parametrize("kind", ["tree", "procedure", "cases for"])
def test_every_key_says_what_it_is_for(kind: str) -> None:
    bare = [path for path, one in keys(editor_schema(kind), "") if not one.get("description")]
    assert bare == []


def keys(schema: Any, path: str) -> list[tuple[str, dict[str, Any]]]:
    """Return every key that a schema has a place for, where it is not only a condition."""
    found: list[tuple[str, dict[str, Any]]] = []
    if isinstance(schema, list):
        for one in schema:
            found += keys(one, path)
    elif isinstance(schema, dict):
        for name, one in schema.get("properties", {}).items():
            if isinstance(one, dict) and ("type" in one or "allOf" in one or "enum" in one):
                found.append((f"{path}/{name}", one))
        for name, one in schema.items():
            if name not in ("if", "then", "else", "not", "enum", "required"):
                found += keys(one, f"{path}/{name}")
    return found


def test_every_kind_has_its_file() -> None:
    assert set(editor_files()) == {f"{name}.json" for name in SCHEMAS.values()}

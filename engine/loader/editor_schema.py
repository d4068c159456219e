"""The schemas as an editor wants them: one file that stands by itself, for YAML as editors read it.

The shipped schemas name each other by names that only this program knows, and every value is a
text to them. An editor that reads YAML looks nothing up and takes ``2`` for a number. So a schema
for an editor holds what it refers to, and takes a number or a yes and no where a text may stand.
What each key is for stays beside the key, where an editor shows it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any

from engine.loader.schema import SCHEMAS, schemas

_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
_BARE = ("string", "number", "boolean")
_DIALECT = "http://json-schema.org/draft-07/schema#"
"""The dialect that editors know best; nothing here needs a later one's words to be understood."""


def editor_schema(kind: str) -> dict[str, Any]:
    """Return the schema of a kind of file, a key of `SCHEMAS`, as one that stands by itself."""
    name = SCHEMAS[kind]
    parts = _needed(name)
    top = _rewritten(schemas()[name], name)
    definitions = {part: _rewritten(schemas()[part], part) for part in sorted(parts)}
    return {**top, "$schema": _DIALECT, "definitions": definitions}


def editor_file(kind: str) -> tuple[str, str]:
    """Return the name and the text of a schema file for an editor."""
    text = json.dumps(editor_schema(kind), ensure_ascii=False, indent=1)
    return f"{SCHEMAS[kind]}.json", f"{text}\n"


def _needed(name: str) -> set[str]:
    """Return the schemas that one refers to, directly or through another, itself included."""
    found: set[str] = set()
    waiting = [name]
    while waiting:
        one = waiting.pop()
        if one not in found:
            found.add(one)
            waiting += [other for ref in _refs(schemas()[one]) if (other := _file_of(ref, one))]
    return found


def _refs(schema: Any) -> Iterator[str]:
    if isinstance(schema, list):
        for one in schema:
            yield from _refs(one)
    elif isinstance(schema, dict):
        for key, one in schema.items():
            if key == "$ref" and isinstance(one, str):
                yield one
            else:
                yield from _refs(one)


def _file_of(ref: str, here: str) -> str:
    name, _, _ = ref.partition("#")
    return name.removeprefix("halfsplit:") if name else here


def _rewritten(schema: Any, here: str) -> Any:
    """Return a part of a schema with its references inside the one file, and texts widened."""
    if isinstance(schema, list):
        return [_rewritten(one, here) for one in schema]
    if not isinstance(schema, dict):
        return schema
    made = {
        key: one if key in ("enum", "const", "required") else _rewritten(one, here)
        for key, one in schema.items()
        if key not in ("$id", "$schema", "$ref", "const", "$comment")
    }
    if "$ref" in schema:
        made["allOf"] = [*made.get("allOf", ()), {"$ref": _inside(schema["$ref"], here)}]
    if "const" in schema:
        made["enum"] = [schema["const"]]
    if isinstance(made.get("enum"), list):
        made["enum"] = [word for one in made["enum"] for word in _spelled(one)]
    if isinstance(schema.get("type"), str | list):
        made["type"] = _widened(schema["type"])
    return made


def _inside(ref: str, here: str) -> str:
    _, _, pointer = ref.partition("#")
    return f"#/definitions/{_file_of(ref, here)}{pointer}"


def _spelled(word: Any) -> list[Any]:
    """Return a word with the number that an editor takes it for."""
    if isinstance(word, str) and _NUMBER.fullmatch(word):
        return [word, float(word) if "." in word else int(word)]
    return [word]


def _widened(type_: str | list[str]) -> str | list[str]:
    several = [type_] if isinstance(type_, str) else list(type_)
    if "string" not in several:
        return type_
    return [*several, *(one for one in _BARE if one not in several)]


def editor_files() -> Mapping[str, str]:
    """Return every schema file for an editor, by its name."""
    return dict(editor_file(kind) for kind in SCHEMAS)

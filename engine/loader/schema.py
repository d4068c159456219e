"""The names and shapes of a file, held against the schemas in ``schemas/``.

The verdict is cheap and made on every load; the library that can say what is wrong is imported
only when there is something to say, by `engine.loader.shape`.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

import jsonschema_rs

from engine.codes import problem
from engine.loader.document import Document
from engine.loader.wording import listed, nearest, shown
from engine.problems import Problem
from engine.shipped import data

SCHEMAS: Mapping[str, str] = {
    "tree": "tree",
    "procedure": "procedure",
    "vocabulary": "vocabulary",
    "glossary": "glossary",
    "cases for": "cases",
    "readings for": "readings",
    "suspects": "rank",
    "unit": "unit",
    "adds to": "added-faults",
}
"""What the first name in a file tells → the schema it is held against."""


def check(document: Document, kind: str) -> tuple[Problem, ...]:
    """Return every problem with the names and shapes of a file of this kind, in file order.

    ``kind`` is a key of `SCHEMAS`. Lines that were read on a guess are passed over: what is wrong
    with these is in the document's own problems.
    """
    if not isinstance(document.data, dict) or _validator(SCHEMAS[kind]).is_valid(document.data):
        return ()
    from engine.loader.shape import explained

    found = explained(document, schemas(), SCHEMAS[kind])
    return tuple(sorted({one for one in found if one.span.line not in document.doubtful}))


def unknown_kind(document: Document) -> Problem:
    """Return the problem of a file whose first name does not tell what the file is."""
    names = document.data if isinstance(document.data, dict) else {}
    first = next((name for name in names if name != "format"), "format")
    like = nearest(first, SCHEMAS)
    fix = f"Did you mean `{like}:`?" if like else f"Begin with {listed(SCHEMAS)}, and a colon."
    sentence = f"A file that begins with `{shown(first)}` is of no kind that is known here."
    return problem("unknown-kind", document.key(first), sentence, fix)


@lru_cache(maxsize=1)
def schemas() -> Mapping[str, Any]:
    """Return every shipped schema by the name of its file."""
    files = (one for one in data("schemas").iterdir() if one.name.endswith(".json"))
    return {
        one.name.removesuffix(".json"): json.loads(one.read_text(encoding="utf-8")) for one in files
    }


@lru_cache(maxsize=len(SCHEMAS))
def _validator(name: str) -> Any:
    registry = jsonschema_rs.Registry([(one["$id"], one) for one in schemas().values()])
    return jsonschema_rs.validator_for({"$ref": schemas()[name]["$id"]}, registry=registry)

"""The trade's tables: JSON files with a source and an edition beside the numbers.

The shipped tables lie beside this package. A shop whose local code has another edition puts a
file of the same name into the folder ``tables`` under its ``HALFSPLIT_HOME``: it is then taken
instead, whole. A local table that can't be read, or is not shaped like the shipped one, is
refused with a sentence that names the file; it is never half used.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import pairwise
from math import isfinite
from pathlib import Path
from typing import Any

from engine.figure import FigureError
from engine.shipped import tables

REQUIRED = ("source", "edition", "rows")


def table(name: str) -> dict[str, Any]:
    """Return the table ``name``: the local edition if there is one, else the shipped one.

    The answer has at least ``source``, ``edition`` and ``rows``, and is shared between callers:
    read it, never write to it. Raises FigureError for a local table that can't be used.
    """
    local = _local(name)
    if local is None:
        return _shipped(name)
    return _checked(name, str(local), local.stat().st_mtime_ns)


Editions = tuple[tuple[str, int], ...]
"""The tables of a shop's own that are in force: each file's path and when it was changed, in ns."""


def editions() -> Editions:
    """Return the local tables in force now; two equal answers stand for the same tables."""
    home = os.environ.get("HALFSPLIT_HOME")
    folder = _own_tables(home) if home else None
    if folder is None or not folder.is_dir():
        return ()
    return tuple((str(path), path.stat().st_mtime_ns) for path in sorted(folder.glob("*.json")))


@lru_cache(maxsize=8)
def _own_tables(home: str) -> Path:
    """Return where a shop's tables lie; kept, since it is asked before every figure."""
    return Path(home) / "tables"


def _local(name: str) -> Path | None:
    home = os.environ.get("HALFSPLIT_HOME")
    if not home:
        return None
    path = _own_tables(home) / f"{name}.json"
    return path if path.is_file() else None


@lru_cache(maxsize=64)
def _shipped(name: str) -> dict[str, Any]:
    return _object(tables() / f"{name}.json")


@lru_cache(maxsize=64)
def _checked(name: str, path: str, changed: int) -> dict[str, Any]:
    """Return a local table that is shaped like the shipped one; ``changed`` renews the cache."""
    model = _shipped(name)
    try:
        given = _object(Path(path))
    except (OSError, ValueError, RecursionError) as error:
        raise _unusable(path, f"it is not readable as JSON ({error})") from None
    for key in REQUIRED:
        if not given.get(key):
            raise _unusable(path, f"it has no {key}")
    for key, value in model.items():
        if key not in given:
            raise _unusable(path, f"it has no {key}, which the shipped table has")
        if key == "rows":
            _check_rows(path, given[key], value)
        elif not _alike(given[key], value):
            raise _unusable(path, f"its {key} is not of the kind the shipped table has")
    return given


def _object(path: Path) -> dict[str, Any]:
    data = json.loads(path.read_text(encoding="utf-8"))
    if not isinstance(data, dict):
        raise ValueError("the outermost part is not an object")
    return data


def _check_rows(path: str, given: object, model: list[object]) -> None:
    if not isinstance(given, list):
        raise _unusable(path, "its rows are not a list")
    for number, row in enumerate(given, start=1):
        if not any(_alike(row, other) for other in model):
            raise _unusable(path, f"row {number} of its rows is not like a row of the shipped one")
    if _rises(model) and not _rises(given):
        raise _unusable(path, "its rows do not rise in their first column")


def _rises(rows: Sequence[object]) -> bool:
    """Return whether the first column is numbers that rise from row to row."""
    firsts = [row[0] if isinstance(row, list) and row else row for row in rows]
    numbers = [first for first in firsts if isinstance(first, (int, float))]
    return len(numbers) == len(rows) and all(one < two for one, two in pairwise(numbers))


def _alike(given: object, model: object) -> bool:
    """Return whether ``given`` has the shape of ``model``: same keys, lengths, text or number."""
    if isinstance(model, dict):
        return (
            isinstance(given, dict)
            and given.keys() == model.keys()
            and all(_alike(given[key], value) for key, value in model.items())
        )
    if isinstance(model, list):
        return isinstance(given, list) and len(given) == len(model) and _all_alike(given, model)
    if isinstance(model, (int, float)) and not isinstance(model, bool):
        return isinstance(given, (int, float)) and not isinstance(given, bool) and isfinite(given)
    return type(given) is type(model)


def _all_alike(given: Iterable[object], model: Iterable[object]) -> bool:
    return all(_alike(one, other) for one, other in zip(given, model, strict=True))


def _unusable(path: str, why: str) -> FigureError:
    return FigureError(
        f"The local table {path} can't be used: {why}. Mend it, or move it away to use the "
        "shipped one.",
        "table",
    )

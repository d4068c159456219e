"""JSON as programs write it, made such that it can be read as YAML, line by line the same."""

from __future__ import annotations

import json
import re
from typing import NamedTuple

_ESCAPED = re.compile(r"\\\\|\\u[0-9a-fA-F]{4}(?:\\u[dD][c-fC-F][0-9a-fA-F]{2})?")


def plain_json(raw: bytes) -> bytes:
    """Return JSON with escaped characters written out and no tabs; anything else as it is.

    No line moves, so that a problem is found where it stands.
    """
    try:
        text = raw.decode("utf-8-sig")
        json.loads(text)
    except ValueError:
        return raw
    # Within a JSON text a tab can only stand between words.
    return _ESCAPED.sub(_written_out, text.replace("\t", " ")).encode("utf-8", "replace")


def _written_out(escape: re.Match[str]) -> str:
    character = json.loads(f'"{escape[0]}"')
    return character if character.isprintable() and character not in '"\\' else escape[0]


_CLOSES = {"{": "}", "[": "]", '"': '"'}
_MARKS = re.compile(r'"(?:[^"\\\n]|\\.)*"|[][{}"]')


class CutShort(NamedTuple):
    """Where JSON breaks off: the last bracket or quote that is open at its end, and what closes."""

    line: int
    column: int
    opened: str
    closing: str
    """What would close everything that is open, the innermost first."""


def cut_short(raw: bytes) -> CutShort | None:
    """Return where JSON that ends too early was left open; None for anything else."""
    text = raw.decode("utf-8-sig", "replace")
    if not text.lstrip().startswith(("{", "[")):
        return None
    still_open: list[re.Match[str]] = []
    for mark in _MARKS.finditer(text):
        if mark[0] in _CLOSES:
            still_open.append(mark)
        elif mark[0] in "]}" and not (still_open and _CLOSES[still_open.pop()[0]] == mark[0]):
            return None  # That is another mistake than an end too early.
    if not still_open:
        return None
    last, before = still_open[-1], text[: still_open[-1].start()]
    closing = "".join(_CLOSES[one[0]] for one in reversed(still_open))
    return CutShort(before.count("\n") + 1, last.start() - before.rfind("\n"), last[0], closing)

"""JSON as programs write it, made such that it can be read as YAML, line by line the same."""

from __future__ import annotations

import json
import re

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

"""Lines of YAML as a technician would write them: words plain, sentences in blocks, remarks."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Iterator

INDENT = "  "
WIDTH = 98
_PLAIN = re.compile(r"[A-Za-z][A-Za-z0-9 _./()'+-]*")
_TAKEN = frozenset({"yes", "no", "on", "off", "true", "false", "null", "y", "n"})
"""Words that another reader of the file would take for something else than themselves."""


def quoted(text: str) -> str:
    """Return a text as a value or a name: plain where nothing in it can be misread."""
    if _PLAIN.fullmatch(text) and text.casefold() not in _TAKEN and text == text.strip():
        return text
    return "'" + text.replace("'", "''") + "'" if '"' in text or "\\" in text else f'"{text}"'


def remark(text: str, depth: int = 0) -> Iterator[str]:
    """Yield a text as remarks."""
    before = f"{INDENT * depth}# "
    yield from textwrap.wrap(
        text, WIDTH, initial_indent=before, subsequent_indent=before, break_on_hyphens=False
    )


def pair(name: str, value: str, depth: int) -> str:
    """Return a name with a value that is written as it stands."""
    return f"{INDENT * depth}{name}: {value}"


def block(name: str, text: str, depth: int) -> Iterator[str]:
    """Yield a name with its sentences in a block, where nothing can be misread."""
    yield f"{INDENT * depth}{name}: |"
    yield f"{INDENT * (depth + 1)}{text}"


def pairs(rows: Iterable[tuple[str, str]], depth: int) -> Iterator[str]:
    """Yield names with values that are written as they stand; empty ones are left out."""
    for name, value in rows:
        if value:
            yield pair(name, value, depth)

"""How wide what is said may be, and lines folded to it: one place for every command.

Owns `folded` and `say`. A table for a file has plenty of room; a person's line has 78 columns.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterable
from textwrap import wrap
from typing import TextIO

FREE = 100
"""Columns where nobody's window limits them."""
WIDTH = 78
"""Columns of a line at most; fewer where the terminal has fewer."""


def columns(out: TextIO) -> int:
    """Return the columns that a table for this output may take."""
    return shutil.get_terminal_size((FREE, 24)).columns if out.isatty() else FREE


def folded(line: str, width: int, further: int | None = None) -> list[str]:
    """Return a line as lines of at most so many columns, words whole.

    The further ones are set in by ``further``, or by two more than the line itself.
    """
    indent = len(line) - len(line.lstrip()) + 2 if further is None else further
    return wrap(line, width, subsequent_indent=" " * indent, break_on_hyphens=False) or [""]


def say(out: TextIO, lines: Iterable[str]) -> None:
    """Write lines, those too long for the terminal folded, what belongs together kept together."""
    width = min(WIDTH, shutil.get_terminal_size((WIDTH, 24)).columns)
    for line in lines:
        for part in folded(line, width):
            out.write(f"{part}\n")

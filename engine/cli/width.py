"""How wide a table may be: the terminal's columns, or plenty where the output is no terminal."""

from __future__ import annotations

import shutil
from typing import TextIO

FREE = 100
"""Columns where nobody's window limits them."""


def columns(out: TextIO) -> int:
    """Return the columns that a table for this output may take."""
    return shutil.get_terminal_size((FREE, 24)).columns if out.isatty() else FREE

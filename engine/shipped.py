"""Where the shipped trees, schemas and tables lie, installed or in a checkout.

Plain paths, found from this file: an installed wheel is always unpacked, and importlib.resources
would cost a tenth of the start of a command that only works out a figure.
"""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def data(folder: str) -> Path:
    """Return the shipped folder ``trees`` or ``schemas``.

    A wheel carries both inside the package; an editable install and a checkout have them
    beside it.
    """
    packed = _PACKAGE / "_data" / folder
    return packed if packed.is_dir() else _PACKAGE.parent / folder


def tables() -> Path:
    """Return the folder of the trade's tables, one JSON file each with its source inside."""
    return _PACKAGE / "trade" / "tables"

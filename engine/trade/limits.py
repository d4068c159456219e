"""The limits that practice and standards set, each by name with its source in the table."""

from __future__ import annotations

from engine.figure import FigureError
from engine.trade.table import table


def limit(name: str) -> float:
    """Return the limit ``name`` in the unit that the table ``limits`` gives beside it.

    Raises FigureError where a local edition of the table has left it out.
    """
    for row in table("limits")["rows"]:
        if row["name"] == name:
            return float(row["value"])
    raise FigureError(f"The table of limits has no row named '{name}'; add it.", "table")

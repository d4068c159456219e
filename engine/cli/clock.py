"""The time of day: the one place that asks the machine for it."""

from __future__ import annotations

from datetime import UTC, datetime


def clock() -> datetime:
    """Return the moment now, with the offset from UTC that records are kept in."""
    return datetime.now(UTC).astimezone()

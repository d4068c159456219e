"""When something was entered, and by whom. A name may be left out; then nothing stands for it."""

from __future__ import annotations

from engine.entries import Entry


def clock(entry: Entry) -> str:
    """Return the time of day of an entry: ``13:29``."""
    return entry.time[11:16]


def named(when: str, by: str) -> str:
    """Return a time and the name: ``13:29, Ann Lee``; the time alone where there is none."""
    return f"{when}, {by}" if by else when


def by_whom(entry: Entry) -> str:
    """Return when something was done and by whom: ``13:29 by Ann Lee``."""
    return f"{clock(entry)} by {entry.by}" if entry.by else clock(entry)


def noted(when: str, by: str) -> str:
    """Return what stands before a note: ``13:29 Ann Lee``."""
    return f"{when} {by}" if by else when

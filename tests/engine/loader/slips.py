"""Slips put into files that have none, and where they are found."""

from __future__ import annotations

from pathlib import Path

from engine.loader import library


def found(path: Path, text: str) -> list[tuple[str, int, int]]:
    """Return the code and place of every problem of a file with that text."""
    path.write_text(text, encoding="utf-8", newline="\n")
    return [(one.code, one.span.line, one.span.column) for one in library.check(path)]


def changed(text: str, *pairs: tuple[str, str]) -> str:
    """Return a text with some of its words exchanged, each where it first stands."""
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def place_of(text: str, words: str) -> tuple[int, int]:
    """Return the line and column, from 1, at which words first stand in a text."""
    at = text.index(words)
    return text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at)

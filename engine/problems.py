"""What is wrong with a file: where, what, and what would be right.

A problem is about a file somebody wrote (software trouble is never called a fault here).
Every module that finds one returns it; none raises it, so that all problems of a file come
out in one run.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How much a problem matters, in words."""

    STOPS = "stops the tree"
    """The tree cannot be walked, or must not be."""
    MEND = "mend"
    """The tree can be walked, but a technician would be misled or left without help."""
    NOTE = "note"
    """Worth knowing; nothing has to change."""


@dataclass(frozen=True, order=True, slots=True)
class Span:
    """A place in a file: line and column count from 1."""

    path: str
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}"


@dataclass(frozen=True, order=True, slots=True)
class Problem:
    """One thing wrong with a file, in one sentence, and the fix in another."""

    span: Span
    code: str
    """A short name that never changes, for example ``unknown-key``."""
    sentence: str
    fix: str = ""
    severity: Severity = Severity.STOPS

    def __str__(self) -> str:
        words = f"{self.span} {self.code} {self.sentence}"
        return f"{words} {self.fix}" if self.fix else words

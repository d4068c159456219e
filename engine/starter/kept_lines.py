"""Lines of an interview as a text file: each question as a remark, each line behind a ``>``."""

from __future__ import annotations

from collections.abc import Iterable

from engine.starter.interview import Line

MARK = ">"
_ABOUT = "# Answers of `halfsplit new tree`. A line counts that begins with >; > alone is Enter.\n"


def to_text(lines: Iterable[Line]) -> str:
    """Return the lines with their questions, to be read again by `from_text`."""
    parts = [f"\n# {line.question}\n{MARK} {line.text}".rstrip() + "\n" for line in lines]
    return _ABOUT + "".join(parts)


def from_text(text: str) -> tuple[str, ...]:
    """Return the lines that stand behind a mark, as they were typed."""
    rows = (row.strip() for row in text.splitlines())
    return tuple(row.removeprefix(MARK).strip() for row in rows if row.startswith(MARK))

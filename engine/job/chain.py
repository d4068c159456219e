"""The record's lines: JSON, one entry each, every line carrying the hash of the one before.

A line is its entry in canonical JSON (sorted keys, no spaces, UTF-8) with ``hash`` = SHA-256 of
the line before's hash followed by the entry's own JSON. Changing, dropping or reordering a line
shows at the next one.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

FORMAT = 1
"""The format of a job's record; a newer one is refused with a sentence."""

BEGINNING = "0" * 64
"""What stands in the place of a hash before the first line."""


class JobError(ValueError):
    """What is wrong with a job's record, in a sentence a technician can act on."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a record as it stands on disk."""

    number: int
    content: Mapping[str, object]
    hash: str
    sound: bool
    """The hash is the one that the line before and the content give."""


def canonical(content: Mapping[str, object]) -> str:
    """Return content as the one JSON text that its hash is taken of."""
    return json.dumps(content, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def hash_after(before: str, content: Mapping[str, object]) -> str:
    """Return the hash of a line with this content after a line with the hash ``before``."""
    return hashlib.sha256((before + canonical(content)).encode("utf-8")).hexdigest()


def sealed(before: str, content: Mapping[str, object]) -> tuple[str, str]:
    """Return (the line to write, its hash); the line ends in one newline."""
    own = hash_after(before, content)
    return canonical({**content, "hash": own}) + "\n", own


def read_lines(raw: bytes) -> tuple[list[Line], bytes]:
    """Return the whole lines of a record, and what is left of a line torn at the end.

    Raises JobError for a line in the middle that is not JSON, and for a format not known here.
    """
    whole, newline, torn = raw.rpartition(b"\n")
    pieces = whole.split(b"\n") if newline else []
    lines: list[Line] = []
    before = BEGINNING
    for number, piece in enumerate(pieces, 1):
        content = _content(piece)
        if content is None:
            if number == len(pieces) and not torn:
                return lines, piece + b"\n"
            raise JobError(f"Line {number} of the record can't be read; the lines after it can.")
        said = str(content.pop("hash", ""))
        _know_format(content, number)
        lines.append(Line(number, content, said, said == hash_after(before, content)))
        before = said
    return lines, torn


def _content(piece: bytes) -> dict[str, object] | None:
    try:
        content = json.loads(piece.decode("utf-8"))
    except ValueError:
        return None
    return content if isinstance(content, dict) else None


def _know_format(content: Mapping[str, object], number: int) -> None:
    said = content.get("format", FORMAT)
    if said != FORMAT:
        raise JobError(
            f"Line {number} of this record has format {said}; this version knows {FORMAT}. "
            "Open it with the version that wrote it, or a newer one."
        )


def unsound(lines: list[Line]) -> Iterator[str]:
    """Yield a sentence for every line that does not fit the line before it."""
    for line in lines:
        if not line.sound:
            yield f"Line {line.number} is not as it was written, or a line before it is missing."

"""The record's lines: JSON, one entry each, every line carrying the hash of the one before.

A line is its entry in canonical JSON (sorted keys, no spaces, UTF-8) with ``hash`` = SHA-256 of
the line before's hash followed by the entry's own JSON. Changing a byte of a line, dropping one
or exchanging two shows at that line or at the next. What no chain can show is that lines at the
very end were dropped; the report prints the last line's hash, so paper can.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
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
    """Every byte is as it was written after the line before."""


@dataclass(frozen=True, slots=True)
class Lines:
    """A record taken apart."""

    whole: tuple[Line, ...]
    unreadable: tuple[int, ...]
    """Numbers of lines that can't be read, with lines behind them that can."""
    end: int
    """Bytes up to the end of the last line that can be read, with its newline if it has one."""
    newline: bool
    """The last line has its newline."""
    torn: bytes
    """What is left of a line that a crash had cut off; empty where nothing is."""


def canonical(content: Mapping[str, object]) -> bytes:
    """Return content as the one JSON text that its hash is taken of.

    A character that UTF-8 can't hold (half of a pair, from a terminal of another encoding)
    becomes a question mark.
    """
    text = json.dumps(content, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return text.encode("utf-8", "replace")


def hash_after(before: str, content: Mapping[str, object]) -> str:
    """Return the hash of a line with this content after a line with the hash ``before``."""
    return hashlib.sha256(before.encode("ascii", "replace") + canonical(content)).hexdigest()


def sealed(before: str, content: Mapping[str, object]) -> tuple[bytes, str]:
    """Return (the line to write, its hash); the line ends in one newline."""
    own = hash_after(before, content)
    return canonical({**content, "hash": own}) + b"\n", own


def read_lines(raw: bytes) -> Lines:
    """Return the lines of a record; raises JobError for a format not known here.

    The bytes may be cut off anywhere and hold anything. A last line that is whole but for its
    newline counts; what can't be read at the end is torn, what can't be read before it is told.
    """
    lines: list[Line] = []
    unreadable: list[int] = []
    before, at, end = BEGINNING, 0, 0
    for number, piece in enumerate(raw.split(b"\n"), 1):
        content = content_of(piece)
        if content is None:
            unreadable.append(number)
        else:
            line = _line(number, piece, content, before)
            lines.append(line)
            before, end = line.hash, at + len(piece)
        at += len(piece) + 1
    newline = raw[end : end + 1] == b"\n"
    end += newline
    last = lines[-1].number if lines else 0
    inside = tuple(number for number in unreadable if number < last)
    return Lines(tuple(lines), inside, end, newline, raw[end:].strip())


def _line(number: int, piece: bytes, content: dict[str, object], before: str) -> Line:
    _know_format(content, number)
    said = str(content.pop("hash", ""))
    sound = said == hash_after(before, content) and piece == canonical({**content, "hash": said})
    return Line(number, content, said, sound)


def content_of(piece: bytes) -> dict[str, object] | None:
    """Return what a line holds; None for one that is no JSON object."""
    try:
        content = json.loads(piece.decode("utf-8"))
    except (ValueError, RecursionError):
        return None
    return content if isinstance(content, dict) else None


def _know_format(content: Mapping[str, object], number: int) -> None:
    said = content.get("format", FORMAT)
    if said != FORMAT:
        raise JobError(
            f"Line {number} of this record has format {said!s:.20}; this version knows {FORMAT}. "
            "Open it with the version that wrote it, or a newer one."
        )


def unsound(lines: Lines) -> Iterator[str]:
    """Yield a sentence for every line that is not as it was written, in order."""
    found = [(number, f"Line {number} can't be read.") for number in lines.unreadable]
    found += [(line.number, _not_as_written(line)) for line in lines.whole if not line.sound]
    yield from (sentence for _, sentence in sorted(found))


def _not_as_written(line: Line) -> str:
    return f"Line {line.number} is not as it was written, or a line before it is missing."


def last_hash(lines: Sequence[Line]) -> str:
    """Return the hash that the next line hangs on."""
    return lines[-1].hash if lines else BEGINNING

"""Suspects that no check can tell apart."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from engine.matrix import Matrix


def groups(matrix: Matrix) -> list[list[str]]:
    """Return the suspects that no check can tell apart, together; single ones, too."""
    rows = (
        tuple(frozenset(check.shows[suspect].items()) for check in matrix.checks)
        for suspect in matrix.names
    )
    return [
        [name for at, name in enumerate(matrix.names) if one >> at & 1] for one in classes(rows)
    ]


def classes(rows: Iterable[object]) -> list[int]:
    """Return the sets of suspects with equal rows, as bits; rows stand in the suspects' order."""
    found: dict[object, int] = {}
    for at, row in enumerate(rows):
        found[row] = found.get(row, 0) | 1 << at
    return list(found.values())


def bits(mask: int) -> Iterator[int]:
    """Yield the positions of the bits of a set."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low

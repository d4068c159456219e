"""Where each box stands on the sheet, and how the lines run.

Pieces are set one after the other as high as they go without touching what stands already, on a
sheet of equal columns that is about as wide as printers' paper is long. Lines run at right
angles: out of a row, along a lane of their own between two columns, into the box.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from engine.drawing.cards import WIDTH, Card, Row
from engine.drawing.lines import WIDEST, Line
from engine.drawing.pieces import BETWEEN, Piece, Stop

Point = tuple[float, float]

LANE = 10
"""From one lane to the next."""
BESIDE = 14
"""From a box to the first lane, and from the last lane to the next box."""
MOST_COLUMNS = 4 * WIDEST
PROPORTION = 1.3
"""Least width of a sheet for its height; A3 and its kin have 1.41."""


@dataclass(frozen=True, slots=True)
class Placed:
    """Everything in its place."""

    at: Mapping[str, Point]
    """The upper left corner of every box, by its id."""
    lines: tuple[tuple[Point, ...], ...]
    """From a row to a box, by the corners."""
    width: float
    height: float


def placed(cards: Sequence[Card], lines: Iterable[Line]) -> Placed:
    """Return where the boxes stand; the same cards give the same places."""
    pieces = [Piece(part, own) for part, own in _pieces(cards, list(lines))]
    lanes = max(len(gap) for piece in pieces for gap in piece.gaps)
    pitch = WIDTH + 2 * BESIDE + LANE * lanes
    columns = max(len(piece.columns) for piece in pieces)
    settled = _settled(pieces, columns)
    while columns < MOST_COLUMNS and columns * pitch < PROPORTION * settled.height:
        columns += 1
        settled = _settled(pieces, columns)
    at: dict[str, Point] = {}
    drawn: list[tuple[Point, ...]] = []
    for piece, (column, y) in zip(pieces, settled.corners, strict=True):
        for name, stop in piece.stops.items():
            at[name] = ((column + stop.column) * pitch, y + stop.y)
        drawn += _lines(piece, column * pitch, y, pitch)
    return Placed(at, tuple(drawn), max(x for x, _ in at.values()) + WIDTH, settled.height)


def _pieces(
    cards: Sequence[Card], lines: Sequence[Line]
) -> Iterator[tuple[list[Card], list[Line]]]:
    """Yield the cards that lines join, with those lines, in the order of their first card."""
    piece = {card.box.id: card.box.id for card in cards}

    def root(name: str) -> str:
        while piece[name] != name:
            name = piece[name]
        return name

    for name, to in lines:
        piece[root(to)] = root(name)
    together: dict[str, list[Card]] = {}
    for card in cards:
        together.setdefault(root(card.box.id), []).append(card)
    for own in together.values():
        names = {card.box.id for card in own}
        yield own, [line for line in lines if line[0] in names]


# --- pieces on the sheet --------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Settled:
    """Where the pieces stand on a sheet of so many columns."""

    corners: tuple[tuple[int, float], ...]
    """The first column of each, and how far down its top is."""
    height: float


def _settled(pieces: Sequence[Piece], columns: int) -> _Settled:
    """Set each piece as high as it goes, as far left as it goes there."""
    filled = [0.0] * (2 * columns)
    corners: list[tuple[int, float]] = []
    for piece in pieces:
        outline = _outline(piece)
        y, first = min(
            (_lowest(outline, filled, first), first)
            for first in range(columns - len(piece.columns) + 1)
        )
        for strip, (_, foot) in outline.items():
            filled[2 * first + strip] = y + foot + BETWEEN
        corners.append((first, y))
    return _Settled(tuple(corners), max(filled) - BETWEEN)


def _lowest(outline: Mapping[int, Point], filled: Sequence[float], first: int) -> float:
    """Return how far down a piece must begin to clear what stands in its columns and gaps."""
    return max(0.0, *(filled[2 * first + strip] - top for strip, (top, _) in outline.items()))


def _outline(piece: Piece) -> dict[int, Point]:
    """Return top and foot of a piece in each strip: columns are even, the gaps before them odd."""
    outline: dict[int, Point] = {}
    for n, column in enumerate(piece.columns):
        top = min(stop.y - stop.above for stop in column)
        outline[2 * n] = top, max(stop.y + stop.height for stop in column)
    for n, gap in enumerate(piece.gaps):
        if gap:
            ends = [run.ends for run in gap]
            outline[2 * n - 1] = min(top for top, _ in ends), max(foot for _, foot in ends)
    return outline


# --- lines ----------------------------------------------------------------------------------------


def _lines(piece: Piece, x: float, y: float, pitch: float) -> Iterator[tuple[Point, ...]]:
    """Yield every line of a piece whose corner is at x and y."""
    lanes: dict[Stop, float] = {}
    for column, gap in enumerate(piece.gaps):
        before = x + (column - 1) * pitch + WIDTH + BESIDE
        lanes |= {run.stop: before + n * LANE for n, run in enumerate(gap)}
    for start, row, way in piece.rows():
        path = _path(start, row, way, lanes, x, pitch)
        yield tuple((across, y + down) for across, down in path)


def _path(
    start: Stop, row: Row, way: Sequence[Stop], lanes: Mapping[Stop, float], x: float, pitch: float
) -> Iterator[Point]:
    down = start.y + row.port
    yield x + start.column * pitch + WIDTH, down
    for stop in way:
        yield lanes[stop], down
        down = stop.entry
        yield lanes[stop], down
        yield x + stop.column * pitch, down

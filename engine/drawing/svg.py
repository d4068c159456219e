"""The drawing as SVG: black on white, nothing told by colour, nothing fetched from anywhere.

Outlines differ by kind, and every kind is said in words, too. The same chart gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from engine.drawing.cards import (
    LEADING,
    PAD,
    SIGN,
    SMALL,
    TAB,
    TINY,
    TITLE,
    WIDTH,
    Card,
    Row,
    cards_of,
    connector,
    signal_width,
)
from engine.drawing.chart import Chart
from engine.drawing.legend import HEAD_HEIGHT, LEGEND_HEIGHT, head, legend
from engine.drawing.lettering import FONTS, width
from engine.drawing.lines import lines_of
from engine.drawing.outlines import caution_sign, outline
from engine.drawing.placing import Placed, Point, placed
from engine.drawing.strokes import closed, escaped, line, number, path, rectangle, text
from engine.drawing.ways import WayKind
from engine.safe_words import Signal

MARGIN = 56
NARROWEST = 1000
SQUARE = 500
"""Side of a square of the grid by which a number is found, as on a map."""
_TURN = 5
"""Radius of a line's corners."""
_STYLE = (
    f"text{{font-family:{FONTS};fill:#000}}"
    ".l{fill:none;stroke:#000;stroke-width:1.1}"
    ".b{fill:#fff;stroke:#000;stroke-width:1.2}"
    ".n{fill:none;stroke:#000;stroke-width:1}"
    ".d{fill:#fff;stroke:#000;stroke-width:1.2;stroke-dasharray:5 3}"
    ".h{fill:none;stroke:#000;stroke-width:.5}"
    ".f{fill:#000}"
)


def drawing(chart: Chart) -> str:
    """Return the whole tree as one SVG."""
    lines = lines_of(chart)
    cards = cards_of(chart, lines)
    return _Sheet(chart, cards, placed(cards, lines)).svg()


@dataclass(frozen=True)
class _Sheet:
    """One drawing with everything in its place."""

    chart: Chart
    cards: tuple[Card, ...]
    place: Placed

    @cached_property
    def _size(self) -> Point:
        down = self._top + self.place.height + LEGEND_HEIGHT + 2 * MARGIN
        return max(self.place.width, NARROWEST) + 2 * MARGIN, down

    @property
    def _top(self) -> float:
        """Where the boxes begin."""
        return MARGIN + HEAD_HEIGHT + TAB

    def svg(self) -> str:
        """Return the drawing."""
        across, down = map(number, self._size)
        room = self._size[0] - 2 * MARGIN
        edition = f", revision {self.chart.revision}" if self.chart.revision else ""
        about = f"{self.chart.title}{edition}"
        parts = [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {across} {down}" '
            f'width="{across}" height="{down}">',
            f"<title>{escaped(about)}</title>",
            # Printed, the page is the sheet: a browser would else cut it to the paper.
            f"<style>@page{{size:{across}px {down}px;margin:0}}{_STYLE}</style>",
            f'<rect width="{across}" height="{down}" fill="#fff"/>',
            *head(self.chart, MARGIN, MARGIN - 20, room),
            *self._edge(),
            *(self._line(one) for one in self.place.lines),
            *(part for card in self.cards for part in self._card(card)),
            *legend(MARGIN, self._top + self.place.height + MARGIN, room),
            "</svg>",
        ]
        return "\n".join(parts) + "\n"

    def _at(self, name: str) -> Point:
        x, y = self.place.at[name]
        return MARGIN + x, self._top + y

    # --- finding a number -----------------------------------------------------------------------

    def _edge(self) -> Iterator[str]:
        """Yield the letters and numbers along the edges, with a tick where one square ends."""
        (across, _), top = self._size, self._top - TAB
        low = self._top + self.place.height + 10
        for n in range(int(self.place.width // SQUARE) + 1):
            left = MARGIN + n * SQUARE
            middle = min(left + SQUARE / 2, across - MARGIN)
            for y in (top - 4, low + 14):
                yield text(middle, y, _letters(n), 16, bold=True, anchor="middle")
            yield line(left, top - 16, left, top - 2, "h")
            yield line(left, low, left, low + 14, "h")
        for n in range(int(self.place.height // SQUARE) + 1):
            above = self._top + n * SQUARE
            middle = min(above + SQUARE / 2, low)
            for x in (MARGIN / 2, across - MARGIN / 2):
                yield text(x, middle, str(n + 1), 16, bold=True, anchor="middle")
                yield line(x - 8, above, x + 8, above, "h")

    def _square(self, name: str) -> str:
        """Return the square of the grid that a box begins in: ``B3``."""
        if name not in self.place.at:
            return ""
        x, y = self.place.at[name]
        return f"{_letters(int(x // SQUARE))}{int(y // SQUARE) + 1}"

    # --- lines ----------------------------------------------------------------------------------

    def _line(self, corners: Sequence[Point]) -> str:
        points = [(MARGIN + x, self._top + y) for x, y in corners]
        (first_x, first_y), *_, (last_x, last_y) = points
        steps = [("M", first_x, first_y)]
        for before, here, after in zip(points, points[1:], points[2:], strict=False):
            (ax, ay), (bx, by) = _towards(here, before), _towards(here, after)
            steps += [("L", ax, ay), ("Q", *here), (" ", bx, by)]
        tip = closed(
            [(last_x, last_y), (last_x - 8, last_y - 3.5), (last_x - 8, last_y + 3.5)], "f"
        )
        return path([*steps, ("L", last_x - 6, last_y)], "l") + tip

    # --- boxes ----------------------------------------------------------------------------------

    def _card(self, card: Card) -> Iterator[str]:
        x, y = self._at(card.box.id)
        if card.box.stage:
            yield from _tab(x, y, card.box.stage)
        yield from outline(card.box.shape, x, y, WIDTH, card.height)
        foot = y + 10
        for n, words in enumerate(card.title):
            foot += LEADING + 2
            indent = _badge_width(card.box.number) if card.box.number else 0
            yield text(x + PAD + indent, foot, words, TITLE, bold=True)
            if n == 0 and card.box.number:
                yield from _badge(x + PAD, foot, card.box.number)
        yield from self._label(card, x, foot)
        foot += LEADING * max(len(card.label), len(card.box.signals))
        for words in card.notes:
            foot += LEADING
            yield text(x + PAD, foot, words, SMALL, bold=True)
        for row in card.rows:
            yield from self._row(row, x, y)
        foot = y + card.height - 11 * len(card.sources) + 2
        for n, words in enumerate(card.sources):
            yield text(x + PAD, foot + 11 * n, words, TINY)

    def _label(self, card: Card, x: float, foot: float) -> Iterator[str]:
        """Yield what kind of thing it is, and at the right what is warned of."""
        for n, words in enumerate(card.label, 1):
            yield text(x + PAD, foot + LEADING * n, words, SMALL)
        for n, signal in enumerate(card.box.signals, 1):
            left = x + WIDTH - PAD - signal_width(signal)
            if signal is not Signal.NOTICE:
                yield from caution_sign(left, foot + LEADING * n, SIGN)
            yield text(left + SIGN + 3, foot + LEADING * n, signal, 10, bold=True)

    def _row(self, row: Row, x: float, y: float) -> Iterator[str]:
        heading = row.way.kind is WayKind.JUDGED
        for n, words in enumerate(row.lines, 1):
            yield text(x + PAD, y + row.top + LEADING * n - 4, words, SMALL, bold=heading)
        if row.way.to and not row.line_to:
            said = connector(row.way, self.chart)
            right, foot = x + WIDTH - PAD, y + row.top + row.height / 2 + 3
            square = self._square(row.way.to)
            yield text(right, foot, square, TINY, anchor="end")
            yield text(right - 20, foot, said, SMALL, bold=True, anchor="end")
        yield line(x + PAD, y + row.top - 2, x + WIDTH - PAD, y + row.top - 2, "h")


def _letters(n: int) -> str:
    """Return the letters of a column: A to Z, then AA, AB and so on."""
    return (_letters(n // 26 - 1) if n >= 26 else "") + chr(ord("A") + n % 26)


def _towards(here: Point, there: Point) -> Point:
    """Return the point on the way, a corner's radius off, or half way where it is nearer."""
    (x, y), (a, b) = here, there
    far = abs(a - x) + abs(b - y)
    part = min(_TURN, far / 2) / far if far else 0
    return x + (a - x) * part, y + (b - y) * part


def _tab(x: float, y: float, stage: str) -> Iterator[str]:
    wide = width(stage, TINY + 1, bold=True) + 12
    yield rectangle(x + 8, y - TAB + 2, min(wide, WIDTH - 16), TAB - 2, "b")
    yield text(x + 14, y - 4, stage, TINY + 1, bold=True)


def _badge_width(box_number: str) -> float:
    return width(box_number, TITLE, bold=True) + 16


def _badge(x: float, foot: float, box_number: str) -> Iterator[str]:
    wide = _badge_width(box_number) - 6
    yield rectangle(x, foot - 13, wide, 17, "n", round_=8)
    yield text(x + wide / 2, foot, box_number, TITLE, bold=True, anchor="middle")

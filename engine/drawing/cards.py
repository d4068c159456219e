"""What stands in each box, line by line, and how high the box is for it.

From top to bottom: the stage on a tab, number and title, what kind of thing it is with its
signal words, who may do it, then a row for each way on. A row that is no line ends in the number
of the box that it leads to. All lengths are in the drawing's own units, a letter of running text
being `SMALL` high.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from engine.drawing.chart import Box, Chart
from engine.drawing.lettering import width, wrapped
from engine.drawing.lines import Line
from engine.drawing.ways import Way, WayKind
from engine.tree import GO_ON, RETURN

WIDTH = 236
PAD = 9
TITLE, SMALL, TINY = 13, 11, 9
LEADING = 14
"""From one line of running text to the next."""
TAB = 18
"""Height of the tab with the stage."""
CONNECTOR = 62
"""Room at the end of a row for the number that it leads to, and its place."""
_SQUARE = 30
"""Of that, for the place alone."""
GRID = 8
"""Lines leave a box on multiples of this, and arrive half way between."""


@dataclass(frozen=True, slots=True)
class Row:
    """One way on, as it stands in the box."""

    lines: tuple[str, ...]
    way: Way
    top: float
    """From the top of the box."""
    line_to: str = ""
    """The box that a line leads to; empty where a number does."""

    @property
    def height(self) -> float:
        """Return how high it is."""
        return len(self.lines) * LEADING

    @property
    def port(self) -> float:
        """Return where its line leaves, from the top of the box."""
        middle = self.top + self.height / 2 - 4
        return round(middle / GRID) * GRID


@dataclass(frozen=True, slots=True)
class Card:
    """One box with its lines of text."""

    box: Box
    title: tuple[str, ...]
    label: tuple[str, ...]
    notes: tuple[str, ...]
    """Who, and the author's cautions."""
    rows: tuple[Row, ...]
    sources: tuple[str, ...]
    """Lines with the numbers of the boxes that lead here by number."""
    height: float

    @property
    def entry(self) -> float:
        """Return where lines arrive, from the top of the box."""
        return 2.5 * GRID


def cards_of(chart: Chart, lines: Collection[Line]) -> tuple[Card, ...]:
    """Return the card of every box, in the order of the chart."""
    drawn = frozenset(lines)
    by_number = _sources(chart, drawn)
    return tuple(_card(box, drawn, by_number.get(box.id, ())) for box in chart.boxes)


def _sources(chart: Chart, drawn: Collection[Line]) -> Mapping[str, tuple[str, ...]]:
    """Return from which numbers each box is come to without a line."""
    found: dict[str, dict[str, None]] = {}
    for box in chart.boxes:
        for way in box.ways:
            if way.to and (box.id, way.to) not in drawn:
                found.setdefault(way.to, {})[box.number or box.title] = None
    return {name: tuple(numbers) for name, numbers in found.items()}


def _card(box: Box, drawn: Collection[Line], sources: tuple[str, ...]) -> Card:
    room = WIDTH - 2 * PAD
    title = wrapped(box.title, TITLE, room - (30 if box.number else 0), bold=True)
    label = wrapped(box.label, SMALL, room - _room_for_signals(box))
    notes = tuple(_notes(box, room))
    below = max(len(label), len(box.signals)) + len(notes)
    top: float = 10 + len(title) * (LEADING + 2) + below * LEADING + 6
    rows: list[Row] = []
    for way in box.ways:
        row = _row(way, top, box, drawn)
        rows.append(row)
        top += row.height + 3
    come_from = wrapped(f"from {', '.join(sources)}", TINY, room) if sources else ()
    height = top + len(come_from) * 11 + 4
    return Card(box, title, label, notes, tuple(rows), come_from, _on_grid(height))


def _on_grid(height: float) -> float:
    return -(-height // GRID) * GRID


SIGN = 13
"""Side of the triangle that stands before a signal word."""


def signal_width(signal: str) -> float:
    """Return the room that a signal word takes with its sign."""
    return SIGN + 4 + len(signal) * 7


def _room_for_signals(box: Box) -> float:
    return max((signal_width(one) for one in box.signals), default=0)


def _notes(box: Box, room: float) -> Iterator[str]:
    for caution in box.cautions:
        yield from wrapped(str(caution), SMALL, room)
    if box.who:
        yield from wrapped(f"Who: {box.who}", SMALL, room)


def _row(way: Way, top: float, box: Box, drawn: Collection[Line]) -> Row:
    line_to = way.to if (box.id, way.to) in drawn and _is_line(way) else ""
    room = WIDTH - 2 * PAD - (_room_for_connector(way) if way.to and not line_to else 6)
    said = [line for words in way.words for line in wrapped(_said(way, words), SMALL, room)]
    return Row(tuple(said), way, top, line_to)


def _room_for_connector(way: Way) -> float:
    """Return the room that the end of a row takes: a word of return is longer than a number."""
    word = way.to.removeprefix(RETURN) if way.to.startswith(RETURN) else ""
    return max(CONNECTOR, width(f"→ {word}", SMALL, bold=True) + _SQUARE)


def _is_line(way: Way) -> bool:
    return way.kind in (WayKind.ANSWER, WayKind.ALSO, WayKind.NOT_HERE)


def _said(way: Way, words: str) -> str:
    if way.kind is WayKind.ALSO:
        return f"{words}, also found"
    goes_on_below = not way.to and way.kind is not WayKind.JUDGED
    return f"{words}, see below" if goes_on_below else words


def connector(way: Way, chart: Chart) -> str:
    """Return what stands at the end of a row that is no line: ``→ 12``."""
    if way.to == GO_ON:
        return "→ go on"
    if way.to.startswith(RETURN):
        return f"→ {way.to.removeprefix(RETURN)}"
    return f"→ {chart.numbers.get(way.to, way.to)}"

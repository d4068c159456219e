"""Boxes that lines join, laid out together: which column each stands in, and how high.

The order in each column is that of the layered layout of Sugiyama, Tagawa and Toda (grandalf),
under which few lines cross. The height is ours: what follows goes on level with what it follows,
so that the main way can be read off straight and a sheet holds more.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from grandalf.graphs import Edge, Vertex, graph_core
from grandalf.layouts import DummyVertex, SugiyamaLayout

from engine.drawing.cards import GRID, TAB, WIDTH, Card, Row
from engine.drawing.lines import Line

BETWEEN = 28
"""Least room between two boxes of one column, the tab not counted."""
_PASSAGE = 12
"""Room that a line has to pass a column."""
_ROUNDS = 6
"""Rounds of ordering the columns; more change nothing that can be seen."""
_OFF_GRID = 2
"""A line that passes a column runs between where lines leave boxes and where they arrive."""


@dataclass(eq=False, slots=True)
class Stop:
    """A place in a column that lines come to: a box, or room for one line to pass."""

    column: int
    y: float
    height: float
    card: Card | None = None

    @property
    def above(self) -> float:
        """Return the room that its tab takes above it."""
        return TAB if self.card and self.card.box.stage else 0

    @property
    def entry(self) -> float:
        """Return where lines arrive."""
        return self.y + (self.card.entry if self.card else self.height / 2)


@dataclass(frozen=True, slots=True)
class Run:
    """What goes through the gap before a column to one stop in it, by one lane."""

    starts: tuple[float, ...]
    """Where the lines come out of the column before."""
    stop: Stop

    @property
    def ends(self) -> tuple[float, float]:
        """Return the top and the foot of the lane."""
        every = (*self.starts, self.stop.entry)
        return min(every), max(every)


class Piece:
    """Boxes that lines join, with the lines."""

    def __init__(self, cards: Sequence[Card], lines: Sequence[Line]) -> None:
        self.cards = cards
        self.stops, self.ways = _laid_out(cards, lines)
        passed = [stop for way in self.ways.values() for stop in way[:-1]]
        self.columns = _by_column([*self.stops.values(), *passed])
        _stand_level(self.columns, _before(self.stops, self.ways))
        self.gaps = self._runs()
        """For each column what goes through the gap before it, in the order of its lanes."""

    def rows(self) -> Iterator[tuple[Stop, Row, Sequence[Stop]]]:
        """Yield every row that a line leaves, with the box it is in and the stops of the line."""
        for card in self.cards:
            for row in card.rows:
                if row.line_to:
                    way = self.ways[card.box.id, row.line_to]
                    yield self.stops[card.box.id], row, way

    def _runs(self) -> list[list[Run]]:
        starts: list[dict[Stop, list[float]]] = [{} for _ in self.columns]
        for start, row, way in self.rows():
            y = start.y + row.port
            for stop in way:
                known = starts[stop.column].setdefault(stop, [])
                if y not in known:
                    known.append(y)
                y = stop.entry
        return [
            sorted((Run(tuple(known), stop) for stop, known in gap.items()), key=_lane_order)
            for gap in starts
        ]


def _lane_order(run: Run) -> tuple[bool, float]:
    """Sort lanes so that lines side by side do not cross: going down, the lowest turns first."""
    arrives = run.stop.entry
    goes_up = sum(run.starts) / len(run.starts) > arrives
    return goes_up, arrives if goes_up else -arrives


class _View:
    """The size of a vertex as the layout asks for it: along its column, then across."""

    def __init__(self, w: float = 0, h: float = 0) -> None:
        self.w = w
        self.h = h
        self.xy = (0.0, 0.0)


def _laid_out(
    cards: Sequence[Card], lines: Sequence[Line]
) -> tuple[dict[str, Stop], dict[Line, list[Stop]]]:
    """Return the place of every box in its column, and the stops of every line, its end last."""
    if not lines:
        return {card.box.id: Stop(0, 0, card.height, card) for card in cards}, {}
    vertices = {card.box.id: Vertex(card) for card in cards}
    for vertex in vertices.values():
        vertex.view = _View(vertex.data.height + TAB, WIDTH)
    edges = {line: Edge(vertices[line[0]], vertices[line[1]]) for line in lines}
    layout = SugiyamaLayout(graph_core(list(vertices.values()), list(edges.values())))
    layout.dw, layout.dh, layout.xspace = _PASSAGE, WIDTH, BETWEEN
    layout.init_all(inverted_edges=[])
    layout.draw(_ROUNDS)
    stops = {name: _stop(layout, vertex) for name, vertex in vertices.items()}
    ways: dict[Line, list[Stop]] = {}
    for line, edge in edges.items():
        between = sorted(layout.ctrls.get(edge, {}).items())
        passed = [_stop(layout, one) for _, one in between if isinstance(one, DummyVertex)]
        ways[line] = [*passed, stops[line[1]]]
    return stops, ways


def _stop(layout: SugiyamaLayout, vertex: Vertex | DummyVertex) -> Stop:
    column, middle = layout.grx[vertex].rank, vertex.view.xy[0]
    if isinstance(vertex, DummyVertex):
        return Stop(column, middle, _PASSAGE)
    return Stop(column, middle, vertex.data.height, vertex.data)


def _before(
    stops: Mapping[str, Stop], ways: Mapping[Line, Sequence[Stop]]
) -> dict[Stop, list[Stop]]:
    """Return what stands one column before each stop, on a line to it."""
    found: dict[Stop, list[Stop]] = {}
    for (name, _), way in ways.items():
        for one, other in pairwise((stops[name], *way)):
            found.setdefault(other, []).append(one)
    return found


def _by_column(stops: Sequence[Stop]) -> list[list[Stop]]:
    columns: list[list[Stop]] = [[] for _ in range(max(stop.column for stop in stops) + 1)]
    for stop in stops:
        columns[stop.column].append(stop)
    return [sorted(column, key=lambda stop: stop.y) for column in columns]


def _stand_level(columns: Sequence[Sequence[Stop]], before: Mapping[Stop, Sequence[Stop]]) -> None:
    """Set every stop level with the highest that leads to it, none upon another, on the grid."""
    for column in columns:
        free = 0.0
        for stop in column:
            level = min((one.y for one in before.get(stop, ())), default=0)
            y = -(-max(level, free + stop.above) // GRID) * GRID
            stop.y = y if stop.card else y + _OFF_GRID - stop.height / 2 % GRID
            free = y + stop.height + (BETWEEN if stop.card else 0)

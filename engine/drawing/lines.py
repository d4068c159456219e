"""Which ways are drawn as lines; every other way is told by the number of the box it leads to.

A line that crosses half a sheet can't be followed with a finger. So a way is a line only where an
answer leads on to one of the next two columns; ways back, far ahead, or to a box that many ways
lead to end in a number instead, as connectors do on paper flow charts. So does what is no answer:
*can't*, *if still wrong*, and what follows a finding. A tree deeper than a sheet is wide is
folded: no line crosses from one fold to the next.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise

from engine.drawing.chart import Box, Chart, Shape
from engine.drawing.ways import WayKind

Line = tuple[str, str]
"""From the id of one box to that of another."""

FARTHEST = 2
"""Columns that a line may lead on."""
MOST_INTO = 4
"""Lines that may end at one box."""
WIDEST = 12
NARROWEST = 8
"""Columns of one fold."""
_LINES = (WayKind.ANSWER, WayKind.ALSO, WayKind.NOT_HERE)
_LEAD_BY_NUMBER = (Shape.FINDING, Shape.STAGE, Shape.GO_ON)
MOST_BOXES = 300
"""Boxes that are laid out together: the layout takes the square of their number."""


def lines_of(chart: Chart) -> tuple[Line, ...]:
    """Return every way that is drawn as a line, in the order of the boxes."""
    forward = list(_forward(chart))
    column = _columns(chart, forward)
    near = [line for line in forward if column[line[1]] - column[line[0]] <= FARTHEST]
    near = [line for line in near if line in _nearest_into(line[1], near, column)]
    fold = _folds(column, near)
    part = {box.id: at // MOST_BOXES for at, box in enumerate(chart.boxes)}
    return tuple(
        line
        for line in near
        if fold[column[line[0]]] == fold[column[line[1]]] and part[line[0]] == part[line[1]]
    )


def _forward(chart: Chart) -> Iterator[Line]:
    """Yield every way that leads to no box it comes from, each once."""
    out = {box.id: _targets(box) for box in chart.boxes}
    back = set(_back(out, chart.start))
    for name, targets in out.items():
        yield from ((name, to) for to in targets if to in out and (name, to) not in back)


def _targets(box: Box) -> tuple[str, ...]:
    """Return the boxes that the answers of a box lead to, each once."""
    if box.shape in _LEAD_BY_NUMBER:
        return ()
    return tuple(dict.fromkeys(way.to for way in box.ways if way.to and way.kind in _LINES))


def _back(out: Mapping[str, tuple[str, ...]], start: str) -> Iterator[Line]:
    """Yield the ways that lead back to where a walk came from, found depth first."""
    done: set[str] = set()
    for root in (start, *out):
        if root in done or root not in out:
            continue
        path, waiting = {root: None}, [(root, iter(out[root]))]
        while waiting:
            name, rest = waiting[-1]
            to = next(rest, None)
            if to is None:
                waiting.pop()
                path.pop(name)
                done.add(name)
            elif to in path:
                yield name, to
            elif to in out and to not in done:
                path[to] = None
                waiting.append((to, iter(out[to])))


def _columns(chart: Chart, forward: Iterable[Line]) -> dict[str, int]:
    """Return the column of every box: one behind the last of those that lead to it."""
    into: dict[str, list[str]] = {box.id: [] for box in chart.boxes}
    out: dict[str, list[str]] = {box.id: [] for box in chart.boxes}
    for name, to in forward:
        into[to].append(name)
        out[name].append(to)
    column: dict[str, int] = {}
    ready = [name for name, sources in into.items() if not sources]
    open_ = {name: len(sources) for name, sources in into.items()}
    for name in ready:
        column[name] = max((column[source] + 1 for source in into[name]), default=0)
        for to in out[name]:
            open_[to] -= 1
            if not open_[to]:
                ready.append(to)
    return column


def _nearest_into(to: str, lines: Iterable[Line], column: Mapping[str, int]) -> list[Line]:
    """Return the lines into a box that are kept: those from nearest by."""
    into = [line for line in lines if line[1] == to]
    return sorted(into, key=lambda line: column[to] - column[line[0]])[:MOST_INTO]


def _folds(column: Mapping[str, int], lines: Iterable[Line]) -> list[int]:
    """Return the fold of every column, folded where the fewest lines are cut."""
    last = max(column.values(), default=0)
    cut = [0] * (last + 2)
    for name, to in lines:
        for at in range(column[name] + 1, column[to] + 1):
            cut[at] += 1
    best: dict[int, tuple[int, int]] = {0: (0, 0)}
    for end in range(1, last + 2):
        narrowest = 1 if end > last else NARROWEST
        starts = range(max(0, end - WIDEST), end - narrowest + 1)
        known = [(best[at][0] + cut[at], at) for at in starts if at in best]
        if known:
            best[end] = min(known)
    ends = [last + 1]
    while ends[-1]:
        ends.append(best[ends[-1]][1])
    return [fold for fold, (at, end) in enumerate(pairwise(ends[::-1])) for _ in range(at, end)]

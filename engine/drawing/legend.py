"""What stands above and below a drawing: whose it is, how to read it, and for whom it is."""

from __future__ import annotations

from collections.abc import Iterator

from engine.drawing.alone import ELSEWHERE
from engine.drawing.chart import Chart, Shape
from engine.drawing.lettering import width, wrapped
from engine.drawing.outlines import caution_sign, outline
from engine.drawing.strokes import text
from engine.safe_words import DEFERENCE, LIMITS

HEAD_HEIGHT = 104
LEGEND_HEIGHT = 140
_TITLE, _SMALL = 26, 13
_SAMPLE = (64.0, 26.0)
_SHAPES = (
    (Shape.STEP, "a step"),
    (Shape.SORT, "goes by what is known, nobody is asked"),
    (Shape.LIST, "row by row"),
    (Shape.PROCEDURE, "a procedure, with steps of its own"),
    (Shape.FINDING, "a finding, with its repair"),
    (Shape.END, "the end of the walk"),
    (Shape.STAGE, "a stage, and how it is entered"),
)


def head(chart: Chart, x: float, y: float, room: float) -> Iterator[str]:
    """Yield title, revision and what the customer says."""
    yield text(x, y + 24, chart.title, _TITLE, bold=True)
    edition = f"revision {chart.revision} · " if chart.revision else ""
    about = f"{chart.tree} · {edition}{chart.status}"
    yield text(x, y + 46, about, _SMALL)
    said = f"The customer says: {', '.join(chart.said_as)}." if chart.said_as else ""
    stuck = chart.numbers.get(chart.if_stuck, "")
    start = chart.numbers.get(chart.start, "")
    how = (
        f"Begin at {start}. Where a step can't be done and nothing is said there: go "
        f"{f'to {stuck}' if stuck else ELSEWHERE}. "
        "A tab above a box is the stage it is done in; the stage is changed on the way."
    )
    for n, line in enumerate((said, *wrapped(how, _SMALL, room))):
        yield text(x, y + 64 + 17 * n, line, _SMALL)


def legend(x: float, y: float, room: float) -> Iterator[str]:
    """Yield what the outlines, numbers and signs mean."""
    wide, high = _SAMPLE
    left = x
    for shape, words in _SHAPES:
        needed = wide + 12 + width(words, _SMALL) + 30
        if left > x and left + needed > x + room:
            left, y = x, y + high + 16
        yield from outline(shape, left, y, wide, high)
        yield text(left + wide + 10, y + 18, words, _SMALL)
        left += needed
    y += high + 24
    yield from caution_sign(x, y + 2, 15)
    words = (
        "danger, warning or caution: the page of the step says of what. "
        "→ 12 B3: go to the box with that number, in column B, row 3 of the edge. "
        "from 4, 9: where one comes from without a line."
    )
    yield text(x + 22, y, words, _SMALL)
    for n, line in enumerate(wrapped(f"{DEFERENCE} {LIMITS}", _SMALL, room)):
        yield text(x, y + 24 + 17 * n, line, _SMALL)

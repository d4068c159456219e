"""The outline of each kind of box, told apart without colour.

A step is a plain box, a procedure has doubled sides and an end is round, as on flow charts by ISO
5807 (from memory). The rest are our own: a sort has its corners cut off, a list lies on a second
sheet, a finding has a double outline, a stage is dashed.
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.drawing.chart import Shape
from engine.drawing.strokes import closed, line, rectangle

_CUT = 10
_SIDE = 5
_INSIDE = 3.5


def outline(shape: Shape, x: float, y: float, wide: float, high: float) -> Iterator[str]:
    """Yield the strokes of a box's outline."""
    match shape:
        case Shape.SORT:
            yield closed(_cut_off(x, y, wide, high), "b")
        case Shape.PROCEDURE:
            yield rectangle(x, y, wide, high, "b")
            yield line(x + _SIDE, y, x + _SIDE, y + high)
            yield line(x + wide - _SIDE, y, x + wide - _SIDE, y + high)
        case Shape.LIST:
            yield rectangle(x + 4, y + 4, wide, high, "b")
            yield rectangle(x, y, wide, high, "b")
        case Shape.FINDING:
            yield rectangle(x, y, wide, high, "b")
            yield rectangle(x + _INSIDE, y + _INSIDE, wide - 2 * _INSIDE, high - 2 * _INSIDE, "n")
        case Shape.END | Shape.TREE:
            yield rectangle(x, y, wide, high, "b", round_=min(22, high / 2))
        case Shape.RETURN:
            yield rectangle(x, y, wide, high, "d", round_=min(22, high / 2))
        case Shape.STAGE | Shape.GO_ON:
            yield rectangle(x, y, wide, high, "d")
        case _:
            yield rectangle(x, y, wide, high, "b")


def _cut_off(x: float, y: float, wide: float, high: float) -> list[tuple[float, float]]:
    right, low = x + wide, y + high
    return [
        (x + _CUT, y),
        (right - _CUT, y),
        (right, y + _CUT),
        (right, low - _CUT),
        (right - _CUT, low),
        (x + _CUT, low),
        (x, low - _CUT),
        (x, y + _CUT),
    ]


def caution_sign(x: float, y: float, side: float) -> Iterator[str]:
    """Yield a triangle with an exclamation mark, its foot at ``y``; as ANSI Z535.4, from memory."""
    high = side * 0.87
    yield closed([(x, y), (x + side, y), (x + side / 2, y - high)], "b")
    middle = x + side / 2
    yield rectangle(middle - 0.8, y - high + 4, 1.6, 4, "f")
    yield rectangle(middle - 0.8, y - 2.6, 1.6, 1.6, "f")

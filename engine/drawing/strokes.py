"""The strokes that a drawing is made of, as SVG: texts, lines, boxes, the sign of caution."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

_NEVER = dict.fromkeys((*range(9), 11, 12, *range(14, 32), 127, 0xFFFE, 0xFFFF), "?")
"""What no XML file may hold."""


def number(value: float) -> str:
    """Return a length as it stands in the file: a tenth is finer than any printer."""
    return f"{value:.1f}".removesuffix(".0")


def escaped(words: str) -> str:
    """Return words that mean nothing to XML."""
    return escape(words.translate(_NEVER))


def text(
    x: float, y: float, words: str, size: float, *, bold: bool = False, anchor: str = ""
) -> str:
    """Return one line of text, its foot at ``y``."""
    weight = ' font-weight="bold"' if bold else ""
    where = f' text-anchor="{anchor}"' if anchor else ""
    return (
        f'<text x="{number(x)}" y="{number(y)}" font-size="{number(size)}"{weight}{where}>'
        f"{escaped(words)}</text>"
    )


def path(points: Iterable[tuple[str, float, float]], kind: str) -> str:
    """Return a path of (letter, x, y) in the style ``kind``; a letter alone closes it."""
    steps = "".join(f"{letter}{number(x)} {number(y)}" for letter, x, y in points)
    return f'<path class="{kind}" d="{steps}"/>'


def line(x1: float, y1: float, x2: float, y2: float, kind: str = "n") -> str:
    """Return a straight line."""
    return path([("M", x1, y1), ("L", x2, y2)], kind)


def closed(points: Iterable[tuple[float, float]], kind: str) -> str:
    """Return a shape with straight sides."""
    first, *rest = points
    return path([("M", *first), *(("L", *one) for one in (*rest, first))], kind)


def rectangle(x: float, y: float, wide: float, high: float, kind: str, *, round_: float = 0) -> str:
    """Return a box, its corners rounded by ``round_``."""
    corner = f' rx="{number(round_)}"' if round_ else ""
    return (
        f'<rect class="{kind}" x="{number(x)}" y="{number(y)}" width="{number(wide)}" '
        f'height="{number(high)}"{corner}/>'
    )

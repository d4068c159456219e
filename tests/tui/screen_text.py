"""What a screen shows, as plain text and as coloured pieces: the one place that asks Textual how.

The compositor's strips are no public interface; if they change, they change here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from rich.color import Color
from textual.app import App
from textual.strip import Strip


def strips(app: App[Any]) -> list[Strip]:
    return app.screen._compositor.render_strips()


def screen_text(app: App[Any]) -> str:
    """Return the rows of the screen, without the blanks at their ends."""
    return "\n".join(strip.text.rstrip() for strip in strips(app))


@dataclass(frozen=True)
class Piece:
    """Text of one colour on one ground."""

    text: str
    colour: tuple[int, int, int]
    ground: tuple[int, int, int]


def pieces(app: App[Any]) -> Iterator[Piece]:
    """Yield every piece of text on the screen with its colours, reversed where it is reversed."""
    for strip in strips(app):
        for segment in strip:
            style = segment.style
            if segment.text.strip() and style and style.color and style.bgcolor:
                pair = _triplet(style.color), _triplet(style.bgcolor)
                colour, ground = reversed(pair) if style.reverse else pair
                yield Piece(segment.text, colour, ground)


def _triplet(color: Color) -> tuple[int, int, int]:
    red, green, blue = color.get_truecolor()
    return red, green, blue

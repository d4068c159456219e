"""The power lines: the supply's path from source to load, each zone in words with its time.

Wide, the whole path stands in a line or two. Narrow, there are two rows: the zone under the hands,
and the nearest other one that may be live; how many more there are stands at the end.
"""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.widget import Widget

from engine.guide.showing import ZoneLine
from tui.widgets.fitting import Rows, flowing

WIDE = 80
"""Columns from which on the whole path is shown."""
HANDS = "▸"
"""Before each zone that the hands are in."""


class OneLine(Widget):
    """Shows the zones and the time of day."""

    def __init__(self) -> None:
        super().__init__(id="power")
        self._zones: tuple[ZoneLine, ...] = ()
        self._clock = ""

    def show(self, zones: tuple[ZoneLine, ...], clock: str) -> None:
        """Show zones from source to load, and the time."""
        if (zones, clock) != (self._zones, self._clock):
            self._zones, self._clock = zones, clock
            self.refresh()

    def render(self) -> Content:
        """Return two rows."""
        return Content("\n").join(power_rows(self._zones, self._clock, self.size.width))


def power_rows(zones: Sequence[ZoneLine], clock: str, width: int) -> Rows:
    """Return the two rows of power lines for a width."""
    return _path(zones, clock, width) if width >= WIDE else _two(zones, clock, width)


def _path(zones: Sequence[ZoneLine], clock: str, width: int) -> Rows:
    """Return the whole path; where two rows can't hold it, the rest is counted."""
    room = width - len(clock) - 1
    shown = len(zones)
    rows = flowing(_linked(zones), room, " ")
    while len(rows) > 2 and shown > 1:
        shown -= 1
        left = [one for one in zones if one in _first(zones, shown)]
        rows = flowing([*_linked(left), Content(f"+{len(zones) - shown}")], room, " ")
    first, *rest = rows or (Content(""),)
    return (_right(first, clock, width), *rest)


def _linked(zones: Sequence[ZoneLine]) -> list[Content]:
    return [("── " if at else "") + _zone(one) for at, one in enumerate(zones)]


def _two(zones: Sequence[ZoneLine], clock: str, width: int) -> Rows:
    first = _first(zones, 2)
    more = len(zones) - len(first)
    names = max((len(one.zone) for one in first), default=0)
    rows = [_zone(one, names) for one in first] + [Content("")] * (2 - len(first))
    tails = (clock, f"+{more}" if more > 0 else "")
    return tuple(_right(row, tail, width) for row, tail in zip(rows, tails, strict=True))


def _first(zones: Sequence[ZoneLine], most: int) -> list[ZoneLine]:
    """Return the zones that matter most: under the hands, the live ones first, then the nearest."""
    here = [at for at, one in enumerate(zones) if one.here]
    center = here[0] if here else len(zones) - 1

    def nearness(at: int) -> tuple[bool, bool, int, int]:
        one = zones[at]
        return (not one.here, not one.live, abs(at - center), at)

    order = sorted(range(len(zones)), key=nearness)[:most]
    live_elsewhere = any(one.live and not one.here for one in zones)
    if len(here) >= most > 1 and live_elsewhere and not any(zones[at].live for at in order):
        # Hands in several dead zones: one of them gives way to what may be live beside them.
        near = [at for at in sorted(range(len(zones)), key=nearness) if zones[at].live]
        order = [*order[: most - 1], near[0]]
    return [zones[at] for at in order]


def _zone(one: ZoneLine, names: int = 0) -> Content:
    """Return a zone with its words, in columns of that width for names; a live one is bold, too."""
    hands = HANDS if one.here else " " * bool(names)
    text = f"{hands}{one.zone.upper():{names}} {one.words}"
    return Content.styled(text, "bold $live" if one.live else "")


def _right(row: Content, tail: str, width: int) -> Content:
    room = width - len(tail)
    kept = row.truncate(room - 1, ellipsis=True) if row.cell_length > room - 1 else row
    return kept.pad_right(room - kept.cell_length) + tail

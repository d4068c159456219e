"""A screen as a picture that stands by itself: no window about it, no font from elsewhere.

The same screen gives the same bytes: nothing in it is generated anew, nothing tells the time.
"""

from __future__ import annotations

import io
from typing import Any

from rich.console import Console
from rich.segment import Segment, Segments
from textual.app import App

from tests.tui.screen_text import strips

ASPECT = 0.602
"""Width of a character for its height, as most fonts for terminals have it."""
COLUMN, ROW, MARGIN = 20 * ASPECT, 24.4, 8
"""Units of the picture for a character, a line, and the ground around them: rich draws a character
20 high, on lines 24.4 apart."""

TEMPLATE = """\
<svg xmlns="http://www.w3.org/2000/svg" viewBox="VIEW" role="img">
<title>TITLE</title>
<style>
.{unique_id}-matrix {{
    font: {char_height}px/{line_height}px Menlo, Consolas, "DejaVu Sans Mono", monospace;
}}
{styles}
</style>
<defs>
{lines}
</defs>
<rect x="-MARGIN" y="-MARGIN" width="100%" height="100%" fill="GROUND"/>
{backgrounds}
<g class="{unique_id}-matrix" xml:space="preserve">
{matrix}
</g>
</svg>
"""


def screen_svg(app: App[Any], title: str) -> str:
    """Return the screen as SVG, with a title for those who can't see it."""
    columns, rows = app.size
    console = Console(
        width=columns,
        height=rows,
        file=io.StringIO(),
        force_terminal=True,
        color_system="truecolor",
        record=True,
        legacy_windows=False,
    )
    for strip in strips(app):
        console.print(Segments([*strip, Segment.line()]), end="")
    size = (columns * COLUMN + 2 * MARGIN, rows * ROW + 2 * MARGIN)
    ground = app.theme_variables["background"]
    filled = {
        "VIEW": f"-{MARGIN} -{MARGIN} {size[0]:g} {size[1]:g}",
        "TITLE": title,
        "MARGIN": str(MARGIN),
        "GROUND": ground,
    }
    template = TEMPLATE
    for word, value in filled.items():
        template = template.replace(word, value)
    return console.export_svg(code_format=template, unique_id="t", font_aspect_ratio=ASPECT)

"""Contrast of both themes, worked out from the colours and from what is really drawn.

WCAG 2.2, success criterion 1.4.6: at least 7:1 for text (*from memory*).
"""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.color import Color
from textual.theme import Theme

from tests.tui.contrast import contrast
from tests.tui.screen_text import pieces
from tests.tui.site import TO_THE_CAPACITOR, Clock, WalkApp, enter, new_visit, walked
from tui.themes import INDOOR, SUN

ENHANCED = 7.0


def test_the_measure_itself() -> None:
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)
    assert contrast((0x76, 0x76, 0x76), (255, 255, 255)) == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("theme", [INDOOR, SUN], ids=lambda one: one.name)
def test_every_pair_of_colours_of_a_theme(theme: Theme) -> None:
    ground = theme.background or ""
    own = theme.variables
    pairs = [
        (theme.foreground or "", ground),
        (own["bar-text"], own["bar"]),
        (own["quiet"], ground),
        (own["live"], ground),
        (own["caution"], ground),
        (own["input-cursor-foreground"], own["input-cursor-background"]),
        (own["input-selection-foreground"], own["input-selection-background"]),
    ]
    for text, behind in pairs:
        assert contrast(Color.parse(text).rgb, Color.parse(behind).rgb) >= ENHANCED, (text, behind)


def test_sun_is_black_on_white() -> None:
    assert Color.parse(SUN.foreground or "").rgb == (0, 0, 0)
    assert Color.parse(SUN.background or "").rgb == (255, 255, 255)


@pytest.mark.parametrize("theme", ["indoor", "sun"])
@pytest.mark.parametrize("size", [(40, 15), (100, 30)], ids=str)
async def test_everything_that_is_drawn_can_be_read(
    tmp_path: Path, theme: str, size: tuple[int, int]
) -> None:
    app = WalkApp(walked(new_visit(tmp_path, Clock()), *TO_THE_CAPACITOR))
    async with app.run_test(size=size) as pilot:
        if theme == "sun":
            await enter(pilot, "b")
        for line in ("", "4x", "z", "41.2"):
            await enter(pilot, line)
            await pilot.pause()
            low = [one for one in pieces(app) if contrast(one.colour, one.ground) < ENHANCED]
            assert not [one for one in low if one.text.strip("─│ ")]

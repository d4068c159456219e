"""Widths of text against Helvetica's metrics, and lines that never leave their room."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.drawing.lettering import BOLD, MARGIN, width, wrapped


@pytest.mark.parametrize(
    ("text", "thousandths"),
    # Adobe Font Metrics of Helvetica: *from memory*.
    [("i", 222), ("m", 833), ("W", 944), (" ", 278), ("0", 556), ("Ag", 667 + 556)],
)
def test_widths_are_those_of_helvetica(text: str, thousandths: int) -> None:
    assert width(text, 10) == pytest.approx(thousandths / 100 * MARGIN)
    assert width(text, 10, bold=True) == pytest.approx(thousandths / 100 * MARGIN * BOLD)


@given(st.text(max_size=80), st.integers(min_value=20, max_value=200))
def test_no_line_is_wider_than_its_room_and_nothing_is_lost(text: str, room: int) -> None:
    lines = wrapped(text, 11, room)
    assert all(width(line, 11) <= room for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())

"""The gauge drawn in text."""

from __future__ import annotations

from textual.content import Content

from engine.guide.gauge import Gauge, Mark
from tui.widgets.band_gauge import drawn, in_words

CAPACITOR = Gauge(("weak", "good", "wrong part"), ("42.3 uF", "47.7 uF"))
FIVE = Gauge(
    ("nothing", "low", "good", "too high", "line voltage"), ("3 V", "20.4 V", "30 V", "50 V")
)


def plain(rows: tuple[Content, ...]) -> list[str]:
    return [row.plain for row in rows]


def test_cells_with_their_cuts_below_the_borders() -> None:
    verdicts, cuts = plain(drawn(CAPACITOR, 40))
    assert verdicts.split("│") == [" weak     ", " good     ", " wrong part     "]
    border = verdicts.index("│")
    assert cuts[border - 4 : border + 4].strip() == "42.3 uF"


def test_the_mark_stands_in_its_cell_and_moves_with_the_reading() -> None:
    columns = []
    for share in (0.0, 0.5, 1.0):
        gauge = Gauge(CAPACITOR.verdicts, CAPACITOR.cuts, Mark(1, share, "45 uF"))
        verdicts, _, mark = plain(drawn(gauge, 40))
        at = mark.index("▲")
        assert verdicts.index("│") < at < verdicts.rindex("│")
        columns.append(at)
    assert columns == sorted(set(columns))


def test_a_mark_at_the_far_end_has_its_words_before_it() -> None:
    gauge = Gauge(CAPACITOR.verdicts, CAPACITOR.cuts, Mark(2, 1.0, "102 uF"))
    row = plain(drawn(gauge, 40))[-1]
    assert row.endswith("102 uF ▲")
    assert len(row) <= 40


def test_cells_too_many_to_draw_are_said_in_words() -> None:
    assert drawn(FIVE, 40) == ()
    assert plain(in_words(FIVE, 40)) == [
        "nothing |3| low |20.4| good |30|",
        "too high |50 V| line voltage",
    ]
    marked = Gauge(FIVE.verdicts, FIVE.cuts, Mark(1, 0.5, "12 V"))
    assert "▲12 V: low |20.4|" in " ".join(plain(in_words(marked, 40)))
    assert len(drawn(marked, 62)) == 3

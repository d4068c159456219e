"""The power lines: a zone that may be live is never the one left out."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.guide.showing import ZoneLine
from tui.widgets.one_line import power_rows

NAMES = ("service", "bus", "feeder", "unit", "control")


def path(here: str, live: str) -> list[ZoneLine]:
    return [
        ZoneLine(name, "LIVE?" if name in live else "LOCKED", name in here.split(), name in live)
        for name in NAMES
    ]


def plain(zones: list[ZoneLine], width: int) -> list[str]:
    return [row.plain for row in power_rows(zones, "10:52", width)]


def test_two_rows_at_forty_columns() -> None:
    zones = path("unit", "service bus feeder")
    zones[3] = ZoneLine("unit", "REPORTED DEAD 10:42", here=True, live=False)
    assert plain(zones, 40) == [
        "▸UNIT   REPORTED DEAD 10:42        10:52",
        " FEEDER LIVE?                         +3",
    ]


def test_hands_in_two_dead_zones_do_not_hide_the_live_one_beside_them() -> None:
    rows = plain(path("unit control", "service bus feeder"), 40)
    assert rows[0].startswith("▸UNIT")
    assert rows[1].startswith(" FEEDER LIVE?")


def test_the_whole_path_where_there_is_room() -> None:
    rows = plain(path("unit", "service bus feeder"), 100)
    assert rows[0].startswith("SERVICE LIVE? ── BUS LIVE? ── FEEDER LIVE? ── ▸UNIT LOCKED")
    assert rows[0].endswith("10:52")


@settings(max_examples=200)
@given(
    st.lists(st.tuples(st.booleans(), st.booleans()), min_size=1, max_size=8),
    st.sampled_from([30, 40, 60, 80, 100]),
)
def test_if_anything_may_be_live_a_live_zone_is_shown(
    flags: list[tuple[bool, bool]], width: int
) -> None:
    zones = [
        ZoneLine(f"zone {n}", "LIVE?" if live else "LOCKED", here, live)
        for n, (here, live) in enumerate(flags)
    ]
    rows = plain(zones, width)
    shown = "\n".join(rows)
    assert len(rows) <= 2
    assert max(map(len, rows)) <= width
    assert ("LIVE?" in shown) == any(live for _, live in flags)
    if any(here for here, _ in flags):
        assert "▸" in shown

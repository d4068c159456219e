"""The drawing: sound XML, in order on the sheet, followed with a finger, the same every time."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from engine.drawing.cards import Card, cards_of
from engine.drawing.chart import Box, Chart, Shape
from engine.drawing.lines import MOST_BOXES, lines_of
from engine.drawing.placing import Placed, placed
from engine.drawing.svg import drawing
from engine.drawing.ways import Way
from engine.power import Act
from tests.engine.drawing.drawn import SHIPPED, SVG, charted, read_back
from tests.golden.draw import GOLDEN, drawings

EVERY_TREE = (*SHIPPED, "hums-and-stops")


def on_sheet(chart: Chart) -> tuple[tuple[Card, ...], Placed]:
    """Return the cards and where they stand."""
    lines = lines_of(chart)
    cards = cards_of(chart, lines)
    return cards, placed(cards, lines)


# --- on the sheet ---------------------------------------------------------------------------------


@pytest.mark.parametrize("tree", EVERY_TREE)
def test_no_box_stands_on_another(tree: str) -> None:
    cards, place = on_sheet(charted(tree))
    boxes = [(*place.at[card.box.id], card.height) for card in cards]
    wide = 236
    for n, (x, y, high) in enumerate(boxes):
        for other_x, other_y, other_high in boxes[n + 1 :]:
            apart = x + wide <= other_x or other_x + wide <= x
            assert apart or y + high <= other_y or other_y + other_high <= y


@pytest.mark.parametrize("tree", EVERY_TREE)
def test_no_line_runs_through_a_box(tree: str) -> None:
    cards, place = on_sheet(charted(tree))
    boxes = [(*place.at[card.box.id], card.height) for card in cards]
    for line in place.lines:
        for (ax, ay), (bx, by) in pairwise(line):
            left, right, top, low = min(ax, bx), max(ax, bx), min(ay, by), max(ay, by)
            crossed = [
                box
                for box in boxes
                if left < box[0] + 236 and right > box[0] and top < box[1] + box[2] and low > box[1]
            ]
            assert not crossed


@pytest.mark.parametrize("tree", EVERY_TREE)
def test_a_line_leaves_its_row_and_ends_at_its_box(tree: str) -> None:
    cards, place = on_sheet(charted(tree))
    rows = [(card, row) for card in cards for row in card.rows if row.line_to]
    assert len(rows) == len(place.lines)
    starts = {line[0]: line[-1] for line in place.lines}
    for card, row in rows:
        x, y = place.at[card.box.id]
        entries = {
            other.box.id: (place.at[other.box.id][0], place.at[other.box.id][1] + other.entry)
            for other in cards
        }
        assert row.top - 4 <= row.port <= row.top + row.height
        assert starts[x + 236, y + row.port] == entries[row.line_to]


@pytest.mark.parametrize("tree", EVERY_TREE)
def test_two_lines_share_a_stretch_only_on_the_way_to_one_box(tree: str) -> None:
    _, place = on_sheet(charted(tree))
    stretches: dict[tuple[float, float, float], set[tuple[float, float]]] = {}
    for line in place.lines:
        for (ax, ay), (bx, by) in pairwise(line):
            if ax == bx:
                for y in range(int(min(ay, by)), int(max(ay, by))):
                    stretches.setdefault((ax, y, 0), set()).add(line[-1])
    assert all(len(ends) == 1 for ends in stretches.values())


@pytest.mark.parametrize("tree", SHIPPED)
def test_a_sheet_is_wider_than_high(tree: str) -> None:
    _, place = on_sheet(charted(tree))
    assert place.width > place.height


# --- what is said ---------------------------------------------------------------------------------


@pytest.mark.parametrize("tree", EVERY_TREE)
def test_every_way_is_a_line_or_ends_in_a_number(tree: str) -> None:
    chart = charted(tree)
    svg = read_back(drawing(chart))
    cards, _ = on_sheet(chart)
    by_number = [
        chart.numbers.get(row.way.to, "go on")
        for card in cards
        for row in card.rows
        if row.way.to and not row.line_to
    ]
    said = [text.removeprefix("→ ") for text in svg.texts if text.startswith("→ ")]
    assert sorted(said) == sorted(by_number)
    lines = [row for card in cards for row in card.rows if row.line_to]
    assert len(svg.lines) == len(lines)


@pytest.mark.parametrize("tree", SHIPPED)
def test_titles_numbers_stages_and_signal_words_can_be_read(tree: str) -> None:
    chart = charted(tree)
    texts = read_back(drawing(chart)).texts
    said = " ".join(texts)
    for box in chart.boxes:
        assert all(word in said for word in box.title.split())
        assert not box.number or box.number in texts
        assert not box.stage or box.stage in texts
        assert all(signal in texts for signal in box.signals)
    assert chart.title in texts


def test_printed_the_page_is_the_sheet() -> None:
    svg = read_back(drawing(charted("fan-stopped"))).root
    wide, high = svg.attrib["width"], svg.attrib["height"]
    assert svg.attrib["viewBox"] == f"0 0 {wide} {high}"
    assert f"@page{{size:{wide}px {high}px;margin:0}}" in (svg.findtext(f"{SVG}style") or "")


def test_nothing_is_told_by_colour_or_fetched() -> None:
    svg = drawing(charted("blank-thermostat"))
    assert set(re.findall(r"#[0-9a-fA-F]{3,6}\b", svg)) == {"#000", "#fff"}
    assert set(re.findall(r"https?://\S+?\"", svg)) == {'http://www.w3.org/2000/svg"'}
    assert "<script" not in svg


def test_what_an_author_writes_means_nothing_to_xml() -> None:
    chart = charted("hums-and-stops")
    evil = '</text><script>alert("1")</script> & \x07'
    first, *rest = chart.boxes
    boxes = (replace(first, title=evil, ways=(Way((evil,), first.id),)), *rest)
    svg = read_back(drawing(replace(chart, title=evil, boxes=boxes)))
    assert not list(svg.root.iter(f"{SVG}script"))
    assert any("<script>" in text for text in svg.texts)


# --- the same bytes, in time ----------------------------------------------------------------------


@pytest.mark.parametrize("name", GOLDEN)
def test_a_drawing_is_the_golden_one_byte_for_byte(name: str) -> None:
    made = drawings()[name]
    golden = (Path(__file__).parents[2] / "golden" / name).read_bytes()
    # Compared as text first: the difference can then be read.
    assert made.decode("utf-8") == golden.decode("utf-8")
    assert made == golden


def test_the_same_tree_gives_the_same_bytes_in_every_process() -> None:
    code = (
        "import hashlib, sys; from tests.engine.drawing.drawn import charted; "
        "from engine.drawing.svg import drawing; "
        "print(hashlib.sha256(drawing(charted('blank-thermostat')).encode()).hexdigest())"
    )
    hashes = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            encoding="utf-8",
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(hashes) == 1


def _chain(length: int) -> Chart:
    """Return a chart of so many steps, each leading to the next three and back to the first."""
    boxes = tuple(
        Box(
            f"s{n}",
            str(n + 1),
            Shape.STEP,
            str(Act.ASK).upper(),
            f"Step {n + 1}",
            ways=tuple(
                Way((f"answer {to}",), f"s{to}") for to in (n + 1, n + 2, n + 3, 0) if to < length
            ),
        )
        for n in range(length)
    )
    return Chart("long", "Long", 1, "draft", (), f"s{length - 1}", "s0", boxes)


def test_a_tree_of_many_hundred_steps_is_drawn_in_parts() -> None:
    chart = _chain(3 * MOST_BOXES)
    begun = time.perf_counter()
    svg = read_back(drawing(chart))
    assert time.perf_counter() - begun < 20
    assert {str(n) for n in range(1, 3 * MOST_BOXES + 1)} <= set(svg.texts)


def test_one_box_alone_and_a_circle_are_drawn() -> None:
    alone = _chain(1)
    assert read_back(drawing(alone)).lines == ()
    two = _chain(2)
    back = replace(two.boxes[1], ways=(Way(("again",), "s0"), Way(("still",), "s1")))
    circle = replace(two, boxes=(two.boxes[0], back))
    svg = read_back(drawing(circle))
    assert len(svg.lines) == 1
    assert {"→ 1", "→ 2"} <= set(svg.texts)

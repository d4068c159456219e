"""Whatever tree is written: it can be drawn and bound, and it is the same as itself."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest
from hypothesis import given, settings

from engine.drawing.chart import chart_of
from engine.drawing.sheet_making import sheet_of
from engine.drawing.sheet_page import as_html
from engine.drawing.svg import drawing
from engine.drawing.ways import FINDING
from engine.revision.comparing import compare
from engine.tree import WalkTree
from tests.property.trees import Desk, Written, trees


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    """Make a folder to write drawn trees in."""
    return Desk(tmp_path_factory.mktemp("drawn"))


def walk_of(desk: Desk, written: Written) -> WalkTree:
    walk = desk.load(written).walk
    assert walk is not None
    return walk


@settings(max_examples=25)
@given(written=trees())
def test_a_drawing_has_every_finding_and_only_ways_that_lead_somewhere(
    desk: Desk, written: Written
) -> None:
    walk = walk_of(desk, written)
    chart = chart_of(walk)
    ids = {box.id for box in chart.boxes}
    assert {FINDING + name for name in walk.tree.findings} <= ids
    assert {way.to for box in chart.boxes for way in box.ways} <= {*ids, ""}
    root = ElementTree.fromstring(drawing(chart))
    texts = {one.text for one in root.iter("{http://www.w3.org/2000/svg}text")}
    assert set(chart.numbers.values()) <= texts


@settings(max_examples=15)
@given(written=trees())
def test_a_sheet_has_every_step_and_only_links_that_lead_somewhere(
    desk: Desk, written: Written
) -> None:
    sheet = sheet_of(walk_of(desk, written))
    sections = (*sheet.sections, *sheet.appendix)
    anchors = {section.anchor for section in sections}
    anchors |= {entry.anchor for section in sections for entry in section.entries}
    led_to = {
        target.anchor
        for section in sections
        for entry in section.entries
        for question in entry.questions
        for answer in question.answers
        for target in answer.then
    }
    assert led_to <= {*anchors, ""}
    assert as_html(sheet, "2026-03-14").count("<html") == 1


@settings(max_examples=15)
@given(written=trees(), other=trees())
def test_a_tree_is_the_same_as_itself_and_told_from_another_both_ways(
    desk: Desk, written: Written, other: Written
) -> None:
    one, two = walk_of(desk, written), walk_of(desk, other)
    assert compare(one, one).same
    there, back = compare(one, two), compare(two, one)
    assert there.same == back.same
    assert {(moved.was, moved.now) for moved in there.moved if '"' in moved.answer} == {
        (moved.now, moved.was) for moved in back.moved if '"' in moved.answer
    }

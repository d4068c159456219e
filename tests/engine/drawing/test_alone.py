"""A procedure by itself on paper: all of its steps, every word it returns, places not yet known."""

from __future__ import annotations

import re

import pytest
import yaml

from engine.drawing.alone import opened
from engine.drawing.chart import Chart, Shape, chart_of
from engine.drawing.sheet_making import sheet_of
from engine.drawing.sheet_page import as_html
from engine.drawing.svg import drawing
from engine.loader.library import load, load_to_draw
from engine.shipped import data
from engine.tree import ActHead, WalkTree
from tests.engine.drawing.drawn import read_back

SHIPPED = {
    file.name.removesuffix(".yaml"): yaml.safe_load(file.read_text(encoding="utf-8"))
    for file in (data("trees") / "procedures").iterdir()
    if file.name.endswith(".yaml")
}


def procedure(name: str) -> WalkTree:
    alone = load_to_draw(name).alone
    assert alone is not None
    return opened(alone)


def chart(name: str) -> Chart:
    return chart_of(procedure(name))


@pytest.mark.parametrize("name", SHIPPED)
def test_every_step_and_every_word_of_return_is_a_box_and_every_way_ends_at_one(name: str) -> None:
    written, drawn = SHIPPED[name], chart(name)
    titles = {step["title"] for step in written["steps"].values() if "title" in step}
    plain = {title for title in titles if "{" not in title}
    assert plain <= {box.title for box in drawn.boxes}
    returned = {box.title for box in drawn.boxes if box.shape is Shape.RETURN}
    assert returned == set(written.get("returns", ()))
    ids = {box.id for box in drawn.boxes}
    assert {way.to for box in drawn.boxes for way in box.ways if way.to} <= ids
    assert drawn.numbers[drawn.start]


@pytest.mark.parametrize("name", SHIPPED)
def test_it_is_drawn_and_written_without_a_revision(name: str) -> None:
    walk = procedure(name)
    said = read_back(drawing(chart(name))).texts
    assert f"{name} · procedure" in said
    assert not [line for line in said if "revision" in line]
    page = as_html(sheet_of(walk), "2026-03-14")
    assert "Procedure, printed 2026-03-14" in page
    assert "the the " not in page
    assert not re.search(r"\{the |go to \.", page)


def test_what_is_read_at_points_not_yet_known_has_its_line() -> None:
    (steps,) = sheet_of(procedure("prove-dead")).sections
    entry = next(one for one in steps.entries if one.kind == "PROVE DEAD volts")
    lines = [blank.name for blank in entry.blanks if "points" in blank.name]
    assert lines == ["pairs: pairs of [points]", "ground: to ground from [points]"]


def test_where_a_parameter_stands_for_the_place_an_act_warns_as_at_the_unit() -> None:
    boxes = {box.title: box for box in chart("lock-out-and-open").boxes}
    assert any(box.signals for box in boxes.values())
    for name in SHIPPED:
        for step in procedure(name).steps.values():
            assert not isinstance(step.head, ActHead) or step.stage == ""


def test_a_procedure_is_drawn_and_never_walked() -> None:
    assert load_to_draw("blank-thermostat").walk is not None
    path = str(data("trees") / "procedures" / "prove-dead.yaml")
    for found in (load(path), load_to_draw(path)):
        assert found.walk is None
    assert [one.code for one in load("prove-dead").problems] == ["no-tree"]
    assert [one.code for one in load_to_draw("no-such-thing").problems] == ["no-tree"]

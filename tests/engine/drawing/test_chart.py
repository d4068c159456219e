"""A tree as boxes and ways: nothing is left out, and every case can be followed with a finger."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import pytest

from engine.drawing.chart import Chart, Shape
from engine.drawing.ways import FINDING, STAGE, WayKind
from engine.guide.casework import walk_case
from engine.loader.library import cases_of
from engine.session.first import is_first
from engine.session.steps import is_repair
from engine.tree import ENTER, GO_ON, LEAVE, REPAIR, WalkTree
from tests.engine.drawing.drawn import SHIPPED, charted, walk_of


@pytest.mark.parametrize("tree", SHIPPED)
def test_everything_in_the_file_has_one_box(tree: str) -> None:
    walk, chart = walk_of(tree), charted(tree)
    ids = [box.id for box in chart.boxes]
    assert len(set(ids)) == len(ids)
    numbers = [box.number for box in chart.boxes if box.number]
    assert len(set(numbers)) == len(numbers)
    lists = [name for name, step in walk.tree.steps.items() if name not in ids]
    assert not lists
    assert {FINDING + name for name in walk.tree.findings} <= set(ids)
    assert {STAGE + name for name in walk.tree.stages} <= set(ids)


@pytest.mark.parametrize("tree", SHIPPED)
def test_every_way_leads_to_a_box(tree: str) -> None:
    chart = charted(tree)
    ids = {box.id for box in chart.boxes}
    loose = [(box.id, way) for box in chart.boxes for way in box.ways if way.to not in (*ids, "")]
    assert not loose


# --- every case can be followed -----------------------------------------------------------------


def _boxes_passed(walk: WalkTree, steps: list[str]) -> Iterator[str]:
    """Yield the boxes that a walk comes by, one after the other; changes of stage have none."""
    last = ""
    for step in steps:
        while step in walk.inside:
            step = walk.inside[step]
        if is_first(step) or step.startswith((ENTER, LEAVE)):
            continue
        box = FINDING + step.removeprefix(REPAIR) if is_repair(step) else step
        if box != last:
            yield box
        last = box


def _leads(chart: Chart, one: str, other: str) -> bool:
    """Return whether ways lead from one box to another past boxes where nobody is asked."""
    ways = {box.id: box.ways for box in chart.boxes}
    still_wrong = {
        way.to for several in ways.values() for way in several if way.kind is WayKind.STILL_WRONG
    }
    stages = {way.to for box in chart.boxes if box.shape is Shape.STAGE for way in box.ways}
    silent = {box.id for box in chart.boxes if box.shape in (Shape.LIST, Shape.SORT)}
    seen, waiting = {one}, [one]
    while waiting:
        name = waiting.pop()
        for way in ways[name]:
            found = still_wrong if way.to == GO_ON else {way.to} - {""}
            passed_over = {
                to
                for to in found
                if any(on.kind is WayKind.NOT_HERE for on in ways[to]) or to in silent
            }
            if other in found | stages:
                return True
            waiting += sorted(passed_over - seen)
            seen |= passed_over
    return False


EVERY = 9
"""Of so many cases one is walked here: they are walked by themselves elsewhere."""


def _cases(tree: str) -> list[str]:
    cases, _ = cases_of(tree)
    return list(cases.cases) if cases else []


@pytest.mark.parametrize("case", _cases("blank-thermostat")[::EVERY])
def test_a_case_goes_from_box_to_box_by_the_ways_drawn(case: str) -> None:
    walk, chart = walk_of("blank-thermostat"), charted("blank-thermostat")
    cases, _ = cases_of("blank-thermostat")
    assert cases is not None
    walked = walk_case(walk, cases.cases[case])
    boxes = list(_boxes_passed(walk, [one.step for one in walked.view.state.passed]))
    assert len(boxes) > 2
    jumps = [pair for pair in pairwise(boxes) if not _leads(chart, *pair)]
    assert not jumps


# --- what a box says ------------------------------------------------------------------------------


def test_a_way_has_the_words_of_its_answers_and_their_limits() -> None:
    boxes = {box.id: box for box in charted("blank-thermostat").boxes}
    assert [(way.words, way.to, way.kind) for way in boxes["r-to-c"].ways[:4]] == [
        (("below 3 V: nothing", "below 20.4 V: low"), "what-feeds-it", WayKind.ANSWER),
        (("up to 30 V: good",), "batteries", WayKind.ANSWER),
        (("below 50 V: too high",), "what-feeds-it", WayKind.ANSWER),
        (("above: line voltage",), "finding line-on-control", WayKind.ANSWER),
    ]


def test_a_procedure_is_one_box_with_its_returns_and_what_it_finds_inside() -> None:
    box = {box.id: box for box in charted("unit-trips-breaker").boxes}["divide"]
    assert box.shape is Shape.PROCEDURE
    assert box.label == "PROCEDURE Divide a ground fault, load by load"
    answers = {way.to for way in box.ways if way.kind is WayKind.ANSWER}
    assert {"wiring-eye", "ground-gone", "finding compressor-grounded"} <= answers


def test_the_steps_of_a_list_stand_once_for_each_row() -> None:
    boxes = {box.id: box for box in charted("blank-thermostat").boxes}
    first = boxes["first-half/drain float/float"]
    assert first.title == "Across the drain float"
    assert first.ways[0].words == ("only if fitted has drain float; if not",)
    assert first.ways[0].to == first.ways[1].to == "first-half/pan float/float"


def test_cautions_are_those_of_the_act_where_nothing_is_known() -> None:
    boxes = {box.id: box for box in charted("blank-thermostat").boxes}
    assert boxes["line-volts"].signals == ("WARNING",)
    assert boxes["fuse"].signals == ("NOTICE",)
    assert boxes["story"].signals == ()


def test_as_json() -> None:
    chart = charted("hums-and-stops")
    answer = chart.as_json()
    assert list(answer)[:2] == ["tree", "title"]
    nodes, edges = answer["nodes"], answer["edges"]
    assert isinstance(nodes, list)
    assert isinstance(edges, list)
    assert {node["kind"] for node in nodes} == {
        "step",
        "procedure",
        "end",
        "finding",
        "stage",
        GO_ON,
    }
    assert edges[0] == {
        "from": "capacitor",
        "to": "finding weak-capacitor",
        "label": "below can rating less tolerance: weak",
        "kind": "answer",
    }
    assert {edge["to"] for edge in edges} <= {node["id"] for node in nodes}

"""Answers given beforehand: the same walk as typed, written out."""

from __future__ import annotations

from datetime import UTC, datetime

from engine.cases import Answer, Words
from engine.guide.headless import Alike, Walked, walk_through
from engine.guide.transcribe import as_json, as_lines
from tests.technician import shipped

TREE = shipped()
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
NAMEPLATE: dict[str, Words] = {"thermostat_power": "batteries", "battery_volts": "3 V"}
FLAT: dict[str, Answer] = {
    "story": "nothing special",
    "size-up": "fit",
    "r-to-c": "0.2",
    "batteries": "2.2 V",
    "call": "called",
    "display": "lit and running",
    "under-load": "24.1",
    "runs-on": "runs on",
}


def walked(answers: dict[str, Answer], nameplate: dict[str, Words] | None = None) -> Walked:
    return walk_through(TREE, nameplate or NAMEPLATE, answers, start=NOON)


def test_the_answers_lead_to_the_end() -> None:
    done = walked(FLAT)
    assert done.view.state.end == "in service"
    assert [one.finding for one in done.view.state.found] == ["batteries-flat"]
    assert (done.missing, done.refused, done.unused) == ("", "", ())


def test_a_walk_is_written_out_with_exactly_these_names() -> None:
    told = as_json(walked(FLAT))
    assert {"tree", "revision", "steps", "finding", "end", "missing"} <= set(told)
    assert (told["tree"], told["revision"]) == ("blank-thermostat", TREE.tree.revision)
    assert (told["finding"], told["end"], told["missing"]) == ("batteries-flat", "in service", None)
    steps = told["steps"]
    assert isinstance(steps, list)
    for step in steps:
        assert set(step) == {"step", "title", "reading", "window", "verdict"}
    (cells,) = [step for step in steps if step["step"] == "batteries"]
    assert cells == {
        "step": "batteries",
        "title": "Cells of the thermostat",
        "reading": "2.2 V",
        "window": [
            "below 2.4 V: flat",
            "2.4 to below 50 V: good",
            "50 V and above: line voltage",
        ],
        "verdict": "flat",
    }


def test_a_missing_answer_stops_there_and_says_which() -> None:
    done = walked({key: value for key, value in FLAT.items() if key != "batteries"})
    told = as_json(done)
    assert (told["missing"], told["end"], told["finding"]) == ("batteries", None, None)
    assert "No answer was given for batteries; the walk stops there." in as_lines(done)


def test_a_missing_nameplate_is_named() -> None:
    done = walked(FLAT, {"battery_volts": "3 V"})
    assert done.missing == "thermostat_power"


def test_an_answer_that_is_not_taken_stops_there_and_says_why() -> None:
    done = walked(FLAT | {"batteries": "2.2 ohm"})
    assert done.missing == "batteries"
    assert "voltage is asked here" in done.refused
    assert as_json(done)["refused"] == done.refused


def test_an_answer_never_come_by_is_told() -> None:
    assert walked(FLAT | {"coils": "12 ohm"}).unused == ("coils",)


def test_cant_is_an_answer_with_its_reason() -> None:
    done = walked(FLAT | {"r-to-c": "can't reach"})
    assert done.view.state.passed[3].verdict == "can't reach it"


def test_what_a_person_would_be_asked_about_is_meant_as_it_is() -> None:
    done = walked(FLAT | {"batteries": "7.1 V"}, NAMEPLATE | {"battery_volts": "9 V"})
    assert done.view.state.numbers["battery_volts"] is not None
    assert [one.finding for one in done.view.state.found] == ["batteries-flat"]


def test_a_list_answers_each_time_the_walk_comes_by() -> None:
    done = walked(FLAT | {"display": ("still blank", "lit and running"), "seated": "all seated"})
    assert [one.step for one in done.view.state.passed].count("display") >= 1
    assert [one.finding for one in done.view.state.found][:2] == [
        "batteries-flat",
        "thermostat-dead",
    ]


def test_walks_that_begin_alike_come_to_the_same_walked_together_or_apart() -> None:
    alike = Alike(TREE)
    for answers in (FLAT, FLAT | {"batteries": "3.1 V"}, FLAT | {"r-to-c": "24.2"}, FLAT):
        together = walk_through(TREE, NAMEPLATE, answers, start=NOON, alike=alike)
        assert together == walked(answers)

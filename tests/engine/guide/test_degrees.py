"""°F or °C: how temperatures are asked for and shown on a walk; what is kept does not change.

The fixed points are those of the two scales: 25 °C is 77 °F, and 10 °C apart are 18 °F apart.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from engine.guide.pages import why
from engine.guide.visit import Visit
from engine.job.store import Job, read_job
from engine.loader.library import Loaded, load
from engine.session.folding import fold
from tests.typed_jobs import DANA, Watch, new_job

TREE = Path(__file__).parents[2] / "data" / "trees" / "blows-warm.yaml"


@pytest.fixture(scope="module")
def tree() -> Loaded:
    return load(str(TREE))


def begun(job: Job, tree: Loaded, degrees: str, watch: Watch | None = None) -> Visit:
    assert tree.walk is not None
    walk = replace(tree.walk, degrees=degrees)
    going = Visit(job, walk, watch or Watch(), DANA)
    going.begin()
    return going


def at_the_room(jobs: Path, tree: Loaded, degrees: str) -> Visit:
    going = begun(new_job(jobs, tree=tree), tree, degrees)
    going.enter("1")
    return going


def at_the_reading(jobs: Path, tree: Loaded, degrees: str, room: str) -> Visit:
    going = at_the_room(jobs, tree, degrees)
    for line in (room, "1"):
        assert not going.enter(line).refused
    assert going.prompt().step == "split"
    return going


@pytest.mark.parametrize(
    ("degrees", "asks", "allowed"), [("F", "F?", "41 F to 104 F"), ("C", "C?", "5 C to 40 C")]
)
def test_a_temperature_of_the_site_is_asked_in_the_degrees_chosen(
    degrees: str, asks: str, allowed: str, tmp_path: Path, tree: Loaded
) -> None:
    going = at_the_room(tmp_path, tree, degrees)
    assert (going.asks, going.prompt().allowed) == (asks, allowed)
    assert allowed in going.enter("300").refused[-1]


@pytest.mark.parametrize(("degrees", "room"), [("F", "77"), ("C", "25"), ("F", "25 C")])
def test_a_bare_number_is_in_the_degrees_chosen(
    degrees: str, room: str, tmp_path: Path, tree: Loaded
) -> None:
    going = at_the_reading(tmp_path, tree, degrees, room)
    said = next(one.said[0] for one in going.job.entries if one.outcome == "room")
    assert said.value == "77"


@pytest.mark.parametrize(
    ("degrees", "room", "window", "title", "cold"),
    [
        ("F", "77", "up to 59 F: cold enough", "Supply air, the room has 77 F", "48"),
        ("C", "25", "up to 15 C: cold enough", "Supply air, the room has 25 C", "9"),
    ],
)
def test_windows_gauges_and_texts_are_in_the_degrees_chosen(
    degrees: str, room: str, window: str, title: str, cold: str, tmp_path: Path, tree: Loaded
) -> None:
    going = at_the_reading(tmp_path, tree, degrees, room)
    shown = going.prompt()
    assert shown.window[0] == window
    assert shown.gauges[0].cuts == (window.removeprefix("up to ").partition(":")[0],)
    assert shown.title == title
    assert going.asks.endswith(f"{degrees}?")
    assert window in why(going.view, shown)
    after = going.enter(cold)
    assert after.gauge is not None
    assert after.gauge.mark is not None
    assert after.gauge.mark.words.endswith(f" {degrees}")
    assert going.job.entries[-1].window[0] == window


def test_a_record_comes_to_the_same_in_other_degrees(tmp_path: Path, tree: Loaded) -> None:
    going = at_the_reading(tmp_path, tree, "C", "25")
    going.enter("14")
    assert tree.walk is not None
    entries = read_job(going.job.folder).entries
    in_f = fold(tree.walk, entries)
    assert (in_f.step, in_f.found, in_f.numbers) == (
        going.state.step,
        going.state.found,
        going.state.numbers,
    )


def test_what_a_last_visit_had_in_other_degrees_is_offered_with_its_unit(
    tmp_path: Path, tree: Loaded
) -> None:
    last = at_the_reading(tmp_path, tree, "C", "25")
    last.enter("14")
    assert tree.walk is not None
    going = Visit(new_job(tmp_path, tree=tree), tree.walk, Watch(), DANA, last=last.job)
    going.begin()
    going.enter("1")
    assert going.prompt().enter == "take 25 C (last visit)"
    going.enter("")
    assert going.job.entries[-1].said[0].value == "77"
    assert going.last_time("split").startswith("Last time 14 C, ")


@pytest.mark.parametrize("minutes", [9, 11, 29, 31])
def test_a_shorter_gap_leaves_a_record_that_comes_to_the_same_everywhere(
    minutes: int, tmp_path: Path, tree: Loaded
) -> None:
    watch = Watch()
    going = begun(new_job(tmp_path, tree=tree), tree, "F", watch)
    going.away_after = timedelta(minutes=10)
    going.enter("1")
    going.enter("77")
    watch.moved_on(minutes * 60)
    going.enter("1")
    kinds = [str(entry.kind) for entry in going.job.entries]
    assert ("resume" in kinds) == (minutes > 10)
    assert fold(going.walk, going.job.entries) == going.state

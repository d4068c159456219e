"""The end of a walk says what its report says, in the order of the work."""

from __future__ import annotations

import re
from pathlib import Path

from engine.guide.visit import walk_entries
from engine.report.at_end import FIRST, end_of
from engine.report.making import make_report
from engine.report.walked import WalkDone
from tests.stories import STORIES, Reader, new_visit, type_on
from tests.typed_jobs import Watch


def at_end(story: str, folder: Path) -> tuple[dict[str, tuple[str, ...]], WalkDone]:
    """Walk a story and return the sections of its end by heading, with the walk."""
    told, watch = STORIES[story], Watch()
    visit = new_visit(told, folder, watch)
    type_on(visit, Reader(told), watch)
    done = WalkDone(visit.walk, walk_entries(visit.job, visit.walk), visit.state)
    report = make_report(visit.job, (done,))
    sections: dict[str, tuple[str, ...]] = {}
    for one in end_of(visit.job, done):
        sections[one.heading] = (*sections.get(one.heading, ()), *one.sentences)
    assert sections["Hazards left"] == (report.hazards or ("None reported.",))
    assert sections["How it was left"] == report.left_so
    return sections, done


def test_a_repair_is_shown_with_what_proves_the_cause_and_what_proves_the_repair(
    tmp_path: Path,
) -> None:
    said, done = at_end("weak capacitor", tmp_path)
    assert list(said)[:2] == ["Cause found", "End"]
    assert said["Cause found"] == (done.walk.tree.findings["weak-capacitor"].title,)
    assert said["End"] == ("in service",)
    # The reading that found it stands with the range it fell into, as it was shown then.
    [read] = [one for one in done.entries if one.step == "capacitor" and one.said]
    [fell] = [one.removesuffix(": weak") for one in read.window if one.endswith(": weak")]
    assert any(f"38.2 uF, weak ({fell}; " in one for one in said["Evidence"])
    assert "reported done" in said["Repair"][0]
    assert any("on the disconnect" in one for one in said["Put back or tagged"])
    assert any(" A, " in one and "up to" in one for one in said["After the repair"])
    assert said["Label to post"][0].startswith("None")


def test_two_causes_each_have_their_own_evidence_and_repair(tmp_path: Path) -> None:
    said, _ = at_end("loose lug, then a worn breaker", tmp_path)
    assert len(said["Cause found"]) == 2
    assert sum(heading.startswith("Evidence, ") for heading in said) == 2
    assert sum(heading.startswith("Repair, ") for heading in said) == 2


def test_what_is_left_has_a_label_and_somebody_who_follows_it_up(tmp_path: Path) -> None:
    said, _ = at_end("compressor grounded", tmp_path)
    assert "not done on this visit" in said["Repair"][0]
    assert said["After the repair"] == ("Nothing was repaired on this walk.",)
    assert said["Label to post"][0].startswith("WARNING RTU-3 is out of service.")
    assert said["Follow-up"] != ("None.",)
    assert any("Tag the disconnect" in one for one in said["Put back or tagged"])


def test_a_walk_that_was_stopped_says_first_what_is_left_and_what_to_post(tmp_path: Path) -> None:
    said, _ = at_end("a smell of gas", tmp_path)
    assert set(FIRST) - set(said) == {"Cause found"}
    assert said["Hazards left"][0] == "Work was stopped: smell of gas."
    assert said["Label to post"][0].startswith("DANGER RTU-1 is out of service.")
    assert "Put back or tagged" not in said


def test_where_the_name_was_left_out_nothing_stands_for_it(tmp_path: Path) -> None:
    told, watch = STORIES["weak capacitor"], Watch()
    visit = new_visit(told, tmp_path, watch)
    visit.by = ""
    type_on(visit, Reader(told), watch)
    done = WalkDone(visit.walk, walk_entries(visit.job, visit.walk), visit.state)
    said = [line for one in end_of(visit.job, done) for line in one.sentences]
    assert not [line for line in said if ", )" in line or " by )" in line or line.endswith(" by")]
    assert any(re.search(r"; \d\d:\d\d\)", line) for line in said)

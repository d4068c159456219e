"""The second page: everything that a record has to answer, as it was reported."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from datetime import timedelta
from pathlib import Path

import pytest

from engine.entries import EntryKind
from engine.glossary import NO_WORDS
from engine.job.chain import JobError
from engine.job.closing import add, close
from engine.job.store import Job, open_job, read_job
from engine.report.making import report_of
from engine.report.model import Report, Window
from engine.safe_words import never_said
from tests.typed_jobs import (
    DANA,
    HEADER,
    LEFT_OPEN,
    NINE,
    REPAIRED,
    TO_THE_CAPACITOR,
    Watch,
    new_job,
    typed,
    visit,
    walked,
)

SUPPLY = ("1", "1", "3", "208-230", "done")
"""As far as the leads on the disconnect's line side."""


def report_on(jobs: Path, *lines: str) -> Report:
    return report_of(walked(jobs, lines), NO_WORDS)


@pytest.fixture(scope="module")
def repaired(tmp_path_factory: pytest.TempPathFactory) -> Report:
    return report_on(tmp_path_factory.mktemp("jobs"), *REPAIRED)


@pytest.fixture(scope="module")
def left(tmp_path_factory: pytest.TempPathFactory) -> Report:
    return report_on(tmp_path_factory.mktemp("jobs"), *LEFT_OPEN)


def texts(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for one in value:
            yield from texts(one)
    elif is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            yield from texts(getattr(value, field.name))


def test_who_where_and_when(repaired: Report) -> None:
    assert replace(repaired.header, id="") == HEADER
    assert repaired.people == (DANA,)
    assert repaired.times == "2026-03-14, 09:00 to 09:19"
    assert repaired.trees == ("fan-stopped, revision 3",)
    assert repaired.draft
    assert "DRAFT" in repaired.title
    assert repaired.nameplate == (
        ("Phases on the nameplate", "3"),
        ("Rated volts on the nameplate, as printed", "208-230"),
        ("Microfarads on the fan's capacitor", "7.5"),
        ("Tolerance on the can", "6 % (taken as usual)"),
    )


def test_supply_found_is_what_was_read_ahead_of_the_unit(repaired: Report) -> None:
    assert repaired.supply == (
        "Supply at the disconnect, at rest: L1-L2 208 V · L2-L3 209 V · L3-L1 207 V "
        "(09:04, Dana Ortiz)",
        "Supply with the fan turning, running: L1-L2 207 V · L2-L3 208 V · L3-L1 206 V "
        "(09:17, Dana Ortiz)",
    )


def test_a_reading_stands_beside_what_was_allowed_with_its_window_marked(repaired: Report) -> None:
    row = next(row for row in repaired.readings if row.where == "Capacitor of the fan")
    assert (row.reading, row.verdict, row.time, row.by, row.times) == (
        "4.1 uF",
        "weak",
        "09:12",
        DANA,
        "1",
    )
    # 7.5 uF with 6 %: 7.05 to 7.95 uF, worked out by hand.
    assert row.allowed == (
        Window("below 7.05 uF", "weak", here=True),
        Window("7.05 to 7.95 uF", "good"),
        Window("above 7.95 uF", "wrong part fitted"),
        Window("OL", "shorted"),
    )
    assert row.source == "nameplate: tolerance on the can; 6 % is practice"


def test_several_readings_of_one_row_are_told_apart(repaired: Report) -> None:
    row = next(row for row in repaired.readings if row.where == "No volts in the unit")
    assert row.reading == (
        "before 120 V · L1-L2 0 V · L2-L3 0 V · L3-L1 0 V · "
        "L1-ground 0 V · L2-ground 0 V · L3-ground 0 V · after 120 V"
    )
    assert [one.span for one in row.allowed if one.here] == ["below 3 V"]


def test_the_cause_has_evidence_work_and_parts(repaired: Report, left: Report) -> None:
    [cause] = repaired.causes
    assert cause.title == "Fan capacitor weak or failed"
    assert cause.evidence == (
        "Stand by and listen: it hums (09:05, Dana Ortiz)",
        "Capacitor of the fan: 4.1 uF, weak (below 7.05 uF; 09:12, Dana Ortiz)",
    )
    assert cause.work == "New capacitor, 7.5 uF, same volts or more, terminals tight."
    assert cause.state == "reported done 09:12 by Dana Ortiz"
    assert cause.parts == ("Run capacitor, 7.5 uF",)
    assert left.causes[0].parts == ()
    assert left.causes[0].state == "not done on this visit, 09:12 by Dana Ortiz"


def test_what_proves_the_repair_comes_after_it(repaired: Report, left: Report) -> None:
    assert [(row.where, row.verdict) for row in repaired.after_repair] == [
        ("Supply with the fan turning", "holds"),
        ("Ten minutes on the call", "runs on"),
    ]
    assert left.after_repair == ()


def test_what_is_left_is_listed_with_what_has_to_follow(left: Report) -> None:
    assert left.hazards == ("The fan stands still and the compressor shuts itself off.",)
    assert left.side_findings == (
        "Filters loaded (noted 09:01 by Dana Ortiz). "
        "Less air and a higher bill until they are changed.",
    )
    assert left.follow_up == (
        "New capacitor, 7.5 uF, same volts or more, terminals tight. Parts: Run capacitor, 7.5 uF.",
        "Change the filters, all of them.",
    )
    assert "disconnect: off, tagged out of service" in left.left_so


def test_a_unit_left_off_gets_a_label_with_a_signal_word(left: Report, repaired: Report) -> None:
    assert left.label is not None
    assert left.label.signal == "WARNING"
    assert left.label.lines[0] == "RTU-2 is out of service. Do not operate. Do not switch on."
    assert left.label.lines[-1] == "Dana Ortiz, Fieldside Cooling, 2026-03-14"
    assert repaired.label is None


@pytest.mark.parametrize(("answer", "signal"), [("x 1", "DANGER"), ("x 2", "WARNING")])
def test_what_will_kill_is_a_danger(tmp_path: Path, answer: str, signal: str) -> None:
    report = report_on(tmp_path, "1", answer)
    assert report.label is not None
    assert report.label.signal == signal
    assert report.hazards[0].startswith("Work was stopped: ")


def test_what_nobody_opened_is_not_answered_for(repaired: Report) -> None:
    assert "panel: not opened" in repaired.not_touched
    assert "refrigerant circuit: not opened, no gauges on" in repaired.not_touched
    for box in ("control box", "disconnect box"):
        assert f"{box}: not opened" not in repaired.not_touched


def test_an_opening_that_was_taken_back_does_not_count_as_not_opened(tmp_path: Path) -> None:
    report = report_on(tmp_path, *SUPPLY, "u")
    assert "disconnect box: not opened" not in report.not_touched
    [line] = report.taken_back
    assert re.fullmatch(
        r"09:\d\d Open the disconnect box: done "
        r"\(reported, then withdrawn 09:\d\d by Dana Ortiz\)",
        line,
    )


@pytest.mark.parametrize(
    ("lines", "code"),
    [
        (REPAIRED, "IN SERVICE / REPAIRED"),
        (REPAIRED[:-2], "NOT ENDED / REPAIRED, NOT PROVED"),
        (LEFT_OPEN, "MADE SAFE / CAUSE FOUND, REPAIR OPEN"),
        (TO_THE_CAPACITOR, "NOT ENDED / NO CAUSE FOUND"),
        ((*TO_THE_CAPACITOR, "4.1"), "NOT ENDED / CAUSE FOUND, REPAIR OPEN"),
    ],
)
def test_the_closing_code(tmp_path: Path, lines: tuple[str, ...], code: str) -> None:
    assert report_on(tmp_path, *lines).closing_code == code


@pytest.mark.parametrize(
    "lines", [REPAIRED, LEFT_OPEN, TO_THE_CAPACITOR, ("1", "x 1"), (*SUPPLY, "180 209 207"), ()]
)
def test_nothing_is_said_that_is_never_said(tmp_path: Path, lines: tuple[str, ...]) -> None:
    report = report_on(tmp_path, *lines)
    for text in texts(report):
        assert never_said(text, live=True) == (), text


# --- readings that were repeated, taken back, put in doubt ----------------------------------------


def test_every_reading_of_a_step_is_kept_and_counted(tmp_path: Path) -> None:
    report = report_on(tmp_path, *SUPPLY, "208 209 20.7", "r", "208 209 207")
    rows = [row for row in report.readings if row.where == "Supply at the disconnect"]
    assert [(row.times, row.remark) for row in rows] == [("1 of 2", "read again"), ("2 of 2", "")]
    assert rows[0].reading == "L1-L2 208 V · L2-L3 209 V · L3-L1 20.7 V"
    assert report.taken_back == ()


def test_one_that_is_too_close_to_call_is_said_to_be(tmp_path: Path) -> None:
    # 187.2 V is the cut; a meter of 1 % and 3 counts can't tell 187 V from it.
    job = new_job(tmp_path)
    watch = Watch()
    going = visit(job, watch)
    going.meter = "general"
    for line in (*SUPPLY, "187 209 207", "187 209 207"):
        watch.moved_on()
        going.enter(line)
    report = report_of(job, NO_WORDS)
    assert [(row.verdict, row.times) for row in report.readings] == [
        ("too close to call", "1 of 2"),
        ("too low", "2 of 2"),
    ]
    assert report.meters == ("general",)


def test_a_set_typed_in_two_lines_is_one_row(tmp_path: Path) -> None:
    report = report_on(tmp_path, *SUPPLY, "208", "209 207")
    [row] = report.readings
    assert row.reading == "L1-L2 208 V · L2-L3 209 V · L3-L1 207 V"
    assert row.verdict == "within 10 %"


def test_a_reading_of_a_walk_left_in_the_middle_of_a_set_is_kept(tmp_path: Path) -> None:
    [row] = report_on(tmp_path, *SUPPLY, "208").readings
    assert (row.reading, row.verdict) == ("L1-L2 208 V", "")


def test_what_was_changed_after_a_reading_is_marked(repaired: Report, left: Report) -> None:
    later = {row.where: row.later for row in repaired.readings}
    assert later["Capacitor of the fan"]
    assert not later["Supply at the disconnect"]
    assert not any(row.later for row in left.readings)


def test_notes_photos_and_people_are_named(tmp_path: Path) -> None:
    picture = tmp_path / "Plate 1.JPG"
    picture.write_bytes(b"\xff\xd8")
    job = walked(tmp_path / "jobs", ["1", "n the hatch *sticks*", f"p {picture}"])
    typed(open_job(job.folder), ["2"], Watch(NINE + timedelta(hours=1)), by="Sam Roe")
    report = report_of(read_job(job.folder), NO_WORDS)
    assert report.notes == ("09:01 Dana Ortiz: the hatch *sticks*",)
    assert report.photos == ("09:02 Dana Ortiz: photos/004-plate-1.jpg",)
    assert report.people == (DANA, "Sam Roe")


# --- old, changed, closed -------------------------------------------------------------------------


def test_the_same_job_gives_the_same_report(tmp_path: Path) -> None:
    job = walked(tmp_path, LEFT_OPEN)
    assert report_of(job, NO_WORDS) == report_of(read_job(job.folder), NO_WORDS)


def test_a_job_walked_twice_reports_both_walks(tmp_path: Path) -> None:
    job = walked(tmp_path, LEFT_OPEN)
    again = replace(visit(job).view.draft(EntryKind.WALK, NINE), outcome=job.entries[0].outcome)
    job.append(replace(again, n=len(job.entries) + 1))
    typed(job, REPAIRED, Watch(NINE + timedelta(hours=3)))
    report = report_of(job, NO_WORDS)
    assert [cause.mended for cause in report.causes] == [False, True]
    assert report.closing_code == "IN SERVICE / REPAIRED IN PART"
    assert len(report.readings) == 9


def test_addenda_stand_on_the_report(tmp_path: Path) -> None:
    job = walked(tmp_path, LEFT_OPEN)
    close(job, {}, DANA, NINE + timedelta(hours=1))
    add(job, "The part came in.", "Sam Roe", NINE + timedelta(days=3))
    assert report_of(job, NO_WORDS).addenda == ("2026-03-17 09:00 Sam Roe: The part came in.",)


def test_a_changed_record_is_reported_and_said_to_be(tmp_path: Path) -> None:
    job = walked(tmp_path, LEFT_OPEN)
    record = job.folder / "record.jsonl"
    record.write_bytes(record.read_bytes().replace(b'"typed":"4.1"', b'"typed":"7.1"'))
    report = report_of(read_job(job.folder), NO_WORDS)
    [problem] = report.problems
    assert "is not as it was written" in problem


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b'"step":"supply"', b'"step":"suppli"'),
        (b'"kind":"voltage"', b'"kind":"current"'),
        (b'"value":"208"', b'"value":"0"'),
        (b'"outcome":"fit"', b'"outcome":"fat"'),
        (b'"typed":"3"', b'"typed":"9"'),
    ],
)
def test_a_record_that_fits_its_tree_no_more_is_a_report_or_a_sentence(
    tmp_path: Path, old: bytes, new: bytes
) -> None:
    job = walked(tmp_path, LEFT_OPEN)
    record = job.folder / "record.jsonl"
    raw = record.read_bytes()
    assert old in raw
    record.write_bytes(raw.replace(old, new))
    assert says_something(job)


def says_something(job: Job) -> bool:
    try:
        return bool(report_of(read_job(job.folder), NO_WORDS).problems)
    except JobError as error:
        return str(error).endswith(".")

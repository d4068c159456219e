"""A visit: everything written down before it is shown, and gone on with as it was left."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from engine.entries import EntryKind
from engine.guide.judged_entry import TOO_CLOSE
from engine.guide.prompt import Now
from engine.guide.visit import Visit, walk_entries
from engine.job.chain import JobError
from engine.job.store import Header, Job, create, open_job
from engine.session.folding import fold
from engine.tree import WalkTree
from tests.engine.session.walking import small
from tests.technician import shipped


@dataclass
class Clock:
    """A clock that is told the time."""

    now: datetime = datetime(2026, 3, 2, 8, tzinfo=UTC)

    def __call__(self) -> datetime:
        """Return the time, ten seconds later each time."""
        self.now += timedelta(seconds=10)
        return self.now


@pytest.fixture
def clock() -> Clock:
    """Return a clock at eight in the morning."""
    return Clock()


def begun(
    folder: Path, clock: Clock, walk: WalkTree | None = None, last: Job | None = None
) -> Visit:
    job = create(folder, Header("", clock.now.isoformat(), "Ana", "Elm Street", "RTU-1"))
    visit = Visit(job, walk or shipped(), clock, "Ana", last=last)
    visit.begin()
    return visit


def typed(visit: Visit, *lines: str) -> Visit:
    for line in lines:
        shown = visit.enter(line)
        assert not shown.refused, (line, shown.refused)
    return visit


TO_THE_WALL = ("1", "1", "1")


def test_what_was_typed_is_on_the_disk_before_it_is_shown(tmp_path: Path, clock: Clock) -> None:
    visit = typed(begun(tmp_path, clock), *TO_THE_WALL, "0.2")
    kept = open_job(visit.job.folder)
    assert [one.typed for one in kept.entries[1:]] == ["1", "1", "1", "0.2"]
    assert fold(visit.walk, kept.entries) == visit.state


def test_an_entry_is_kept_with_what_it_was_judged_and_by_which_windows(
    tmp_path: Path, clock: Clock
) -> None:
    visit = typed(begun(tmp_path, clock), *TO_THE_WALL, "0.2")
    entry = visit.job.entries[-1]
    assert (entry.outcome, entry.verdict) == ("below 3 V", "nothing")
    assert entry.window[0] == "below 3 V: nothing"
    assert entry.source.startswith("standard:")


def test_a_reading_too_close_to_call_is_kept_as_that(tmp_path: Path, clock: Clock) -> None:
    visit = begun(tmp_path, clock)
    shown = typed(visit, *TO_THE_WALL).enter("20.4")
    assert shown.lines[0].startswith("Too close to call")
    entry = visit.job.entries[-1]
    assert entry.verdict == TOO_CLOSE
    assert entry.window


def test_why_something_could_not_be_done_is_never_written_over(
    tmp_path: Path, clock: Clock
) -> None:
    visit = typed(begun(tmp_path, clock), *TO_THE_WALL, "c 4")
    assert visit.job.entries[-1].outcome == "not there"
    again = open_job(visit.job.folder)
    assert fold(visit.walk, walk_entries(again, visit.walk)) == visit.state


def test_going_on_says_how_it_was_left_and_keeps_everything_but_proofs(
    tmp_path: Path, clock: Clock
) -> None:
    visit = typed(begun(tmp_path, clock), *TO_THE_WALL)
    before = visit.state
    typed(visit, "l")
    again = Visit(open_job(visit.job.folder), visit.walk, clock, "Ana")
    lines = again.begin()
    assert lines[0] == "As reported when you left:"
    assert "open: thermostat" in lines
    assert again.job.entries[-1].kind is EntryKind.RESUME
    assert not again.state.power.looked_over
    assert again.state.verdicts == before.verdicts


def test_a_walk_that_has_ended_is_not_gone_on_with(tmp_path: Path, clock: Clock) -> None:
    visit = typed(begun(tmp_path, clock), "1", "3", "1")
    assert visit.state.end == "withdrawn"
    again = Visit(open_job(visit.job.folder), visit.walk, clock, "Ana")
    assert again.begin() == ()
    assert again.prompt().now is Now.ENDED


def test_an_answer_after_a_long_gap_is_shown_back_and_not_taken(
    tmp_path: Path, clock: Clock
) -> None:
    visit = typed(begun(tmp_path, clock), *TO_THE_WALL)
    clock.now += timedelta(minutes=45)
    shown = visit.enter("24.1")
    assert shown.lines[0] == (
        "Not taken: 24.1. More than 30 minutes have passed, which counts as having left the work."
    )
    assert visit.job.entries[-1].kind is EntryKind.RESUME
    assert visit.prompt().step == "first/look over"


def test_stop_after_a_long_gap_is_taken_at_once(tmp_path: Path, clock: Clock) -> None:
    visit = typed(begun(tmp_path, clock), *TO_THE_WALL)
    clock.now += timedelta(minutes=45)
    assert visit.enter("x 1").stopped
    assert visit.state.stopped == "gas"


def test_an_answer_that_nothing_comes_before_is_taken_after_a_gap_too(
    tmp_path: Path, clock: Clock
) -> None:
    visit = begun(tmp_path, clock)
    clock.now += timedelta(minutes=45)
    typed(visit, "2")
    assert visit.state.verdicts["story"] == "water seen"


@pytest.mark.parametrize(("setting", "minutes"), [(5, 6), (180, 45)])
def test_the_gap_is_a_setting_and_never_longer_than_records_are_folded_with(
    tmp_path: Path, clock: Clock, setting: int, minutes: int
) -> None:
    visit = typed(begun(tmp_path, clock), *TO_THE_WALL)
    visit.away_after = timedelta(minutes=setting)
    clock.now += timedelta(minutes=minutes)
    assert visit.enter("24.1").lines[0].startswith("Not taken: 24.1.")
    assert fold(visit.walk, visit.job.entries) == visit.state


def test_the_last_visits_nameplate_is_offered_and_never_taken_by_itself(
    tmp_path: Path, clock: Clock
) -> None:
    first = begun(tmp_path, clock, small())
    typed(first, "1", "1", "over", "1", "35")
    second = begun(tmp_path, clock, small(), last=first.job)
    typed(second, "1", "1", "over", "1")
    assert second.prompt().enter == "take 35 uF (last visit)"
    assert "rated_capacitance" not in second.state.numbers
    typed(second, "")
    assert second.job.entries[-1].typed == "35 uF"


def test_a_picture_that_is_not_there_is_said_and_asked_again(tmp_path: Path, clock: Clock) -> None:
    visit = typed(begun(tmp_path, clock), "p")
    with pytest.raises(JobError):
        visit.enter(str(tmp_path / "none.jpg"))
    assert visit.asks == "picture file?"
    assert len(visit.job.entries) == 1


def test_a_second_walk_in_a_job_takes_nothing_back_from_the_first(
    tmp_path: Path, clock: Clock
) -> None:
    first = typed(begun(tmp_path, clock), "1", "3", "1")
    other = Visit(first.job, small(), clock, "Ana")
    other.begin()
    assert other.enter("u").lines == ("Nothing to take back.",)
    typed(other, "1", "u")
    assert [one.of for one in other.job.entries if one.kind is EntryKind.STRIKE] == [6]
    assert fold(first.walk, walk_entries(first.job, first.walk)).end == "withdrawn"

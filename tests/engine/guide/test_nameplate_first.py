"""The nameplate is asked for where it can be read: before a box is open, and after a look round."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from engine import power
from engine.entries import EntryKind
from engine.guide.headless import Alike, walk_through
from engine.guide.prompt import HANDS_OUT, Now, Prompt
from engine.guide.visit import Visit
from engine.power import Act
from engine.session.steps import layout_of, step_named
from engine.tree import ActHead
from tests.stories import LEAVE, STORIES, Reader, cases, come_back, new_visit, type_on
from tests.technician import shipped
from tests.typed_jobs import Watch

IN_THE_BOX = {"breaker_marking"}
"""What is read with a box open: it is printed on the part itself."""


SHORTER = ("weak capacitor", "compressor grounded", "drain blocked")
"""``tests/long`` asks it of every case."""


class Walk:
    """A story walked at a visit of its own."""

    def __init__(self, story: str, folder: Path) -> None:
        self.watch = Watch()
        self.reader = Reader(STORIES[story])
        self.visit = new_visit(STORIES[story], folder, self.watch)

    def to(self, step: str, field: str = "") -> Prompt:
        """Walk on to a step, or to a question before it; return what is shown there."""

        def there(shown: Prompt) -> bool:
            asked = shown.field.name if shown.field else ""
            return shown.step.endswith(step) and asked == field

        type_on(self.visit, self.reader, self.watch, there)
        return self.visit.prompt()

    def enter(self, *lines: str) -> Prompt:
        """Type lines, each of which has to be taken; return what is shown then."""
        for line in lines:
            self.watch.moved_on()
            done = self.visit.enter(line)
            assert not done.refused, (line, done.refused)
        return self.visit.prompt()


def questions(visit: Visit, walk: Walk) -> Iterator[tuple[Prompt, tuple[str, ...]]]:
    """Yield every question of a walk, with the boxes that stand open on what may be live."""
    while (shown := visit.prompt()).now is not Now.ENDED:
        if shown.field is not None:
            yield shown, power.open_and_live(layout_of(visit.walk), visit.state.power)
        walk.enter(*walk.reader.lines(shown))


@pytest.mark.parametrize("story", SHORTER)
def test_no_question_waits_for_an_open_box(story: str, tmp_path: Path) -> None:
    walk = Walk(story, tmp_path)
    asked = list(questions(walk.visit, walk))
    assert asked
    for shown, reached in asked:
        assert shown.field is not None
        assert not reached or shown.field.name in IN_THE_BOX, (shown.step, reached)
        assert shown.do.startswith(HANDS_OUT) == bool(reached)


def test_the_breakers_size_is_read_at_the_panel(tmp_path: Path) -> None:
    walk = Walk("weak capacitor", tmp_path)
    assert (
        walk.to("handle", "breaker_amps").do
        == "Size on the handle of the breaker that feeds the unit"
    )
    assert walk.enter("40").step == "handle"


def test_what_the_box_will_need_is_asked_after_the_lock_and_before_the_cover(
    tmp_path: Path,
) -> None:
    walk = Walk("weak capacitor", tmp_path)
    walk.to("cover-off", "phases")
    locked = walk.visit.state.power
    assert power.Position.LOCKED in locked.position
    assert set(locked.cover) == {power.Cover.SHUT}
    walk.enter("1")
    assert walk.enter("1 2 13 15 16").title == "Open the control box"


def test_what_could_not_be_read_is_not_asked_again(tmp_path: Path) -> None:
    walk = Walk("weak capacitor", tmp_path)
    walk.to("handle", "breaker_amps")
    assert walk.enter("c").step == "handle"
    shown = walk.to("back-on/cover-on")
    assert shown.title == "Shut the control box"
    amps = [one for one in walk.visit.job.entries if one.step.endswith("/amps")]
    assert amps == []
    assert walk.visit.state.unread == ("breaker_amps",)


def test_who_comes_back_looks_round_before_any_question(tmp_path: Path) -> None:
    walk = Walk("weak capacitor", tmp_path)
    walk.to("capacitor", "rated_capacitance")
    walk.enter(LEAVE)
    walk.watch.moved_on(3600)
    walk.visit = come_back(walk.visit, walk.watch)
    head = step_named(walk.visit.walk, walk.visit.prompt().step).head
    assert isinstance(head, ActHead)
    assert head.act is Act.LOOK_OVER


def test_who_comes_back_is_not_asked_for_what_their_lock_holds(tmp_path: Path) -> None:
    walk = Walk("weak capacitor", tmp_path)
    walk.to("capacitor", "rated_capacitance")
    walk.enter(LEAVE)
    walk.watch.moved_on(3600)
    walk.visit = come_back(walk.visit, walk.watch)
    walk.to("capacitor")
    entries = walk.visit.job.entries
    back = next(one.n for one in entries if one.kind is EntryKind.RESUME)
    done = [one.title for one in entries if one.n > back and one.kind is EntryKind.ANSWER]
    assert done == [
        "Before the lock goes on",
        "Lock and tag the breaker",
        "Try to make it run",
        "Disconnect at the unit off, too",
        "No volts in the unit",
        "Bleed and read DC, capacitors",
    ]


def test_a_box_that_is_left_is_shut_before_the_repair_asks() -> None:
    """Found with the box live, mended with it dead: the refrigerant is asked for in between."""
    tree = shipped("unit-trips-breaker")
    alike = Alike(tree)
    case = cases("unit-trips-breaker")["hums and stops, under 5 V across the poles"]
    start = datetime(2026, 3, 14, 9, tzinfo=UTC)
    walk_through(tree, case.nameplate, case.answers, start=start, alike=alike)
    views = [came.before for came in alike.seen.values()]
    [asked] = [one.state for one in views if one.state.needs == "refrigerant"]
    before = views[[one.state for one in views].index(asked) - 1].state
    assert before.step == "leave unit live/cover-on"
    assert set(asked.power.cover) == {power.Cover.SHUT}

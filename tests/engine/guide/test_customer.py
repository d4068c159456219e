"""What is said to the customer, and what is still possible, as a job goes on."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from engine.guide import pages
from engine.guide.customer import STOPPED, person, words_for
from engine.guide.prompt import Prompt
from engine.guide.visit import Visit
from engine.power import Act
from engine.session.judging import holds
from engine.tree import ActHead
from tests.stories import STORIES, Reader, ended, new_visit, type_on
from tests.typed_jobs import Watch


def visit_at(story: str, folder: Path, until: Callable[[Prompt], bool] = ended) -> Visit:
    told, watch = STORIES[story], Watch()
    visit = new_visit(told, folder, watch)
    type_on(visit, Reader(told), watch, until)
    return visit


def tells(visit: Visit) -> Callable[[Prompt], bool]:
    def at(shown: Prompt) -> bool:
        step = visit.walk.steps.get(shown.step)
        head = step.head if step else None
        return isinstance(head, ActHead) and head.act is Act.TELL

    return at


def words(visit: Visit) -> tuple[str, ...]:
    return words_for(visit.walk, visit.state)


def test_before_a_cause_is_known_nothing_is_promised(tmp_path: Path) -> None:
    visit = visit_at("weak capacitor", tmp_path, lambda shown: shown.number > 12)
    assert words(visit)[0].startswith("We are still finding out why.")
    assert words(visit)[1].startswith("Taken so far: ")


def test_a_cause_not_mended_is_told_as_not_mended_and_one_mended_as_proved(
    tmp_path: Path,
) -> None:
    visit = visit_at("weak capacitor", tmp_path, lambda shown: shown.step.startswith("repair "))
    finding = visit.walk.tree.findings["weak-capacitor"]
    said = words(visit)
    assert finding.tell_customer.startswith(said[0])
    assert said[1] == "It is not repaired yet."
    assert any(finding.left in one for one in said if finding.left)
    reader, watch = Reader(STORIES["weak capacitor"]), Watch()
    type_on(visit, reader, watch, tells(visit))
    shown = visit.prompt()
    assert shown.say == words(visit)
    assert shown.say[0] == finding.tell_customer
    assert shown.say[1].startswith("Checked after the repair: Volts under load: holds")
    assert "It is not repaired yet." not in shown.say


def test_what_is_left_off_says_what_then_and_who(tmp_path: Path) -> None:
    visit = visit_at("compressor grounded", tmp_path)
    said = words(visit)
    finding = visit.walk.tree.findings["compressor-grounded"]
    assert "It is not repaired yet." in said
    assert f"If it stays so: {finding.left}" in said
    assert "Have somebody certified for refrigerants see to it." in said
    assert person("licensed electrician") == "a licensed electrician"


def test_work_that_was_stopped_is_told_first(tmp_path: Path) -> None:
    said = words(visit_at("a smell of gas", tmp_path))
    assert said == (STOPPED, "The cause is not found yet; somebody has to come again.")


def test_causes_that_one_reading_cleared_stand_together_before_it(tmp_path: Path) -> None:
    visit = visit_at("loose lug, then a worn breaker", tmp_path)
    lines = pages.possible(visit.view, visit.prompt())
    cleared = [one for one in lines if one.startswith("cleared: ")]
    readings = [one.rpartition(" (")[2] for one in cleared]
    assert cleared
    assert len(set(readings)) == len(readings), "no reading is named twice"
    for one in visit.walk.tree.suspects.values():
        listed = [line for line in lines if one.title in line]
        assert bool(listed) == holds(one.condition, visit.state.words), one.title

"""What a revision changes, told for the person who walks it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import pytest

from engine.formula import Measured, Value
from engine.loader.library import load
from engine.quantity import Quantity, literal
from engine.reading import Special
from engine.revision.comparing import Revision, compare
from engine.session.judging import Judged, classify
from engine.tree import Step, WalkTree
from tests.engine.revision.revised import revised


@pytest.fixture
def small(tmp_path: Path) -> WalkTree:
    return revised(tmp_path / "old")


def against(small: WalkTree, folder: Path, *exchanges: tuple[str, str], **more: str) -> Revision:
    return compare(small, revised(folder / "new", *exchanges, **more))


@pytest.mark.parametrize("tree", ["blank-thermostat", "unit-trips-breaker"])
def test_a_tree_is_the_same_as_itself(tree: str) -> None:
    walk = load(tree).walk
    assert walk is not None
    assert compare(walk, walk).same
    assert "nothing that a walk shows is different" in compare(walk, walk).sentences()[0]


# --- readings and answers that end elsewhere ------------------------------------------------------


def test_a_limit_that_moved(small: WalkTree, tmp_path: Path) -> None:
    revision = against(small, tmp_path, ("up to 200 ohm", "up to 150 ohm"), ("sion: 3", "sion: 4"))
    assert revision.sentences() == (
        "fan-stopped: revision 3 then, 4 now.",
        'Start winding of the fan: 150 ohm to 200 ohm was "whole" → leave, '
        'is now "open" → finding fan-winding.',
    )


def test_a_limit_of_the_nameplate_that_moved(small: WalkTree, tmp_path: Path) -> None:
    exchange = ("low of rated_volts less 10 %, most", "low of rated_volts less 5 %, most")
    (moved,) = against(small, tmp_path, exchange).moved
    assert moved.answer == (
        "min(pairs) low of rated volts less 10 % to low of rated volts less 5 %"
    )
    assert moved.example == "90 V to 95 V with rated volts 100 V"
    assert (moved.was, moved.now) == (
        '"within 10 %" → listen',
        '"too low" → finding supply-out',
    )


def test_what_a_meter_shows_instead_of_a_number(small: WalkTree, tmp_path: Path) -> None:
    exchange = (
        "      OL: {verdict: shorted, points to: [fan-capacitor], finds: fan-capacitor, "
        "if still wrong: windings}",
        "      OL: {verdict: shorted, then: windings}",
    )
    moved = against(small, tmp_path, exchange).moved
    assert [(one.answer, one.now) for one in moved] == [("OL", '"shorted" → windings')]


def test_an_answer_that_leads_elsewhere_is_new_or_is_gone(small: WalkTree, tmp_path: Path) -> None:
    moved = against(
        small,
        tmp_path,
        ("clean: supply", "clean: listen"),
        ("      nothing: capacitor\n", "      it turns: leave\n"),
    ).moved
    assert [str(one) for one in moved] == [
        'How the filters look: "clean" was → supply, is now → listen.',
        'Stand by and listen: "nothing" was → capacitor, is now no such answer.',
        'Stand by and listen: "it turns" was no such answer, is now → leave.',
    ]


def test_where_a_step_that_cannot_be_done_leads(small: WalkTree, tmp_path: Path) -> None:
    moved = against(small, tmp_path, ("cannot: supply", "cannot: {reach: listen}")).moved
    told = {(one.answer, one.was, one.now) for one in moved}
    assert ("can't, reach,", "→ supply", "→ listen") in told
    others = "can't, tell which, no meter, not there, not now, no nameplate,"
    assert (others, "→ supply", "→ leave") in told
    moved = against(small, tmp_path, ("cannot: supply", "cannot: listen")).moved
    assert "can't, whatever the reason," in {one.answer for one in moved}


def test_an_answer_that_counts_as_something_else(small: WalkTree, tmp_path: Path) -> None:
    exchange = ("runs on: {counts as: good, ", "runs on: {counts as: not good, ")
    (moved,) = against(small, tmp_path, exchange).moved
    assert (moved.was, moved.now) == ("→ tell, counts as good", "→ tell, counts as not good")


def test_a_step_that_is_passed_over_on_some_units(small: WalkTree, tmp_path: Path) -> None:
    exchange = (
        "    act: read dead\n    minutes: 3\n    leads off: [fan.lead.2]",
        "    if: phases is 1\n    if not: leave\n    act: read dead\n    minutes: 3\n"
        "    leads off: [fan.lead.2]",
    )
    revision = against(small, tmp_path, exchange)
    (moved,) = revision.moved
    assert str(moved) == ("Start winding of the fan: with phases 3 was asked, is now → leave.")


# --- steps and words ------------------------------------------------------------------------------


def test_steps_that_are_new_or_gone(small: WalkTree, tmp_path: Path) -> None:
    revision = against(
        small,
        tmp_path,
        ("  listen:\n    title: Stand by and listen", "  hear:\n    title: Hear it"),
        ("then: listen", "then: hear"),
        ("cannot: listen", "cannot: hear"),
    )
    assert revision.added == ("step hear, Hear it",)
    assert revision.removed == ("step listen, Stand by and listen",)
    assert 'within 10 %" → listen' in " ".join(one.was for one in revision.moved)


def test_a_step_with_only_a_new_name_is_the_same_step(small: WalkTree, tmp_path: Path) -> None:
    revision = against(
        small,
        tmp_path,
        ("  listen:\n", "  hear:\n"),
        ("then: listen", "then: hear"),
        ("cannot: listen", "cannot: hear"),
    )
    assert revision.renamed == (("listen", "hear"),)
    assert (revision.added, revision.removed, revision.moved) == ((), (), ())
    assert revision.sentences()[1:] == ("listen is called hear now.",)


def test_words_that_changed_are_told_part_by_part(small: WalkTree, tmp_path: Path) -> None:
    revision = against(
        small,
        tmp_path,
        ("do: Black to brown.", "do: Black to brown, motor cold."),
        ("repair: Change the filters, all of them.", "repair: Change all the filters."),
        ("    why: A weak capacitor leaves the start winding without torque.\n", ""),
    )
    assert [str(one) for one in revision.changed] == [
        "Capacitor of the fan: why is gone, "
        '"A weak capacitor leaves the start winding without torque.".',
        'Start winding of the fan: do was "Black to brown.", is now "Black to brown, motor cold.".',
        'finding filter-loaded: repair was "Change the filters, all of them.", '
        'is now "Change all the filters.".',
    ]
    assert not revision.moved


def test_a_procedure_that_changed_is_told_once_however_often_it_is_used(
    small: WalkTree, tmp_path: Path
) -> None:
    procedure = (tmp_path / "old" / "procedures" / "cover-on.yaml").read_text(encoding="utf-8")
    line = next(line for line in procedure.splitlines() if line.lstrip().startswith("do:"))
    exchange = (line, f"{line} Twice.")
    revision = against(small, tmp_path, exchange, file="procedures/cover-on.yaml")
    (changed,) = revision.changed
    assert changed.part == "do"
    assert changed.where.endswith("(in cover-on)")


def test_a_suspect_that_weighs_otherwise_is_told(small: WalkTree, tmp_path: Path) -> None:
    revision = against(
        small, tmp_path, ("fan-winding:   {weight: 3 of 10}", "fan-winding: {weight: 1 of 10}")
    )
    assert not revision.same
    assert [str(one) for one in revision.changed] == [
        'suspect fan-winding: weight was "0.3", is now "0.1".'
    ]


def test_a_procedures_steps_go_by_their_own_names(small: WalkTree, tmp_path: Path) -> None:
    exchange = ("    then: return done\n    cannot: stay", "    then: stay\n    cannot: stay")
    revision = against(small, tmp_path, exchange, file="procedures/cover-on.yaml")
    (moved,) = {str(one) for one in revision.moved if "(in cover-on)" in one.step}
    assert moved.endswith(": done was → return done, is now → stay.")


# --- against the session's own judgement ----------------------------------------------------------


def _readings(texts: tuple[str, ...]) -> Iterator[tuple[str, Value]]:
    for text in texts:
        quantity = literal(text)
        yield text, Measured.sure(quantity)
        yield (
            f"{text} and a hair",
            Measured.sure(Quantity(quantity.value + Fraction(1, 1000), quantity.kind)),
        )
    yield from ((str(special), special) for special in Special)


def _ends(step: Step, given: Value) -> tuple[str, str, str]:
    judged = classify(step, {next(iter(_names(step))): given}, lambda name: None)
    if isinstance(judged, Judged):
        return judged.outcome.verdict, judged.outcome.finds, judged.outcome.then
    return "", "", step.cannot["not now"]


def _names(step: Step) -> tuple[str, ...]:
    assert hasattr(step.head, "readings")
    return tuple(spec.name for spec in step.head.readings)


def test_a_reading_is_told_exactly_when_the_session_judges_it_otherwise(
    small: WalkTree, tmp_path: Path
) -> None:
    new = revised(
        tmp_path / "new",
        (
            "      up to 200 ohm: {verdict: whole,",
            "      below 1 ohm: {verdict: shorted, then: "
            "leave}\n      up to 150 ohm: {verdict: whole,",
        ),
    )
    told = {one.answer for one in compare(small, new).moved}
    assert told == {"below 1 ohm", "150 ohm to 200 ohm"}
    inside = {"0 ohm", "0.9 ohm", "150 ohm and a hair", "151 ohm", "200 ohm"}
    texts = ("0 ohm", "0.9 ohm", "1 ohm", "150 ohm", "151 ohm", "200 ohm", "201 ohm")
    old_step, new_step = small.steps["windings"], new.steps["windings"]
    differ = {
        text for text, value in _readings(texts) if _ends(old_step, value) != _ends(new_step, value)
    }
    assert differ == inside | {"0 ohm and a hair", "0.9 ohm and a hair", "151 ohm and a hair"}

"""Procedures, lists, stages and repairs as plain steps."""

from __future__ import annotations

import pytest

from engine.expansion import DEEPEST, expand
from engine.formula import parse
from engine.power import Act
from engine.trade.catalogue import FIGURES
from engine.tree import (
    CHANGING,
    DONE,
    GO_ON,
    NOT_NOW,
    STUCK_REASONS,
    UseHead,
    WalkTree,
)
from tests.engine.written import WORDS, act, procedure_of, tree_of, walk_of

LEAVE = """
  leave: {act: end, end: withdrawn, stage: any}
"""

READ = """
    procedure: read
    title: Read
    takes: {the box: box, the least: quantity, the name: text}
    returns: [good, low]
    gives: {volts: {from: line, reading: volts}}
    steps:
      line:
        title: Volts in the {the box}, {the name}
        act: read live
        box: the box
        readings: {volts: {function: volts, between: [contactor.L1, contactor.L2]}}
        bands:
          below the least: again
          otherwise: {then: return good}
        cannot: return low
      again:
        title: Again, {line.volts} before
        act: read live
        box: the box
        work out: {half: 50 % of line.volts}
        readings: {volts: {function: volts, between: [contactor.L1, contactor.L2]}}
        bands:
          below half: {then: return low}
          otherwise: {then: return good}
    """

USE_READ = """\
    start: first
    steps:
      first:
        use: read
        with:
          the box: control box
          the least: rated_volts less 10 %
          the name: "{rated_volts} unit"
        returns: {good: after, low: leave}
      after:
        act: ask
        title: It had {first.volts}
        choices: {"yes": leave}
      leave: {act: end, end: withdrawn, stage: any}
    """


@pytest.fixture
def used() -> WalkTree:
    """Expand a tree that uses a procedure."""
    return walk_of(USE_READ, READ)


def test_a_procedure_stands_behind_the_step_that_uses_it(used: WalkTree) -> None:
    assert list(used.steps)[:3] == ["first", "first/line", "first/again"]
    assert used.begins == {"first": "first/line"}
    assert used.inside == {"first/line": "first", "first/again": "first"}


def test_targets_inside_a_procedure_are_its_own_steps(used: WalkTree) -> None:
    answers = act(used.steps["first/line"]).judgements[0].answers
    assert [answer.then for answer in answers.values()] == ["first/again", "return good"]
    assert used.steps["first/line"].cannot["reach"] == "return low"


def test_parameters_are_put_in_alone_in_texts_and_in_formulas(used: WalkTree) -> None:
    line = used.steps["first/line"]
    bands = act(line).judgements[0].bands
    assert bands is not None
    assert act(line).box == "control box"
    assert line.title == "Volts in the control box, {rated_volts} unit"
    assert bands.cuts[0].at == parse("rated_volts less 10 %", FIGURES)


def test_names_of_readings_are_written_out_in_formulas_and_texts(used: WalkTree) -> None:
    again = used.steps["first/again"]
    assert act(again).work_out[0][1].names() == {"first/line.volts"}
    assert again.title == "Again, {first/line.volts} before"


def test_what_a_procedure_gives_is_found_by_the_step_that_uses_it(used: WalkTree) -> None:
    assert used.gives == {"first.volts": "first/line.volts"}
    assert used.steps["after"].title == "It had {first.volts}"


def test_every_step_has_a_way_out_of_every_cant(used: WalkTree) -> None:
    assert set(used.steps["first/again"].cannot) == set(STUCK_REASONS)
    assert used.steps["after"].cannot["no meter"] == "leave"


def test_a_result_is_followed_through_a_procedure_inside() -> None:
    outer = """
    procedure: outer
    title: Outer
    returns: [done]
    gives: {lowest: {from: inner, reading: volts}}
    steps:
      inner:
        use: read
        with: {the box: panel, the least: 200 V, the name: x}
        returns: {good: return done, low: return done}
    """
    walk = walk_of(
        """\
        start: survey
        steps:
          survey: {use: outer, returns: {done: leave}}
          leave: {act: end, end: withdrawn, stage: any}
        """,
        outer,
        READ,
    )
    assert walk.gives["survey.lowest"] == "survey/inner/line.volts"
    assert walk.inside["survey/inner/line"] == "survey/inner"
    assert walk.inside["survey/inner"] == "survey"


# --- stages ---------------------------------------------------------------------------------------

STAGED = """\
    stages:
      unit dead:
        zone: unit
        box: control box
        enter: {use: go-in, returns: {not done: leave}}
        leave: {use: come-out}
    start: ohms
    steps:
      ohms:
        stage: unit dead
        act: read dead
        title: Ohms
        readings: {r: {function: ohms, between: [contactor.T1, contactor.T2]}}
        bands: {up to 2 ohm: {finds: loose-wire, if still wrong: lid}, otherwise: lid}
      lid: {stage: unit dead, act: close up, box: panel}
      used: {stage: unit dead, use: come-out, returns: {done: leave}}
      leave: {act: end, end: withdrawn, stage: any}
    findings:
      loose-wire:
        suspect: loose-wire
        stage: unit dead
        repair: A new end.
        tell customer: A wire was loose.
        then: go on
        not now: leave
    """
GO_IN = """
    procedure: go-in
    title: Go in
    returns: [done, not done]
    steps:
      off: {act: ask, stage: any, choices: {"off": return done, it stays: return not done}}
    """
COME_OUT = """
    procedure: come-out
    title: Come out
    returns: [done]
    steps:
      lid: {act: close up, box: control box, then: return done}
    """


@pytest.fixture
def staged() -> WalkTree:
    """Expand a tree with a stage."""
    return walk_of(STAGED, GO_IN, COME_OUT)


def test_steps_take_zone_and_box_from_their_stage(staged: WalkTree) -> None:
    ohms, lid = act(staged.steps["ohms"]), act(staged.steps["lid"])
    assert (ohms.zone, ohms.box) == ("unit", "control box")
    assert (lid.zone, lid.box) == ("", "panel")


def test_steps_of_a_procedure_take_the_stage_of_the_step_that_uses_it(staged: WalkTree) -> None:
    assert staged.steps["used/lid"].stage == "unit dead"
    assert act(staged.steps["used/lid"]).zone == "unit"


def test_a_change_of_stage_is_a_chain_of_its_own(staged: WalkTree) -> None:
    enter = staged.steps["enter unit dead"]
    assert isinstance(enter.head, UseHead)
    assert list(enter.head.returns) == ["not done"]
    assert staged.begins["enter unit dead"] == "enter unit dead/off"
    names = [name for name in staged.steps if name.startswith(("enter ", "leave unit"))]
    assert {staged.steps[name].stage for name in names} == {CHANGING}


def test_a_repair_is_a_step(staged: WalkTree) -> None:
    repair = staged.steps["repair loose-wire"]
    answers = act(repair).judgements[0].answers
    assert (act(repair).act, act(repair).zone, repair.do) == (Act.REPAIR, "unit", "A new end.")
    assert {word: answer.then for word, answer in answers.items()} == {
        DONE: GO_ON,
        NOT_NOW: "leave",
    }
    assert repair.cannot[NOT_NOW] == "leave"


def test_taking_off_as_a_repair_counts_as_no_more_than_off() -> None:
    walk = walk_of(
        STAGED.replace(
            "repair: A new end.", "act: take off\n        item: jumper\n        repair: Off."
        ),
        GO_IN,
        COME_OUT,
    )
    done = act(walk.steps["repair loose-wire"]).judgements[0].answers[DONE]
    assert done.counts_as == "off"


# --- nesting --------------------------------------------------------------------------------------


def nested(depth: int) -> list[str]:
    """Return so many procedures, each using the next, and a last one."""
    inner = [
        f"""
        procedure: nest-{at}
        title: Nest
        returns: [done]
        steps:
          inner: {{use: nest-{at + 1}, returns: {{done: return done}}}}
        """
        for at in range(1, depth)
    ]
    return [*inner, COME_OUT.replace("come-out", f"nest-{depth}")]


NEST = """\
    start: outer
    steps:
      outer: {use: nest-1, returns: {done: leave}}
      leave: {act: end, end: withdrawn, stage: any}
    """


def test_procedures_nest_four_deep_and_no_deeper() -> None:
    walk = walk_of(NEST, *nested(DEEPEST))
    assert "outer/inner/inner/inner/lid" in walk.steps
    procedures = [procedure_of(text) for text in nested(DEEPEST + 1)]
    _, problems = expand(tree_of(NEST), {one.name: one for one in procedures}, WORDS)
    assert [one.code for one in problems] == ["procedures-too-deep"]


def test_a_procedure_that_uses_itself_is_a_problem_and_ends() -> None:
    itself = COME_OUT.replace(
        "lid: {act: close up, box: control box, then: return done}",
        "lid: {use: come-out, returns: {done: return done}}",
    )
    procedure = procedure_of(itself)
    tree = tree_of(NEST.replace("nest-1", "come-out"))
    walk, problems = expand(tree, {"come-out": procedure}, WORDS)
    assert [one.code for one in problems] == ["procedure-in-itself"]
    assert "outer/lid" in walk.steps


def test_an_unknown_procedure_leaves_the_step_standing() -> None:
    walk, problems = expand(tree_of(NEST), {}, WORDS)
    assert problems == ()
    assert walk.begins == {}

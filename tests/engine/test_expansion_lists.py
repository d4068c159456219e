"""Lists written out row by row, and what a parameter decides before anybody walks."""

from __future__ import annotations

import pytest

from engine.expansion import expand
from engine.tree import PassHead, SortHead, WalkTree
from engine.vocabulary import ALWAYS, NEVER, Comparison
from tests.engine.written import WORDS, act, procedure_of, tree_of, walk_of

# --- lists ----------------------------------------------------------------------------------------

LISTED = """\
    lists:
      loads:
        fan:    {the leads: fan leads, the finding: loose-wire}
        heater: {the leads: [heater.1, heater.2], the finding: loose-wire, if: fitted has heater}
    start: each
    steps:
      each:
        title: Every load
        stage: any
        for each: loads
        none: after
        steps:
          look:
            act: read dead
            title: Ohms of {the leads}
            leads off: [the leads, ground]
            choices: {grounded: {finds: the finding}, clear: next one, "no": again, out: after}
          again: {like: look, choices: {grounded: {finds: the finding}, clear: next one}}
      after: {act: ask, choices: {"yes": leave}}
      leave: {act: end, end: withdrawn, stage: any}
    """


@pytest.fixture
def listed() -> WalkTree:
    """Expand a tree with a list."""
    return walk_of(LISTED)


def test_each_row_is_written_out_behind_a_silent_step(listed: WalkTree) -> None:
    names = ["each", "each/fan", "each/fan/look", "each/fan/again", "each/heater"]
    assert list(listed.steps)[:5] == names
    assert isinstance(listed.steps["each/heater"].head, PassHead)
    assert listed.steps["each"].then == "each/fan"
    assert listed.steps["each/heater"].then == "each/heater/look"
    assert listed.steps["each/heater"].condition[0].words == ("heater",)
    assert listed.steps["each/heater"].if_not == "after"


def test_the_next_one_is_the_next_row_and_after_the_last_what_follows(listed: WalkTree) -> None:
    fan, heater = (
        act(listed.steps[f"each/{row}/look"]).judgements[0].answers for row in ("fan", "heater")
    )
    assert fan["clear"].then == "each/heater"
    assert heater["clear"].then == "after"
    assert fan["no"].then == "each/fan/again"
    assert fan["out"].then == "after"


def test_columns_are_put_in_and_lists_of_points_laid_flat(listed: WalkTree) -> None:
    fan, heater = listed.steps["each/fan/look"], listed.steps["each/heater/look"]
    assert act(fan).leads_off == ("fan leads", "ground")
    assert act(heater).leads_off == ("heater.1", "heater.2", "ground")
    assert heater.title == "Ohms of heater.1, heater.2"
    assert act(fan).judgements[0].answers["grounded"].finds == "loose-wire"


def test_steps_of_a_list_take_its_stage(listed: WalkTree) -> None:
    assert listed.steps["each/fan/look"].stage == "any"


def test_a_step_like_another_is_read_again(listed: WalkTree) -> None:
    assert listed.steps["each/fan/again"].again
    assert not listed.steps["each/fan/look"].again
    assert act(listed.steps["each/fan/again"]).leads_off == ("fan leads", "ground")


def test_a_list_given_to_a_procedure_is_written_out_there() -> None:
    walk = walk_of(
        """\
        start: both
        steps:
          both:
            use: every
            with: {the zones: {bus: {the zone: bus}, feeder: {the zone: feeder}}}
            returns: {done: leave}
          leave: {act: end, end: withdrawn, stage: any}
        """,
        """
        procedure: every
        title: Every one
        takes: {the zones: list}
        returns: [done]
        steps:
          each:
            for each: the zones
            none: return done
            steps:
              clear: {act: check, zone: the zone, choices: {"yes": next one}}
        """,
    )
    assert act(walk.steps["both/each/feeder/clear"]).zone == "feeder"
    answers = act(walk.steps["both/each/feeder/clear"]).judgements[0].answers
    assert answers["yes"].then == "return done"


def test_a_list_of_the_tree_is_given_by_its_name() -> None:
    walk = walk_of(
        """\
        lists: {places: {bus: {the zone: bus}, feeder: {the zone: feeder}}}
        start: both
        steps:
          both: {use: every, with: {the zones: places}, returns: {done: leave}}
          leave: {act: end, end: withdrawn, stage: any}
        """,
        """
        procedure: every
        title: Every one
        takes: {the zones: list}
        returns: [done]
        steps:
          each:
            for each: the zones
            none: return done
            steps: {clear: {act: check, zone: the zone, then: next one}}
        """,
    )
    assert act(walk.steps["both/each/bus/clear"]).zone == "bus"
    assert walk.steps["both/each/feeder/clear"].then == "return done"


def test_a_list_without_rows_is_passed_by() -> None:
    walk = walk_of(
        """\
        start: both
        steps:
          both: {use: every, with: {the zones: {}}, returns: {done: leave}}
          leave: {act: end, end: withdrawn, stage: any}
        """,
        """
        procedure: every
        title: Every one
        takes: {the zones: list}
        returns: [done]
        steps:
          each: {for each: the zones, none: return done, steps: {clear: {act: all clear}}}
        """,
    )
    assert walk.steps["both/each"].then == "return done"


# --- parameters decide ----------------------------------------------------------------------------

SORTED = """
    procedure: open-it
    title: Open it
    takes: {the box: box}
    returns: [done]
    steps:
      which:
        sort: the box
        choices: {panel: barrier, otherwise: lid}
      lid:
        if: the box is thermostat
        if not: barrier
        act: open up
        box: the box
        then: return done
      barrier: {act: open up, box: the box, then: return done}
    """


OPEN = """\
    start: open
    steps:
      open: {{use: open-it, with: {{the box: {box}}}, returns: {{done: leave}}}}
      leave: {{act: end, end: withdrawn, stage: any}}
    """


def open_it(box: str, procedure: str = SORTED) -> WalkTree:
    """Expand a tree that opens a box with a procedure."""
    return walk_of(OPEN.format(box=box), procedure)


@pytest.mark.parametrize(
    ("box", "leads_to"), [("panel", "open/barrier"), ("control box", "open/lid")]
)
def test_a_sort_over_a_parameter_is_one_way_on(box: str, leads_to: str) -> None:
    walk = open_it(box)
    assert isinstance(walk.steps["open/which"].head, PassHead)
    assert walk.steps["open/which"].then == leads_to


def test_a_sort_over_a_parameter_keeps_what_its_answer_finds() -> None:
    procedure = SORTED.replace("{panel: barrier,", "{panel: {also: dirt, then: barrier},")
    head = open_it("panel", procedure).steps["open/which"].head
    assert isinstance(head, SortHead)
    assert (head.by_name, head.by_step, head.by_formula) == ("", "", None)
    assert head.judgement.answers["otherwise"].also == "dirt"
    assert head.judgement.answers["otherwise"].then == "open/barrier"


def test_a_sort_that_does_not_know_what_it_is_given_is_a_problem() -> None:
    procedure = procedure_of(SORTED.replace(", otherwise: lid", ""))
    tree = tree_of(OPEN.format(box="thermostat"))
    _, problems = expand(tree, {"open-it": procedure}, WORDS)
    assert [problem.code for problem in problems] == ["wrong-choices"]


@pytest.mark.parametrize(("box", "decided"), [("thermostat", ALWAYS), ("panel", NEVER)])
def test_a_condition_on_a_parameter_is_decided(box: str, decided: Comparison) -> None:
    assert open_it(box).steps["open/lid"].condition == (decided,)


def test_a_sort_over_a_field_stays() -> None:
    walk = walk_of(
        """\
        start: which
        steps:
          which: {sort: phases, choices: {"1": leave, "3": leave}}
          leave: {act: end, end: withdrawn, stage: any}
        """
    )
    head = walk.steps["which"].head
    assert isinstance(head, SortHead)
    assert head.by_name == "phases"

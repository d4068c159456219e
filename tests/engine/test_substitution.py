"""Names and parameters put into values, by what the model says of each of its words."""

from __future__ import annotations

import pytest

from engine.formula import parse
from engine.power import Act
from engine.reading import Function
from engine.substitution import Scope, put_in, shown
from engine.trade.catalogue import FIGURES
from engine.tree import (
    ActHead,
    Judgement,
    Outcome,
    ReadingSpec,
    Row,
    SortHead,
    Spread,
    Step,
    UseHead,
    Wait,
)
from engine.vocabulary import ALWAYS, NEVER, Comparison, Relation, meets

SCOPE = Scope(
    steps={"look": "use/look", "volts": "use/volts"},
    given={
        "the zone": "unit",
        "the points": "contactor line",
        "the leads": ("blower.lead.1", "blower.lead.2"),
        "the limit": parse("90 % of rated_volts", FIGURES),
        "the least": parse("20 V", FIGURES),
        "the rating": parse("rated_volts", FIGURES),
        "the rows": {"fan": Row({"the name": "fan"})},
    },
)


def step(**said: object) -> Step:
    """Return a step with some of its fields said."""
    return Step(**({"name": "look", "title": "Look", "head": ActHead(Act.LOOK)} | said))  # type: ignore[arg-type]


def test_a_word_alone_is_exchanged_for_what_was_given() -> None:
    head = put_in(ActHead(Act.CHECK, zone="the zone", box="the box"), SCOPE)
    assert (head.zone, head.box) == ("unit", "the box")


def test_a_text_is_filled_and_its_readings_written_out() -> None:
    new = put_in(step(why="{the zone}: {volts.line} over {rated_volts}, {the least}"), SCOPE)
    assert new.why == "unit: {use/volts.line} over {rated_volts}, 20 V"


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("the zone", "unit"),
        ("the leads", "blower.lead.1, blower.lead.2"),
        ("the least", "20 V"),
        ("the rating", "{rated_volts}"),
        ("the limit", "90 % of rated_volts"),
        ("the rows", "fan"),
    ],
)
def test_what_was_given_reads_as_words(name: str, words: str) -> None:
    assert shown(SCOPE.given[name]) == words


def test_targets_become_whole_names_wherever_they_stand() -> None:
    new = put_in(
        step(
            then="look",
            if_not="volts",
            cannot={"reach": "look", "not now": "go on"},
            head=UseHead("p", {}, {"done": Outcome(then="look", if_still_wrong="volts")}),
        ),
        SCOPE,
    )
    assert (new.then, new.if_not) == ("use/look", "use/volts")
    assert new.cannot == {"reach": "use/look", "not now": "go on"}
    assert isinstance(new.head, UseHead)
    done = new.head.returns["done"]
    assert (done.then, done.if_still_wrong) == ("use/look", "use/volts")


def test_names_of_findings_and_suspects_are_no_targets() -> None:
    outcome = Outcome("look", finds="look", clears=("look",), then="look")
    new = put_in(outcome, SCOPE)
    assert (new.verdict, new.finds, new.clears, new.then) == ("look", "look", ("look",), "use/look")


def test_several_given_for_one_are_laid_flat() -> None:
    spec = ReadingSpec("r", Function.OHMS, Spread.EACH, ("the leads", "ground", "the points"))
    assert put_in(spec, SCOPE).points == (
        "blower.lead.1",
        "blower.lead.2",
        "ground",
        "contactor line",
    )


def test_formulas_take_names_and_formulas() -> None:
    formula = parse("the limit less volts.drop", FIGURES)
    new = put_in(Judgement({}, judge=formula), SCOPE).judge
    assert new is not None
    assert new.names() == {"rated_volts", "use/volts.drop"}


def test_what_is_handed_on_is_put_in_as_well() -> None:
    use = UseHead(
        "p",
        {
            "the zones": "the rows",
            "the limit": "the least",
            "the text": "in the {the zone}",
            "the ends": ("the leads",),
            "the list": {"one": Row({"the x": "the zone"})},
        },
        {},
    )
    given = put_in(use, SCOPE).with_
    assert given["the zones"] == SCOPE.given["the rows"]
    assert given["the limit"] == SCOPE.given["the least"]
    assert given["the text"] == "in the unit"
    assert given["the ends"] == ("blower.lead.1", "blower.lead.2")
    assert given["the list"] == {"one": Row({"the x": "unit"})}


@pytest.mark.parametrize(
    ("test", "decided"),
    [
        (Comparison("the zone", Relation.IS, ("unit",)), ALWAYS),
        (Comparison("the zone", Relation.IS_NOT, ("unit",)), NEVER),
        (Comparison("the zone", Relation.ONE_OF, ("bus", "unit")), ALWAYS),
        (Comparison("the leads", Relation.HAS, ("blower.lead.2",)), ALWAYS),
        (Comparison("the zone", Relation.IS, ("bus",)), NEVER),
        (Comparison("phases", Relation.IS, ("3",)), Comparison("phases", Relation.IS, ("3",))),
    ],
)
def test_a_comparison_of_a_parameter_is_decided(test: Comparison, decided: Comparison) -> None:
    assert put_in(step(condition=(test,)), SCOPE).condition == (decided,)


def test_what_is_decided_holds_whatever_is_answered() -> None:
    for answered in ((), ("unit",), ("a", "b")):
        assert meets(ALWAYS.relation, ALWAYS.words, answered)
        assert not meets(NEVER.relation, NEVER.words, answered)


def test_what_does_not_change_stays_the_same_object() -> None:
    head = SortHead(by_name="phases", judgement=Judgement({"3": Outcome(then="away")}))
    whole = step(head=head, why="Because of {rated_volts}.", wait=Wait(60, "Let it cool."))
    assert put_in(whole, SCOPE) is whole


def test_in_an_empty_scope_nothing_is_looked_at() -> None:
    whole = step(then="look", why="{the zone}")
    assert put_in(whole, Scope()) is whole


def test_cautions_and_waits_are_texts() -> None:
    new = put_in(
        step(
            cautions=(("WARNING", "Live in the {the zone}."),),
            wait=Wait(60, "So that the {the zone} cools.", "Stay at the {the zone}."),
        ),
        SCOPE,
    )
    assert new.cautions == (("WARNING", "Live in the unit."),)
    assert new.wait == Wait(60, "So that the unit cools.", "Stay at the unit.")

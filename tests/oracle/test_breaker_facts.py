"""The tree of the tripping breaker against the trade and the code, walked to its verdicts.

What is expected stands in ``data/walks/breaker_facts.json``, each with its source; so does what
was read and answered. What a fact does not speak of is answered as in the case it is like.

The breaker's size is held against the nameplate over every standard rating of NEC 240.6(A)
(builders.theknowledgegardens.com/knowledge/nec-article-240-overcurrent), for a unit whose ampacity
and largest breaker are worked out by NEC 440.33 (the several motors of 440.32) and 440.22(B)(1),
*from memory*; that neither may be passed is 440.4(B), *from memory*.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from engine.cases import Answer, Words
from engine.guide.headless import Walked, walk_through
from engine.power import Act
from engine.session.state import Passed
from engine.trade.catalogue import FIGURES
from engine.tree import REPAIR, ActHead, WalkTree
from tests.stories import cases, shipped

TREE = "unit-trips-breaker"
FACTS = Path(__file__).parent / "data" / "walks" / "breaker_facts.json"
NINE = datetime(2026, 3, 14, 9, tzinfo=UTC)
IN_ORDER = "nothing found, everything in order"

Fact = dict[str, Any]


def facts() -> list[Fact]:
    """Return the facts of the data file."""
    found: list[Fact] = json.loads(FACTS.read_text(encoding="utf-8"))
    return found


def tree() -> WalkTree:
    """Return the tree."""
    walk = shipped(TREE).walk
    assert walk is not None
    return walk


def walked(like: str, nameplate: Mapping[str, Words], answers: Mapping[str, Answer]) -> Walked:
    """Return the walk of a case, some of it answered otherwise."""
    case = cases(TREE)[like]
    found = walk_through(
        tree(), {**case.nameplate, **nameplate}, {**case.answers, **answers}, start=NINE
    )
    assert not found.refused, found.refused
    assert not found.missing, found.missing
    return found


def passed(found: Walked) -> tuple[Passed, ...]:
    """Return the steps that the walk came by."""
    return found.view.state.passed


def place(found: Walked, step: str) -> int:
    """Return where in the walk a step was answered first."""
    return next(at for at, one in enumerate(passed(found)) if one.step == step)


def resets_without_a_cause(found: Walked) -> Iterator[int]:
    """Yield where the breaker was put on before anything was mended."""
    for at, one in enumerate(passed(found)):
        if one.step.startswith(REPAIR) and one.verdict != "not now":
            return
        head = tree().steps[one.step].head if one.step in tree().steps else None
        if isinstance(head, ActHead) and head.act is Act.SWITCH_ON and head.device == "breaker":
            yield at


@pytest.mark.parametrize("fact", facts(), ids=lambda one: one["fact"])
def test_the_tree_says_what_the_trade_and_the_code_say(fact: Fact) -> None:
    found = walked(fact["like"], fact.get("nameplate", {}), fact["answers"])
    state = found.view.state
    for step, verdict in fact.get("says", {}).items():
        assert passed(found)[place(found, step)].verdict == verdict, fact["source"]
    for step in fact.get("read once", ()):
        assert [one.step for one in found.view.entries].count(step) == 1, fact["source"]
    every = [one.finding for one in state.found]
    findings = [one for one in every if not tree().tree.findings[one].kind]
    if "finds" in fact:
        assert findings == fact["finds"], fact["source"]
    assert not set(every) & set(fact.get("never", ())), fact["source"]
    for words in fact.get("repair says", ()):
        assert words in tree().tree.findings[findings[0]].repair, fact["source"]
    if "end" in fact:
        assert str(state.end) == fact["end"], fact["source"]
    if "resets" in fact:
        resets = list(resets_without_a_cause(found))
        assert len(resets) == fact["resets"], fact["source"]
        first = [place(found, step) for step in fact.get("before reset", ())]
        assert all(at < resets[0] for at in first), fact["source"]


def test_every_fact_has_a_source_or_says_that_it_has_none() -> None:
    for fact in facts():
        assert fact["source"] == "common practice, no source" or fact["source"][0].isdigit()
        assert set(fact) & {"says", "finds", "never", "resets"}


# --- the breaker's size against the nameplate -----------------------------------------------------

RATINGS = (15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100)
"""NEC 240.6(A), from the smallest on."""
TWO_COMPRESSORS = FIGURES["branch_circuit"].answer(compressors=(13.5, 13.5), motors=(1.5, 1.5, 6.0))
"""A unit with two compressors: 39.4 A of ampacity, 50 A at most (see ``data/breakers.json``)."""


def said_of(rating: int) -> str:
    """Return what the nameplate says of a breaker: NEC 440.4(B), from memory."""
    if rating < 39.375:
        return "too small"
    return "fits" if rating <= 50 else "too large"


def test_the_unit_is_the_worked_example() -> None:
    assert TWO_COMPRESSORS["mca"] == pytest.approx(39.375)
    assert TWO_COMPRESSORS["size_225"] == 50


@pytest.mark.parametrize("rating", RATINGS)
def test_a_standard_rating_is_held_against_the_nameplate(rating: int) -> None:
    plate = {
        "mca": f"{TWO_COMPRESSORS['mca']} A",
        "mocp": f"{TWO_COMPRESSORS['size_225']} A",
        "breaker_amps": f"{rating} A",
    }
    found = walked(IN_ORDER, plate, {"amps": "12.1 12.3 12.2"})
    said = said_of(rating)
    findings = {one.finding for one in found.view.state.found}
    assert passed(found)[place(found, "size-live")].verdict == said
    assert ("breaker-size" in findings) == (said == "too small")
    assert ("over-fused" in findings) == (said == "too large")

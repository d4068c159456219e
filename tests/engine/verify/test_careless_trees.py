"""Small unsafe trees as a careless author would write them: each is refuted, by its rule, there.

The first line of each file says the place, the rule, and what is careless about it. Nothing else is
wrong with the file, so that nobody would be warned by anything but the proof.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from engine.codes import PROOFS
from engine.loader.library import load
from engine.power import READ_FOR, Act
from engine.power.acts import OTHER_SIDE
from engine.tree import ActHead
from engine.verify.graph import Graph
from engine.verify.safety import RULES, Safety
from tests.engine.test_broken_trees import place_said

CARELESS = sorted((Path(__file__).parents[2] / "broken_trees" / "careless").glob("*.yaml"))


def rule_said(path: Path) -> str:
    """Return the rule that a file's first line says it breaks."""
    return path.read_text(encoding="utf-8").splitlines()[0].split()[2]


@pytest.mark.parametrize("path", CARELESS, ids=lambda path: path.stem)
def test_a_careless_tree_is_refuted_by_its_rule_at_its_step(path: Path) -> None:
    loaded = load(str(path))
    assert loaded.problems == ()
    assert loaded.walk is not None
    graph = Graph(loaded.walk)
    found = Safety(graph)
    assert not found.not_proved
    places = {(one.rule, graph.step(one.walk.place).span) for one in found.unsafe}
    here = {(rule, (span.line, span.column)) for rule, span in places if span.path == str(path)}
    assert (rule_said(path), place_said(path)) in here


def test_every_rule_is_broken_by_some_careless_tree() -> None:
    broken = Counter(rule_said(path) for path in CARELESS)
    assert set(broken) == set(RULES)
    assert len(CARELESS) >= 30
    assert {f"breaks-{rule.lower()}" for rule in broken} <= {code.name for code in PROOFS}


def test_every_reading_that_an_act_needs_is_missing_alone_from_some_careless_tree() -> None:
    """One that lacks only this would pass if nobody asked for it."""
    needed = {(act, part) for act, parts in READ_FOR.items() for part in parts}
    lacking = set()
    for path in CARELESS:
        walk = load(str(path)).walk
        assert walk is not None
        heads = [step.head for step in walk.steps.values() if isinstance(step.head, ActHead)]
        unread = [(head.act, part) for head in heads for part in head.unread]
        lacking |= set(unread if len(unread) == 1 else ())
    assert lacking == needed | {(Act.CHECK, OTHER_SIDE)}


def test_a_box_left_unsaid_is_asked_for_before_any_proof(tmp_path: Path) -> None:
    """Without its box the careless reading under load would be held to no box at all."""
    (careless,) = (path for path in CARELESS if path.stem == "verified-in-a-shut-box")
    text = careless.read_text(encoding="utf-8")
    unsaid = tmp_path / careless.name
    unsaid.write_text(text.replace("zone: unit, box: control box, ", "zone: unit, "), "utf-8")
    assert [one.code for one in load(str(unsaid)).problems] == ["act-lacks"]

"""A search that goes by a trial: where its table lies, what it changes, when it is refused."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from engine import power
from engine.layouts import LAYOUTS
from engine.loader.library import load
from engine.loader.outcomes import OfUnit, Outcomes, OutcomesError, write_outcomes
from engine.loader.units import unit_digest
from engine.suspects.from_tree import Advice, Moment, TreeSearch
from engine.suspects.signature import answers_of
from engine.suspects.tried import outcomes_path, tried_search
from engine.tree import WalkTree
from tests.stories import shipped

UNIT = "3-ton-high-leg"


@pytest.fixture(scope="module")
def walk() -> WalkTree:
    found = shipped("blank-thermostat").walk
    assert found is not None
    return found


def table(walk: WalkTree, step: str = "r-to-c") -> Outcomes:
    """Return a table in which one step shows the same with every suspect, as no author said."""
    verdict = next(iter(answers_of(walk.steps[step])))
    shown = {one: {verdict: 10} for one in walk.tree.suspects}
    made = OfUnit(unit_digest(UNIT), 9, 1, {step: shown})
    return Outcomes(walk.tree.name, walk.digest, {UNIT: made})


def advice(search: TreeSearch, walk: WalkTree) -> Advice:
    arrival = power.begin(LAYOUTS[walk.tree.layout])._replace(looked_over=True)
    return search.next_check(Moment(arrival))


def test_a_shipped_trees_table_is_kept_at_home(walk: WalkTree, tmp_path: Path) -> None:
    path = outcomes_path(walk, tmp_path)
    assert path == tmp_path / "trees" / "blank-thermostat.outcomes.json"


def test_ones_own_tree_has_it_beside_itself(tmp_path: Path) -> None:
    shelf = tmp_path / "trees" / "ours"
    shelf.mkdir(parents=True)
    there = Path(__file__).parents[2] / "data" / "trees" / "hums-and-stops.yaml"
    mine = shelf / "hums-and-stops.yaml"
    mine.write_text(there.read_text(encoding="utf-8"), encoding="utf-8", newline="\n")
    own = load(str(mine), tmp_path).walk
    assert own is not None
    assert outcomes_path(own, tmp_path) == shelf / "hums-and-stops.outcomes.json"


def test_what_was_tried_weighs_in_the_next_check(walk: WalkTree, tmp_path: Path) -> None:
    untried = advice(tried_search(walk, tmp_path), walk)
    assert untried == advice(TreeSearch(walk), walk)
    assert untried.next is not None
    write_outcomes(outcomes_path(walk, tmp_path), table(walk, untried.next))
    tried = advice(tried_search(walk, tmp_path), walk)
    assert tried.next not in (None, untried.next)
    assert (tried.instead(untried.next) or 1) > 0


def test_a_table_of_another_tree_or_unit_is_refused(walk: WalkTree, tmp_path: Path) -> None:
    path = outcomes_path(walk, tmp_path)
    write_outcomes(path, replace(table(walk), digest="other"))
    with pytest.raises(OutcomesError, match="before blank-thermostat was changed"):
        tried_search(walk, tmp_path)
    old = replace(table(walk).units[UNIT], digest="other")
    write_outcomes(path, table(walk).joined(UNIT, old))
    with pytest.raises(OutcomesError, match=f"before {UNIT} was changed"):
        tried_search(walk, tmp_path)

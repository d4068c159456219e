"""Random trees of acts, proved slice by slice and searched walk by walk: the same is found."""

from __future__ import annotations

import random

import pytest

from engine import power
from engine.power import pessimistic
from engine.verify.costs import costs
from engine.verify.ending import every_walk_ends
from engine.verify.graph import NOWHERE, Graph
from engine.verify.proof import Verdict
from engine.verify.reaching import Reach
from engine.verify.safety import Safety, Unsafe
from tests.acts_as_tree import Nodes, layout_is, tree_of
from tests.every_walk import chosen, every_path, meets, random_nodes
from tests.sequences import Sequence

FEW = 60


@pytest.mark.parametrize("part", range(4))
def test_slices_find_what_the_whole_model_finds(part: int, monkeypatch: pytest.MonkeyPatch) -> None:
    refuted = sum(
        slices_agree(seed, monkeypatch) for seed in range(part * FEW // 4, (part + 1) * FEW // 4)
    )
    # Neither all of them right nor all of them wrong, or the comparison means little.
    assert 1 < refuted < FEW // 4 - 1


@pytest.mark.parametrize("seed", [10192, 10989])
def test_what_one_slice_clears_another_may_confirm(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The same sentence stood in two slices, in one of them on walks that cannot be, or longer ones.
    assert slices_agree(seed, monkeypatch)


def slices_agree(seed: int, patch: pytest.MonkeyPatch) -> bool:
    """Assert that a random tree is found as safe by slices as by the whole; return if refuted."""
    told, nodes = random_nodes(random.Random(seed))
    layout_is(told.layout, patch)
    graph = Graph(tree_of(nodes))
    found = Safety(graph)
    assert not found.not_proved
    whole_model = meets(told.layout, nodes)
    by_slices = {
        (graph.step(one.walk.place).name, one.rule, one.sentence): one for one in found.unsafe
    }
    # Slices go on behind a step that another slice refused: they may name more, never less.
    assert whole_model.keys() <= by_slices.keys(), seed
    assert bool(whole_model) == bool(by_slices), seed
    for stands, one in by_slices.items():
        answers = sum(graph.asks[leg.place] != NOWHERE for leg in one.walk.legs)
        assert answers <= whole_model.get(stands, answers), seed
        _stands_at_the_end(told, nodes, graph, one)
    return bool(by_slices)


def _stands_at_the_end(told: Sequence, nodes: Nodes, graph: Graph, one: Unsafe) -> None:
    """Assert that a walk told can be gone, and that the model refuses the step it ends at."""
    state = power.begin(told.layout)
    said: dict[str, str] = {}
    at = next(iter(nodes))
    for leg in one.walk.legs:
        name = graph.step(leg.place).name
        assert name == at
        assert leg.way is not None
        node = nodes[name]
        key = leg.way.said if node.deed else chosen(node, said)
        word, at = node.answers[key]
        if node.deed:
            deed = node.deed
            said[name] = key
            state = power.apply(told.layout, state, deed, word or pessimistic(deed.act))
    last = nodes[graph.step(one.walk.place).name]
    assert last.deed is not None
    refused = power.refusals(told.layout, state, last.deed)
    assert (one.rule, one.sentence) in [(each.rule, each.sentence) for each in refused]


@pytest.mark.parametrize("seed", range(25))
def test_what_is_reached_and_what_it_takes(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    told, nodes = random_nodes(random.Random(1000 + seed), most=11)
    layout_is(told.layout, monkeypatch)
    graph = Graph(tree_of(nodes))
    seen = every_path(nodes)
    reached = {graph.places[place].step for place in Reach(graph).places}
    assert reached & set(nodes) == seen.steps
    taken = costs(graph)
    if taken and seen.minutes:
        sorts = any(node.by for node in nodes.values())
        bounds = min(seen.minutes), max(seen.minutes)
        if sorts:
            assert taken.best.minutes <= bounds[0]
            assert bounds[1] <= taken.worst.minutes
        else:
            assert (taken.best.minutes, taken.worst.minutes) == bounds
    assert every_walk_ends(graph).verdict is Verdict.REFUTED  # what cannot be done is asked again

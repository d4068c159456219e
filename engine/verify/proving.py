"""All properties of a tree, one small check each, in the order in which they are told."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engine import collector
from engine.problems import Problem
from engine.tree import WalkTree
from engine.verify.accepting import accepted
from engine.verify.costs import costs
from engine.verify.domain import Learned
from engine.verify.ending import every_step_has_an_end, every_walk_ends, repairs_lead_back
from engine.verify.fresh import nothing_is_known_before
from engine.verify.graph import Graph
from engine.verify.loaded import seen_by_loader
from engine.verify.proof import Proof, Result
from engine.verify.reaching import Reach, all_is_reached, every_sort_has_its_answer
from engine.verify.rules import nothing_left_on, rules, stop_leads_out
from engine.verify.safety import Safety
from engine.verify.warning import live_readings_warn


def prove(walk: WalkTree, found: Sequence[Problem] = ()) -> Proof:
    """Return what is proved of a tree; ``found`` is what the loader found wrong with it."""
    with collector.paused():
        return _proved(Graph(walk), found)


def _proved(graph: Graph, found: Sequence[Problem]) -> Proof:
    results = tuple(_results(graph, found))
    return Proof((*results, *accepted(graph.walk, results)), costs(graph))


def properties(
    walk: WalkTree, found: Sequence[Problem] = (), learned: Learned | None = None
) -> Iterator[Result]:
    """Yield what comes of each property, one proof after the other: nobody has to wait for all.

    Where a rule is broken one walk is told that breaks it. What is ``learned`` of the power model
    may be shared by trees that differ little.
    """
    yield from _results(Graph(walk, learned), found, briefly=True)


def _results(graph: Graph, found: Sequence[Problem], *, briefly: bool = False) -> Iterator[Result]:
    safe = Safety(graph)
    yield from rules(graph, safe, briefly=briefly)
    yield nothing_left_on(graph, safe)
    yield stop_leads_out(graph, safe)
    yield every_walk_ends(graph)
    yield every_step_has_an_end(graph)
    reach = Reach(graph)
    yield all_is_reached(graph, reach, tuple(one for one in found if one.code == "unreachable"))
    yield every_sort_has_its_answer(graph, reach)
    yield repairs_lead_back(graph)
    yield live_readings_warn(graph)
    yield nothing_is_known_before(graph)
    yield from seen_by_loader(found)

"""Properties: the rules R1 to R13, one each, and that STOP leads out from everywhere."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from engine.codes import problem
from engine.problems import Problem, Span
from engine.tree import ActHead
from engine.verify.graph import NOWHERE, Graph
from engine.verify.proof import Result
from engine.verify.safety import RULES, Safety, Unsafe
from engine.verify.telling import told

NOBODY_KNOWS = "The walks are too many to be searched."


def rules(graph: Graph, found: Safety, *, briefly: bool = False) -> Iterator[Result]:
    """Yield for each rule whether it is kept on every walk, with the walks on which it is not.

    ``briefly`` one such walk is enough, and the rules that seem to be broken come first.
    """
    for rule in found.rules_with_news_first() if briefly else RULES:
        unsafe = found.first_against(rule) if briefly else found.against(rule)
        problems = tuple(_problem(graph, one) for one in _first_of_each(graph, unsafe))
        yield Result(rule, problems, "" if problems else _lost(found, rule))


def _lost(found: Safety, rule: str) -> str:
    return NOBODY_KNOWS if found.is_lost(rule) else ""


def _first_of_each(graph: Graph, unsafe: Iterable[Unsafe]) -> list[Unsafe]:
    """Return the shortest walk for each rule and each place in a file.

    A step of shared work stands in the tree as often as it is used; it is said once.
    """
    first: dict[tuple[Span, str, str], Unsafe] = {}
    for one in sorted(unsafe, key=lambda unsafe: len(unsafe.walk.legs)):
        first.setdefault((graph.step(one.walk.place).span, one.rule, one.sentence), one)
    return list(first.values())


def _problem(graph: Graph, unsafe: Unsafe) -> Problem:
    step = graph.step(unsafe.walk.place)
    way = told(graph, unsafe.walk.legs)
    fix = f"It comes to this: {way}." if way else "It comes to this at once."
    return problem(f"breaks-{unsafe.rule.lower()}", step.span, unsafe.sentence, fix)


def nothing_left_on(graph: Graph, found: Safety) -> Result:
    """Return whether every jumper, lead, meter and gauge is off before a walk ends."""
    left = (one for one in _first_of_each(graph, found.against("R8")) if _is_end(graph, one))
    problems = tuple(_problem(graph, one) for one in left)
    return Result("nothing is left on", problems, _lost(found, "R8"))


def _is_end(graph: Graph, unsafe: Unsafe) -> bool:
    head = graph.step(unsafe.walk.place).head
    return isinstance(head, ActHead) and bool(head.end)


def stop_leads_out(graph: Graph, found: Safety) -> Result:
    """Return whether STOP leads from every step to a way out that nothing stands against."""
    name = "STOP leads out"
    if graph.way_out == NOWHERE:
        sentence = "There is no step that uses withdraw, so STOP leads nowhere of the tree's own."
        fix = "Add withdraw: {stage: any, use: withdraw}."
        return Result(name, (problem("no-way-out", graph.walk.tree.span, sentence, fix),))
    stopped = (one for one in found.unsafe if any(leg.way is None for leg in one.walk.legs))
    problems = tuple(_problem(graph, one) for one in stopped)
    lost = NOBODY_KNOWS if found.not_proved else ""
    return Result(name, problems, lost)

"""Slips that change what a tree finds; its cases are to notice them.

Two answers that lead to each other's place, a step left out, a cut that lies elsewhere, a value of
the nameplate taken for another of the same quantity.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from itertools import pairwise

from engine.formula import Formula
from engine.formula.node import End, Name, Node, Share, rebuilt
from engine.formula.node import every as every_part
from engine.formula.writing import in_text
from engine.mutation.mutant import Mutant, Operator
from engine.mutation.unsafe import is_safe_work
from engine.mutation.written import (
    Written,
    judgements,
    left_out,
    may_be_left_out,
    onward,
    with_answers,
    with_judgement,
)
from engine.quantity import Quantity
from engine.trade.catalogue import FIGURES
from engine.tree import (
    ActHead,
    Outcome,
    SortHead,
    Step,
    WalkTree,
)
from engine.vocabulary import Field

TARGETS = Operator("targets swapped")
STEP = Operator("step left out")
CUT = Operator("cut moved")
VALUE = Operator("nameplate value swapped")

MOVED = (Quantity.of(80, "%"), Quantity.of(120, "%"))
"""How far a cut is moved, down and up: farther than a meter's accuracy, within which a reading is
too close to call, and near enough that only a case close to the cut notices."""

Route = tuple[str, str, str]
"""Where an answer leads: what it finds, if still wrong, and the step gone on at."""
Leaf = tuple[str, str]
"""A value of the nameplate in a formula: which end of it, or none, and its name."""


def functional(walk: WalkTree, every: Sequence[Written]) -> Iterator[Mutant]:
    """Yield every functional mutant of a tree, one written step after the other."""
    values = _Values(walk)
    for written in every:
        yield from _targets(written)
        yield from _step(walk, written)
        yield from _cuts(written)
        yield from values.swapped(written)


# --- targets ------------------------------------------------------------------------------------


def _targets(written: Written) -> Iterator[Mutant]:
    for at, judgement in enumerate(judgements(written.first)):
        for one, other in pairwise(judgement.answers):
            change = f'"{one}" leads where "{other}" should, and the other way round'
            swapped = partial(_swapped, at=at, one=one, other=other)
            yield from written.mutant(TARGETS, change, swapped)


def _swapped(step: Step, at: int, one: str, other: str) -> Step | None:
    answers = judgements(step)[at].answers
    if one not in answers or other not in answers:
        return None
    first, second = answers[one], answers[other]
    swapped = ((one, _led(first, _route(second))), (other, _led(second, _route(first))))
    return with_answers(step, at, swapped)


def _route(outcome: Outcome) -> Route:
    return outcome.finds, outcome.if_still_wrong, outcome.then


def _led(outcome: Outcome, route: Route) -> Outcome:
    finds, still_wrong, then = route
    return replace(outcome, finds=finds, if_still_wrong=still_wrong, then=then)


# --- steps --------------------------------------------------------------------------------------


def _step(walk: WalkTree, written: Written) -> Iterator[Mutant]:
    step = written.first
    if may_be_left_out(walk, step) and not is_safe_work(walk, step):
        yield from written.mutant(STEP, f"it is left out, on to {onward(step)}", left_out)


# --- cuts ---------------------------------------------------------------------------------------


def _cuts(written: Written) -> Iterator[Mutant]:
    for at, judgement in enumerate(judgements(written.first)):
        for number, cut in enumerate(judgement.bands.cuts if judgement.bands else ()):
            for percent in MOVED:
                change = f'"{cut.key}" ends at {percent.value} % of that'
                moved = partial(_moved, at=at, number=number, percent=percent)
                yield from written.mutant(CUT, change, moved)


def _moved(step: Step, at: int, number: int, percent: Quantity) -> Step | None:
    judgement = judgements(step)[at]
    if judgement.bands is None:
        return None
    cuts = list(judgement.bands.cuts)
    cuts[number] = replace(cuts[number], at=formula_of(Share(percent, cuts[number].at.node)))
    bands = replace(judgement.bands, cuts=tuple(cuts))
    return with_judgement(step, at, replace(judgement, bands=bands))


def formula_of(node: Node) -> Formula:
    """Return the formula of a node, with the text that it reads as."""
    formula = Formula(node, "")
    return replace(formula, text=in_text(formula, FIGURES))


# --- nameplate values ---------------------------------------------------------------------------


class _Values:
    """The numbers of a tree's nameplate, and what each may be taken for."""

    def __init__(self, walk: WalkTree) -> None:
        asked = {
            name: walk.fields[name]
            for step in walk.steps.values()
            for name in (part.name for part in _values_in(step))
            if name in walk.fields and walk.fields[name].kind
        }
        self._fields: dict[str, Field] = dict(sorted(asked.items()))

    def swapped(self, written: Written) -> Iterator[Mutant]:
        """Yield every mutant in which one value is taken for another in all of a step."""
        for part in sorted({_leaf(part) for part in _values_in(written.first)}):
            for other in self._others(part):
                change = f"{_plain(other)} stands where {_plain(part)} should"
                exchanged = partial(_exchanged, part=part, other=other)
                yield from written.mutant(VALUE, change, exchanged)

    def _others(self, part: Leaf) -> Iterator[Leaf]:
        """Yield what a value may be taken for: the other end of it, or another of its quantity."""
        end, name = part
        if name not in self._fields:
            return
        if end:
            yield "low" if end == "high" else "high", name
        for other, field in self._fields.items():
            if other != name and _alike(field, self._fields[name]):
                yield end, other


def _alike(one: Field, other: Field) -> bool:
    return (one.kind, one.volts_marking) == (other.kind, other.volts_marking)


def _exchanged(step: Step, part: Leaf, other: Leaf) -> Step:
    """Return a step with one value of the nameplate in the place of another in its formulas."""

    def leaf(node: Node) -> Node:
        return _node(other) if isinstance(node, Name | End) and _leaf(node) == part else node

    def of(formula: Formula) -> Formula:
        node = rebuilt(formula.node, leaf)
        return formula if node == formula.node else formula_of(node)

    head = step.head
    if isinstance(head, ActHead):
        work_out = tuple((name, of(formula)) for name, formula in head.work_out)
        step = replace(step, head=replace(head, work_out=work_out))
    elif isinstance(head, SortHead) and head.by_formula:
        step = replace(step, head=replace(head, by_formula=of(head.by_formula)))
    for at, judgement in enumerate(judgements(step)):
        bands = judgement.bands
        if bands:
            bands = replace(bands, cuts=tuple(replace(cut, at=of(cut.at)) for cut in bands.cuts))
        judge = of(judgement.judge) if judgement.judge else None
        step = with_judgement(step, at, replace(judgement, judge=judge, bands=bands))
    return step


def _formulas(step: Step) -> Iterator[Formula]:
    if isinstance(step.head, ActHead):
        yield from (formula for _, formula in step.head.work_out)
    if isinstance(step.head, SortHead) and step.head.by_formula:
        yield step.head.by_formula
    for judgement in judgements(step):
        if judgement.judge:
            yield judgement.judge
        if judgement.bands:
            yield from (cut.at for cut in judgement.bands.cuts)


def _values_in(step: Step) -> Iterator[Name | End]:
    """Yield every name in a step's formulas."""
    for formula in _formulas(step):
        yield from (part for part in every_part(formula.node) if isinstance(part, Name | End))


def _leaf(node: Name | End) -> Leaf:
    return (node.which if isinstance(node, End) else "", node.name)


def _node(leaf: Leaf) -> Node:
    end, name = leaf
    return End(end, name) if end else Name(name)


def _plain(leaf: Leaf) -> str:
    end, name = leaf
    return f"{end} of {name}" if end else name

"""Steps as they were written, each with every step of the walk that came of it.

A step of a procedure or list stands in a tree as often as it is used; what is changed in it is
changed everywhere at once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from engine.mutation.mutant import Mutant, Operator
from engine.power import OUTCOMES
from engine.problems import Span
from engine.tree import (
    CARRY_ON,
    ENTER,
    LEAVE,
    STUCK_REASONS,
    ActHead,
    Judgement,
    Outcome,
    PassHead,
    SortHead,
    Step,
    UseHead,
    WalkTree,
)

Edit = Callable[[Step], Step | None]
"""Makes a change to one step; None where there is nothing to change in it."""


@dataclass(frozen=True, slots=True)
class Written:
    """A step of a file, as often as it stands in the tree."""

    span: Span
    steps: tuple[Step, ...]

    @property
    def first(self) -> Step:
        """The step where it is used first."""
        return self.steps[0]

    def mutant(self, operator: Operator, change: str, edit: Edit) -> Iterator[Mutant]:
        """Yield the mutant in which an edit is made to every step; nothing where none changes."""
        edited = ((step, edit(step)) for step in self.steps)
        changed = {step.name: new for step, new in edited if new is not None and new != step}
        if changed:
            first = next(iter(changed.values()))
            yield Mutant(operator, self.span, first.title or first.name, change, changed)


def every_written(walk: WalkTree) -> Iterator[Written]:
    """Yield the steps of a tree as written, in the order in which they stand in the walk."""
    by_span: dict[tuple[Span, type], list[Step]] = {}
    for step in walk.steps.values():
        by_span.setdefault((step.span, type(step.head)), []).append(step)
    for (span, _), steps in by_span.items():
        yield Written(span, tuple(steps))


def judgements(step: Step) -> tuple[Judgement, ...]:
    """Return the judgements of a step that asks or sorts; a use has one, over its returns."""
    match step.head:
        case ActHead() as head:
            return head.judgements
        case SortHead() as head:
            return (head.judgement,)
        case UseHead() as head:
            return (Judgement(head.returns),)
        case _:
            return ()


def with_judgement(step: Step, at: int, judgement: Judgement) -> Step:
    """Return a step with another judgement in one place."""
    match step.head:
        case ActHead() as head:
            several = (*head.judgements[:at], judgement, *head.judgements[at + 1 :])
            return replace(step, head=replace(head, judgements=several))
        case SortHead() as head:
            return replace(step, head=replace(head, judgement=judgement))
        case UseHead() as head:
            return replace(step, head=replace(head, returns=judgement.answers))
        case _:
            return step


def with_answers(step: Step, at: int, answers: Iterable[tuple[str, Outcome]]) -> Step:
    """Return a step with other outcomes for some answers of one judgement."""
    judgement = judgements(step)[at]
    return with_judgement(
        step, at, replace(judgement, answers={**judgement.answers, **dict(answers)})
    )


def may_be_left_out(walk: WalkTree, step: Step) -> bool:
    """Return whether a step could be forgotten: not what ends a walk, nor a change of stage."""
    match step.head:
        case ActHead() as head:
            return not head.end
        case UseHead() as head:
            return bool(head.returns) and step.name not in {
                word + stage for stage in walk.tree.stages for word in (ENTER, LEAVE)
            }
        case head:
            return isinstance(head, SortHead)


def left_out(step: Step) -> Step:
    """Return a silent step in the place of one: the walk goes on where its good answer leads."""
    return replace(step, head=PassHead(), then=onward(step), wait=None)


def onward(step: Step) -> str:
    """Return where a step leads when nothing is wrong; where *can't* leads if all answers find."""
    answers = [
        (at, outcome)
        for at, outcome in enumerate(
            outcome for one in judgements(step) for outcome in one.answers.values()
        )
        if outcome.then != CARRY_ON
    ]
    going_on = [(at, outcome) for at, outcome in answers if not outcome.finds]
    if not answers:
        return step.then
    if not going_on:
        return step.cannot[STUCK_REASONS[0]]
    _, best = min(going_on, key=lambda one: (*_badness(step, one[1]), one[0]))
    return best.then


def _badness(step: Step, outcome: Outcome) -> tuple[int, bool, int]:
    """Return how far an answer is from the good one, less for a better."""
    return rank(step, outcome), bool(outcome.points_to or outcome.also), -len(outcome.clears)


def rank(step: Step, outcome: Outcome) -> int:
    """Return how bad an outcome is for safety by what it counts as, 0 for the best."""
    ranks = OUTCOMES[step.head.act] if isinstance(step.head, ActHead) else ()
    if outcome.counts_as in ranks:
        return ranks.index(outcome.counts_as)
    return len(ranks) if ranks or outcome.counts_as else 0

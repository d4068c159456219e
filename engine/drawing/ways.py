"""The ways on from a step, a finding or a stage, each with the answers that it is taken by.

What every step can do is not drawn at every step: a reason not to do one leads, where nothing else
is said, to the tree's *if stuck*.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from engine.drawing.words import Words, condition_in_words
from engine.tree import (
    CARRY_ON,
    DONE,
    NOT_NOW,
    STUCK_REASONS,
    ActHead,
    Finding,
    HandOverHead,
    Judgement,
    Outcome,
    PassHead,
    SortHead,
    Stage,
    Step,
    UseHead,
)

FINDING = "finding "
STAGE = "stage "
TREE = "tree "
"""What the ids of boxes begin with that are no steps."""


class WayKind(StrEnum):
    """Why a way is taken."""

    ANSWER = "answer"
    STILL_WRONG = "if still wrong"
    """Taken later, where the finding was not all that was wrong."""
    ALSO = "also found"
    """Noted in passing; the walk goes on by the answer beside it."""
    NOT_HERE = "if not"
    """The step does not apply to this unit."""
    CANNOT = "can't"
    JUDGED = "judged"
    """No way: what the answers below it are judged by."""


@dataclass(frozen=True, slots=True)
class Way:
    """One way on."""

    words: tuple[str, ...]
    """The answers, in the order of the file."""
    to: str
    """The id of a box; empty where the same step goes on below."""
    kind: WayKind = WayKind.ANSWER


def ways_of(step: Step, words: Words, if_stuck: str) -> Iterator[Way]:
    """Yield the ways on from a step in the order in which they come to be taken."""
    if step.condition:
        yield Way((f"only if {condition_in_words(step.condition)}; if not",), step.if_not, _NOT)
    match step.head:
        case ActHead() as head:
            for judgement in head.judgements:
                yield from _judged(step, judgement, words)
            if not head.judgements and not head.end:
                yield Way((DONE,), step.then)
            yield from _cannot(step, if_stuck)
        case SortHead() as head:
            yield from _judged(step, head.judgement, words)
        case UseHead() as head:
            for word, outcome in head.returns.items():
                yield from _outcome((word,), outcome)
        case HandOverHead() as head:
            yield Way((f"keeps {', '.join(head.keep)}" if head.keep else DONE,), TREE + head.tree)
        case PassHead():
            yield Way(("row by row",), step.then)
        case _:
            return


_NOT = WayKind.NOT_HERE
STILL = "if still wrong"


def found_inside(steps: Iterable[Step], inside: Container[str], words: Words) -> Iterator[Way]:
    """Yield what the steps of a procedure find by themselves, with no word of return; each once."""
    found: dict[Way, None] = {}
    for step in steps:
        for key, outcome in _every_answer(step):
            said = (f"{words.text(step.title, step)}: {outcome.verdict or key}",)
            if outcome.also:
                found[Way(said, FINDING + outcome.also, WayKind.ALSO)] = None
            if outcome.finds:
                found[Way(said, FINDING + outcome.finds)] = None
                if outcome.if_still_wrong and outcome.if_still_wrong not in inside:
                    found[Way((STILL,), outcome.if_still_wrong, WayKind.STILL_WRONG)] = None
    yield from found


def _every_answer(step: Step) -> Iterator[tuple[str, Outcome]]:
    head = step.head
    if isinstance(head, ActHead):
        for judgement in head.judgements:
            yield from judgement.answers.items()
    elif isinstance(head, SortHead):
        yield from head.judgement.answers.items()


def _judged(step: Step, judgement: Judgement, words: Words) -> Iterator[Way]:
    if judgement.judge is not None:
        yield Way((words.formula(step, judgement.judge),), "", WayKind.JUDGED)
    lines = words.windows(step, judgement, short=True)
    for line, outcome in zip(lines, judgement.answers.values(), strict=True):
        said = (f"{line}, if {condition_in_words(outcome.condition)}",) if outcome.condition else ()
        yield from _outcome(said or (line,), outcome)


def _outcome(said: tuple[str, ...], outcome: Outcome) -> Iterator[Way]:
    if outcome.also:
        yield Way(said, FINDING + outcome.also, WayKind.ALSO)
    if outcome.finds:
        yield Way(said, FINDING + outcome.finds)
        if outcome.if_still_wrong:
            yield Way((STILL,), outcome.if_still_wrong, WayKind.STILL_WRONG)
    elif outcome.then == CARRY_ON:
        yield Way(said, "")
    else:
        yield Way(said, outcome.then)


def _cannot(step: Step, if_stuck: str) -> Iterator[Way]:
    for target, reasons in by_reasons(step, if_stuck):
        yield Way((f"can't: {reasons}" if reasons else "can't",), target, WayKind.CANNOT)


def by_reasons(step: Step, if_stuck: str) -> Iterator[tuple[str, str]]:
    """Yield where the reasons not to do a step lead, and which; empty for all of them.

    Those that lead to the tree's *if stuck* are left out.
    """
    by_target: dict[str, list[str]] = {}
    for reason in STUCK_REASONS:
        by_target.setdefault(step.cannot.get(reason, if_stuck), []).append(reason)
    for target, reasons in by_target.items():
        if target != if_stuck:
            yield target, ", ".join(reasons) if len(reasons) < len(STUCK_REASONS) else ""


def after(finding: Finding) -> Iterator[Way]:
    """Yield the ways on from a finding: with its repair done, and with it left."""
    if finding.then:
        yield Way((DONE,), finding.then)
    if finding.not_now:
        yield Way((NOT_NOW,), finding.not_now)


def changes(stage: Stage, titles: Mapping[str, str]) -> Iterator[Way]:
    """Yield how a stage is entered and left, and where the walk goes when that fails."""
    for word, use in (("in by", stage.enter), ("out by", stage.leave)):
        if use is None:
            continue
        yield Way((f"{word} {titles.get(use.procedure, use.procedure)}",), "", WayKind.JUDGED)
        for said, outcome in use.returns.items():
            yield from _outcome((said,), outcome)


def joined(ways: Iterable[Way]) -> tuple[Way, ...]:
    """Return the ways with those that follow each other to the same place as one."""
    found: list[Way] = []
    for way in ways:
        last = found[-1] if found else None
        if last and way.to and (last.to, last.kind) == (way.to, way.kind):
            found[-1] = Way((*last.words, *way.words), way.to, way.kind)
        else:
            found.append(way)
    return tuple(found)

"""A tree drawn in text: every step in file order, each answer, and where it leads.

What the procedures do on the way in and out of a stage is left to the paper drawing; here a step
says which stage it is done in.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from engine.drawing.words import Words, condition_in_words
from engine.loader.kinds import judgements_of
from engine.tree import (
    ActHead,
    EachHead,
    HandOverHead,
    Outcome,
    SortHead,
    Step,
    UseHead,
    WalkTree,
)

ARROW = "->"
FOUND = "FOUND"


@dataclass(frozen=True, slots=True)
class Drawn:
    """A step or a finding in text."""

    number: str
    """What it can be walked to by; empty for what stands inside a list."""
    name: str
    heading: str
    about: str
    """Stage, act, minutes."""
    ways: tuple[str, ...]


def drawn(walk: WalkTree) -> tuple[Drawn, ...]:
    """Return the steps of a tree, then its findings."""
    numbers = {name: str(n) for n, name in enumerate(walk.tree.steps, 1)}
    words = Words(walk, numbers)
    steps = [one for step in walk.tree.steps.values() for one in _step(step, words, numbers)]
    return (*steps, *_findings(walk))


def _step(step: Step, words: Words, numbers: Mapping[str, str]) -> Iterator[Drawn]:
    number = numbers.get(step.name, "")
    yield Drawn(
        number,
        step.name,
        f"{step.name}: {words.text(step.title, step)}" if step.title else step.name,
        _about(step),
        tuple(_ways(step, words)),
    )
    if isinstance(step.head, EachHead):
        for inner in step.head.steps.values():
            yield from _step(inner, words, {})


def _about(step: Step) -> str:
    told = [step.stage and f"stage {step.stage}", _head(step)]
    told += [f"{step.minutes:g} min" if step.minutes else "", step.who]
    condition = condition_in_words(step.condition)
    told.append(f"only if {condition}, else {ARROW} {step.if_not}" if condition else "")
    return " · ".join(one for one in told if one)


def _head(step: Step) -> str:
    match step.head:
        case ActHead(act=act):
            return str(act)
        case UseHead(procedure=procedure):
            return f"uses {procedure}"
        case SortHead():
            return "sort"
        case EachHead(over=over):
            return f"for each of {over}"
        case HandOverHead(tree=tree):
            return f"hands over to {tree}"
        case _:
            return ""


def _ways(step: Step, words: Words) -> Iterator[str]:
    """Yield each answer with where it leads."""
    for judgement in judgements_of(step):
        windows = words.windows(step, judgement, short=True)
        for window, outcome in zip(windows, judgement.answers.values(), strict=True):
            yield f"{window} {ARROW} {_target(outcome)}"
    if isinstance(step.head, UseHead):
        for word, outcome in step.head.returns.items():
            yield f"{word} {ARROW} {_target(outcome)}"
    if isinstance(step.head, EachHead) and step.head.none:
        yield f"none left {ARROW} {step.head.none}"
    if step.then:
        yield f"then {ARROW} {step.then}"
    targets: dict[str, list[str]] = {}
    for reason, target in step.cannot.items():
        targets.setdefault(target, []).append(reason)
    for target, reasons in targets.items():
        why = f" ({', '.join(reasons)})" if len(targets) > 1 else ""
        yield f"can't{why} {ARROW} {target}"


def _target(outcome: Outcome) -> str:
    also = f", also {outcome.also}" if outcome.also else ""
    if outcome.finds:
        back = (
            f"; if still wrong {ARROW} {outcome.if_still_wrong}" if outcome.if_still_wrong else ""
        )
        return f"{FOUND} {outcome.finds}{also}{back}"
    return f"{outcome.then}{also}"


def _findings(walk: WalkTree) -> Iterator[Drawn]:
    for finding in walk.tree.findings.values():
        stage = f"stage {finding.stage}" if finding.stage else ""
        told = (finding.kind, stage, str(finding.act), finding.who)
        ways = [f"done {ARROW} {finding.then}" if finding.then else ""]
        ways += [f"not now {ARROW} {finding.not_now}" if finding.not_now else ""]
        yield Drawn(
            "",
            finding.name,
            f"{FOUND} {finding.name}: {finding.title}".rstrip(": "),
            " · ".join(one for one in told if one),
            tuple(way for way in ways if way),
        )

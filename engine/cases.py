"""Cases and readings given beforehand: what a unit would answer, and what should come of it.

A *case* stands beside its tree and says: with this nameplate and these answers, this is found.
*Readings* are a walk's answers in a file, so that it can be walked without anybody asking.
Answers are texts as they would be typed; nothing here reads them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from engine.problems import Span
from engine.vocabulary import NOWHERE

Words = str | tuple[str, ...]
"""What a nameplate field is answered with: one text, or several for *any of*."""

Answer = str | tuple["Answer", ...] | Mapping[str, str]
"""What a step is answered with: as typed; by name of the reading; or a list, one for each time
that the walk comes by, the last counting for every time after."""


@dataclass(frozen=True, slots=True)
class Expected:
    """What should come of a case; what is empty is not looked at."""

    findings: tuple[str, ...] = ()
    """Findings in the order in which they are made."""
    also: tuple[str, ...] = ()
    end: str = ""
    path: tuple[str, ...] = ()
    """Steps that the walk comes by, in this order; others may lie between."""
    verdicts: Mapping[str, str] = field(default_factory=dict)
    """Step → its verdict when the walk came by it last; for one that uses a procedure what that
    came to."""


@dataclass(frozen=True, slots=True)
class Case:
    """One unit with something wrong, and what the tree should find."""

    name: str
    nameplate: Mapping[str, Words]
    answers: Mapping[str, Answer]
    """Step → answer; for the steps of procedures and lists the last part of the name is enough."""
    expect: Expected
    span: Span = NOWHERE


@dataclass(frozen=True, slots=True)
class Cases:
    """The cases of one tree, with what is answered as usual in all of them put in."""

    tree: str
    cases: Mapping[str, Case]
    beyond: Mapping[str, str] = field(default_factory=dict)
    """Step that is done for safety though no rule asks for it → why it is done all the same."""
    span: Span = NOWHERE


@dataclass(frozen=True, slots=True)
class Readings:
    """The answers of one walk."""

    tree: str
    nameplate: Mapping[str, Words]
    answers: Mapping[str, Answer]
    job: Mapping[str, str] = field(default_factory=dict)
    """What the job's header holds: site, unit, by …"""
    span: Span = NOWHERE


def answer_for(answers: Mapping[str, Answer], step: str, times: int) -> str | Mapping[str, str]:
    """Return the answer to a step met for the ``times``-th time, counting from 0.

    The step's whole name is looked for first, then shorter and shorter ends of it
    (``iso/lock-out``, ``lock-out``). Raises KeyError where there is none.
    """
    for name in names_of(step):
        answer = answers.get(name)
        if answer is not None:
            while isinstance(answer, tuple):
                answer, times = answer[min(times, len(answer) - 1)], 0
            return answer
    raise KeyError(step)


def names_of(step: str) -> Iterator[str]:
    """Yield every name that a step is meant by: its whole name, then shorter and shorter ends."""
    yield step
    at = step.find("/")
    while at >= 0:
        yield step[at + 1 :]
        at = step.find("/", at + 1)


def is_named(step: str, name: str) -> bool:
    """Return whether a step is meant by a name: its whole name, or an end of it."""
    return step == name or step.endswith(f"/{name}")

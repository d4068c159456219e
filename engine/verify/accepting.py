"""What a reviewed tree may leave open: with a reason and a date, and nothing of safety."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engine.codes import problem
from engine.problems import Problem
from engine.tree import WalkTree
from engine.verify.proof import Result, Verdict
from engine.verify.safety import RULES

REVIEWED = "reviewed"
NAME = "what is not proved is accepted"
OF_SAFETY = (
    *RULES,
    "nothing is left on",
    "STOP leads out",
    "live readings warn",
    "one act a step",
    "what is switched on can trip",
)
"""Properties for which there is no reason that is good enough."""


def accepted(walk: WalkTree, results: Sequence[Result]) -> Iterator[Result]:
    """Yield for a reviewed tree whether it says of all that it leaves open why that may stand."""
    if walk.tree.status.word == REVIEWED:
        yield Result(NAME, (*_left_open(walk, results), *_never_accepted(walk, results)))


def _left_open(walk: WalkTree, results: Sequence[Result]) -> Iterator[Problem]:
    for result in results:
        if result.verdict is not Verdict.NOT_PROVED or result.name in walk.tree.status.accepted:
            continue
        sentence = f"It is reviewed, and not proved is: {result.name}. {result.open}"
        fix = "Mend the tree."
        if result.name not in OF_SAFETY:
            said = f"not proved: {{{result.name}: {{why: …, on: a date}}}}"
            fix += f" Or say below reviewed why it may stand: {said}."
        yield problem("not-accepted", walk.tree.span, sentence, fix)


def _never_accepted(walk: WalkTree, results: Sequence[Result]) -> Iterator[Problem]:
    names = [result.name for result in results if result.name not in OF_SAFETY]
    for name, one in walk.tree.status.accepted.items():
        if name in OF_SAFETY:
            sentence = f"{name} is a matter of safety: no reason is good enough to leave it open."
            yield problem("not-accepted", one.span, sentence, "Take it out, and mend the tree.")
        elif name not in names:
            sentence = f"{name} is nothing that is proved of a tree."
            fix = f"What may be left open is: {', '.join(names)}."
            yield problem("not-accepted", one.span, sentence, fix)

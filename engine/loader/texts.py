"""The sentences of a step or finding that people read, each with its place below it."""

from __future__ import annotations

import re
from collections.abc import Iterator

from engine.loader.document import Path
from engine.loader.kinds import judgements_of
from engine.tree import Finding, Outcome, Step, UseHead

BRACES = re.compile(r"\{([^{}]+)\}")
"""A name in a text."""


def texts_of(step: Step) -> Iterator[tuple[Path, str]]:
    """Yield every text of a step, with its path below the step."""
    yield ("title",), step.title
    yield ("why",), step.why
    yield ("do",), step.do
    yield ("photo",), step.photo
    for word, text in step.cautions:
        yield ("caution", word), text
    if step.wait:
        yield ("wait", "why"), step.wait.why
        yield ("wait", "meanwhile"), step.wait.meanwhile
    for below, outcome in outcomes_of(step):
        if outcome.means:
            yield (*below, "means"), outcome.means


def outcomes_of(step: Step) -> Iterator[tuple[Path, Outcome]]:
    """Yield every outcome of a step, with its path below the step."""
    if isinstance(step.head, UseHead):
        for word, outcome in step.head.returns.items():
            yield ("returns", word), outcome
        return
    several = judgements_of(step)
    for at, judgement in enumerate(several):
        below: Path = ("judge in turn", at) if len(several) > 1 else ()
        key = "choices" if judgement.bands is None else "bands"
        for answer, outcome in judgement.answers.items():
            yield (*below, key, answer), outcome


def texts_of_finding(finding: Finding) -> Iterator[tuple[Path, str]]:
    """Yield every text of a finding, with its path below the finding."""
    yield ("title",), finding.title
    yield ("repair",), finding.repair
    yield ("tell customer",), finding.tell_customer
    yield ("left",), finding.left
    for at, part in enumerate(finding.parts):
        yield ("parts", at), part

"""The cases beside a tree, walked: what each was meant to come to, and what it does come to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from engine import collector
from engine.cases import Case, Cases, is_named
from engine.codes import problem
from engine.problems import Problem
from engine.tree import WalkTree

if TYPE_CHECKING:
    from engine.guide.headless import Alike, Walked

NOON = datetime(2026, 1, 1, 12, tzinfo=UTC)
"""When cases are walked; they never depend on it."""


@dataclass(frozen=True, slots=True)
class JudgedCases:
    """What the cases of a tree came to."""

    problems: tuple[Problem, ...]
    by_finding: Mapping[str, tuple[str, ...]]
    """Finding → the cases that come to it; none for one that no case comes to."""
    by_step: Mapping[str, str]
    """Step → the first case that answers it."""


def problems_of(walk: WalkTree, cases: Cases | None) -> tuple[Problem, ...]:
    """Return what is wrong with a tree's cases, and the findings that no case comes to."""
    return judged_cases(walk, cases).problems


def judged_cases(walk: WalkTree, cases: Cases | None) -> JudgedCases:
    """Return what is wrong with a tree's cases, and which of them come to which finding."""
    problems: list[Problem] = []
    by_finding: dict[str, list[str]] = {name: [] for name in walk.tree.findings}
    by_step: dict[str, str] = {}
    with collector.paused():
        for case, walked in _walked(walk, cases):
            for entry in walked.view.entries:
                by_step.setdefault(entry.step, case.name)
            for one in walked.view.state.found:
                by_finding[one.finding].append(case.name)
            problems += differs(walked, case)
    if cases is None and by_finding:
        sentence = "No case comes to any finding: no file of cases can be read beside the tree."
        fix = f"Write {walk.tree.name}.cases.yaml, one case for each finding."
        problems.append(problem("no-case", walk.tree.span, sentence, fix))
        by_finding = {}
    for name, finding in walk.tree.findings.items():
        if name in by_finding and not by_finding[name]:
            sentence = f"No case comes to the finding {name}."
            problems.append(
                problem("no-case", finding.span, sentence, "Add one to the cases file.")
            )
    told = {name: tuple(dict.fromkeys(by_finding.get(name, ()))) for name in walk.tree.findings}
    return JudgedCases(tuple(problems), told, by_step)


def _walked(walk: WalkTree, cases: Cases | None) -> Iterator[tuple[Case, Walked]]:
    """Yield every case with its walk; those that begin alike are walked together."""
    if cases is None:
        return
    # Imported here: where there is no case, nobody walks, and the whole entry line is not needed.
    from engine.guide.headless import Alike

    alike = Alike(walk)
    for case in cases.cases.values():
        yield case, walk_case(walk, case, alike)


def walk_case(walk: WalkTree, case: Case, alike: Alike | None = None) -> Walked:
    """Return the walk that a case's answers lead through; ``alike`` as in `walk_through`."""
    # Imported here, too.
    from engine.guide.headless import walk_through

    return walk_through(walk, case.nameplate, case.answers, start=NOON, alike=alike)


def differs(walked: Walked, case: Case) -> Iterator[Problem]:
    """Yield where a walk stops short of what its case expects, or comes to something else."""
    state = walked.view.state
    if walked.refused:
        sentence = f"The case {case.name} stops: {walked.refused}"
        yield problem("case-stops", case.span, sentence, "Mend the answer, or the tree.")
        return
    if walked.missing:
        sentence = f"The case {case.name} has no answer for {walked.missing}."
        yield problem("case-stops", case.span, sentence, "Give it one.")
        return
    findings = walked.view.walk.tree.findings
    causes = tuple(one.finding for one in state.found if not findings[one.finding].kind)
    also = tuple(one.finding for one in state.found if findings[one.finding].kind)
    for what, wanted, came in (
        ("findings", case.expect.findings, causes),
        ("also", case.expect.also, also),
        ("end", (case.expect.end,) if case.expect.end else (), (state.end,)),
    ):
        if wanted and wanted != came:
            sentence = f"The case {case.name} comes to {what} {_list(came)}, not {_list(wanted)}."
            yield problem("case-differs", case.span, sentence, "One of the two is wrong.")
    if not case.expect.findings and causes:
        sentence = f"The case {case.name} comes to {_list(causes)}, and expects no finding."
        yield problem("case-differs", case.span, sentence, "Say what it should find.")
    yield from _otherwise_judged(walked, case)
    missed = _missed(tuple(one.step for one in state.passed), case.expect.path)
    if missed:
        sentence = f"The case {case.name} does not come by {missed}, or not in that order."
        yield problem("case-differs", case.span, sentence, "Mend its path, or the tree.")


def _otherwise_judged(walked: Walked, case: Case) -> Iterator[Problem]:
    for step, verdict in case.expect.verdicts.items():
        passed = walked.view.state.passed
        # A step of that whole name comes before those that only end in it.
        named = [one for one in passed if one.step == step]
        named = named or [one for one in passed if is_named(one.step, step)]
        # What a procedure came to is kept under the step that uses it.
        came = named[-1].verdict if named else walked.view.state.verdicts.get(step, "")
        if came != verdict:
            sentence = (
                f"The case {case.name} comes to {came or 'nothing'} at {step}, not {verdict}."
            )
            yield problem("case-differs", case.span, sentence, "One of the two is wrong.")


def _list(words: tuple[str, ...]) -> str:
    return ", ".join(words) or "none"


def _missed(steps: tuple[str, ...], path: tuple[str, ...]) -> str:
    """Return the first step of a path that the walk does not come by in its turn."""
    at = 0
    for wanted in path:
        rest = [n for n, step in enumerate(steps) if n >= at and is_named(step, wanted)]
        if not rest:
            return wanted
        at = rest[0] + 1
    return ""

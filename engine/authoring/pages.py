"""The lines that a door shows of a study: what is wrong, what is reached, what is proved."""

from __future__ import annotations

from collections.abc import Iterator

from engine.authoring.study import Study
from engine.problems import Problem, Severity
from engine.verify.proof import Cost, Verdict

MOST_CASES = 3
"""Cases of a finding that are named; more are counted."""


_GRAVEST = tuple(Severity)


def counted(number: int, word: str) -> str:
    """Return ``1 problem`` or ``3 problems``."""
    return f"{number} {word}{'s' * (number != 1)}"


def summary(study: Study) -> str:
    """Return in one line how a file stands."""
    if study.stops:
        return f"{counted(study.stops, 'problem')} to mend before it can be walked"
    if study.to_mend:
        return f"{counted(len(study.to_mend), 'problem')} to mend; it can be walked"
    if study.proof is None:
        return "no problems so far, being proved"
    return "no problems" if study.reached is not None else "no problems so far, cases being walked"


def problems_page(study: Study) -> tuple[str, ...]:
    """Return every problem with its line and column; those that stop the tree first."""
    if not study.problems:
        return ("No problems.",)
    ordered = sorted(study.problems, key=lambda one: (_GRAVEST.index(one.severity), one))
    return tuple(_problem(one, study) for one in ordered)


def _problem(one: Problem, study: Study) -> str:
    own = one.span.path == str(study.path)
    file = "" if own else f"{one.span.path.replace(chr(92), '/').rsplit('/', 1)[-1]} "
    place = f"{file}line {one.span.line}, column {one.span.column}"
    return f"{place}: {one.sentence} {one.fix} ({one.code}, {one.severity})".replace("  ", " ")


def findings_page(study: Study) -> tuple[str, ...]:
    """Return each finding with the cases that come to it."""
    if study.walk is None:
        return ("The tree cannot be walked yet.",)
    if study.reached is None:
        return ("The cases are being walked.",)
    number = len(study.cases.cases) if study.cases else 0
    return (f"{counted(number, 'case')} in all.", *_reached(study))


def _reached(study: Study) -> Iterator[str]:
    for name, cases in (study.reached or {}).items():
        named = ", ".join(f"'{one}'" for one in cases[:MOST_CASES])
        more = f" and {len(cases) - MOST_CASES} more" if len(cases) > MOST_CASES else ""
        yield f"{name}: {named}{more}" if cases else f"{name}: NO CASE comes to it"


def costs_page(study: Study) -> tuple[str, ...]:
    """Return what finding the cause takes, and what is proved, refuted and open."""
    if study.walk is None:
        return ("The tree cannot be proved before its problems are mended.",)
    if study.proof is None:
        return ("It is being proved.",)
    lines = list(_costs(study))
    for verdict in Verdict:
        names = [one.name for one in study.proof.results if one.verdict is verdict]
        if names:
            lines.append(f"{verdict}: {', '.join(names)}")
    lines += [f"{one.name}: {one.open}" for one in study.proof.results if one.open]
    return tuple(lines)


def _costs(study: Study) -> Iterator[str]:
    found = study.proof.costs if study.proof else None
    if found is None:
        yield "What finding the cause takes cannot be said: walks go round, or end on no finding."
        return
    yield f"To the finding, expected: {_cost(found.expected)}."
    yield f"At best {_cost(found.best)}, at worst {_cost(found.worst)}."


def _cost(cost: Cost) -> str:
    return f"{cost.minutes:.0f} min and {counted(round(cost.checks), 'check')}"

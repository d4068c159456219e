"""A walk written out: every step it passed with the window it was judged by."""

from __future__ import annotations

from engine.guide.filling import fill
from engine.guide.headless import Walked
from engine.guide.judged_entry import windows_of
from engine.session.state import Passed
from engine.session.steps import step_named


def as_json(walked: Walked) -> dict[str, object]:
    """Return a walk as ``halfsplit walk --json`` prints it."""
    walk, state = walked.view.walk, walked.view.state
    findings = [one.finding for one in state.found if not _is_side(walked, one.finding)]
    return {
        "tree": walk.tree.name,
        "revision": walk.tree.revision,
        "steps": [_step(walked, one) for one in state.passed],
        "finding": findings[-1] if findings else None,
        "findings": findings,
        "also": [one.finding for one in state.found if _is_side(walked, one.finding)],
        "end": state.end or None,
        "missing": walked.missing or None,
        "refused": walked.refused or None,
    }


def _is_side(walked: Walked, finding: str) -> bool:
    known = walked.view.walk.tree.findings.get(finding)
    return bool(known and known.kind)


def _step(walked: Walked, passed: Passed) -> dict[str, object]:
    return {
        "step": passed.step,
        "title": _title(walked, passed),
        "reading": _reading(passed),
        "window": list(_window(walked, passed)),
        "verdict": passed.verdict or passed.key,
    }


def _window(walked: Walked, passed: Passed) -> tuple[str, ...]:
    """Return the windows of a step as they stand in its entry; of a silent one, as they are now."""
    if passed.n:
        return next(one.window for one in walked.view.entries if one.n == passed.n)
    return windows_of(walked.view.walk, walked.view.state, passed)


def _title(walked: Walked, passed: Passed) -> str:
    step = step_named(walked.view.walk, passed.step)
    return fill(walked.view.walk, walked.view.state, step, step.title)


def _reading(passed: Passed) -> str | None:
    parts = [
        f"{spot or name.replace('_', ' ')} {reading.words() if reading else 'not there'}"
        for name, spot, reading in passed.readings
    ]
    if len(passed.readings) == 1 and passed.readings[0][2]:
        return passed.readings[0][2].words()
    return " · ".join(parts) or None


def as_lines(walked: Walked) -> tuple[str, ...]:
    """Return a walk as ``halfsplit walk --readings`` prints it for a person."""
    walk, state = walked.view.walk, walked.view.state
    lines = [f"{walk.tree.title} (revision {walk.tree.revision})", ""]
    for number, passed in enumerate(state.passed, 1):
        read = _reading(passed)
        verdict = passed.verdict or passed.key
        lines.append(f"{number:3} {_title(walked, passed)}: {read + ': ' if read else ''}{verdict}")
        lines += [f"      {line}" for line in _window(walked, passed)]
    lines.append("")
    for one in state.found:
        finding = walk.tree.findings[one.finding]
        what = "Also" if finding.kind else "Cause found"
        lines.append(f"{what}: {finding.title}")
    lines.append(f"End: {state.end or 'not reached'}")
    if walked.refused:
        lines.append(f"Stopped: {walked.refused}")
    elif walked.missing:
        lines.append(f"No answer was given for {walked.missing}; the walk stops there.")
    return tuple(lines)

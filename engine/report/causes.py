"""What the readings point to, what was done about it, and the code the job is closed with."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from engine.entries import Entry
from engine.report.model import CauseRow
from engine.report.readings import in_words, windows_of
from engine.report.walked import WalkDone
from engine.report.when import by_whom, clock, named
from engine.session.state import Found, Passed
from engine.session.steps import step_named
from engine.tree import REPAIR


def causes(done: WalkDone) -> Iterator[CauseRow]:
    """Yield every cause found on a walk, in the order of finding."""
    for found in done.causes:
        finding = done.finding(found)
        mended = done.mended(found)
        yield CauseRow(
            title=done.text(finding.title),
            evidence=tuple(_evidence(done, found)),
            work=done.text(finding.repair),
            state=_state(done, found, mended),
            parts=tuple(done.text(part) for part in finding.parts) if mended else (),
            mended=mended,
        )


def _state(done: WalkDone, found: Found, mended: bool) -> str:
    repair = next((one for one in reversed(done.live) if one.step == REPAIR + found.finding), None)
    if repair is None or not found.work:
        return "not yet answered"
    said = "reported done" if mended else "told, not ours to mend" if found.work == "done" else ""
    when = by_whom(repair)
    return f"{said} {when}" if said else f"not done on this visit, {when}"


def _evidence(done: WalkDone, found: Found) -> Iterator[str]:
    """Yield what points to a finding: its own step's reading, and each that bears on it."""
    suspect = done.finding(found).suspect
    steps = {one.step for one in done.state.bearings if one.suspect == suspect and not one.cleared}
    for passed in done.state.passed:
        bears = passed.step == found.step or passed.step in steps
        if bears and passed.key != _NOT_TAKEN:
            yield _one(done, passed)


_NOT_TAKEN = "not taken"
"""What a sort goes by where the step it asks about was passed over: that is no evidence."""


def _one(done: WalkDone, passed: Passed) -> str:
    entry = next((one for one in done.entries if one.n == passed.n), None)
    step = step_named(done.walk, passed.step)
    title = entry.title if entry and entry.title else done.text(step.title, step)
    read = _read(passed, entry)
    return f"{title}: {f'{read}, ' if read else ''}{passed.verdict}{_seen(entry)}"


def _seen(entry: Entry | None) -> str:
    """Return the range that a reading fell into, when it was taken, and by whom."""
    if entry is None:
        return ""
    fell = next((one.span for one in windows_of(entry) if one.here), "")
    allowed = f"{fell}; " if fell and entry.said else ""
    return f" ({allowed}{named(clock(entry), entry.by)})"


def _read(passed: Passed, entry: Entry | None) -> str:
    if entry and len(entry.said) == len(passed.readings):
        return in_words(entry.said)
    parts = [
        f"{spot or name.replace('_', ' ')} {one.words()}"
        for name, spot, one in passed.readings
        if one
    ]
    return " · ".join(parts)


def side_findings(done: WalkDone) -> Iterator[str]:
    """Yield what was seen beside the complaint: noted, or mended on the way."""
    for found in done.state.found:
        finding = done.finding(found)
        if finding.kind:
            entry = next((one for one in done.entries if one.n == found.n), None)
            when = f" {by_whom(entry)}" if entry else ""
            left = done.text(finding.left) if finding.left and finding.kind != "mended" else ""
            yield f"{done.text(finding.title)} ({finding.kind}{when}). {left}".strip()


def closing_code(walks: Sequence[WalkDone]) -> str:
    """Return the code a job is closed with: how it ended, and what became of the cause."""
    end = walks[-1].state.end if walks else ""
    found = [done.mended(one) for done in walks for one in done.causes]
    if not found:
        cause = "NO CAUSE FOUND"
    elif all(found):
        cause = "REPAIRED" if end == "in service" else "REPAIRED, NOT PROVED"
    elif any(found):
        cause = "REPAIRED IN PART"
    else:
        cause = "CAUSE FOUND, REPAIR OPEN"
    return f"{(end or 'not ended').upper()} / {cause}"

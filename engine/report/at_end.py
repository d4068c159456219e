"""What the end of a walk shows: of the report, what has to be known before anybody goes home.

The same report that is written and frozen, in the order of the work: cause, evidence, repair,
putting back, readings under load, hazards left, follow-up, the label to post.
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.job.store import Job
from engine.report.making import make_report
from engine.report.model import CauseRow, ReadingRow, Report, Section
from engine.report.walked import WalkDone
from engine.report.when import named

NONE = "None reported."


def end_of(job: Job, done: WalkDone) -> tuple[Section, ...]:
    """Return what one walk of a job came to, the same as its report says of that walk."""
    return tuple(_sections(make_report(job, (done,))))


CAUSE, NO_CAUSE, END, EVIDENCE, REPAIR = "Cause found", "Cause", "End", "Evidence", "Repair"
HAZARDS, LABEL = "Hazards left", "Label to post"
FIRST = (CAUSE, NO_CAUSE, END, HAZARDS, LABEL)
"""What a small screen shows before the rest, the first of them first."""


def _sections(report: Report) -> Iterator[Section]:
    yield from (Section(CAUSE, (one.title,)) for one in report.causes)
    if not report.causes:
        yield Section(NO_CAUSE, ("No cause was found on this walk.",))
    if report.end:
        yield Section(END, (report.end,))
    for cause in report.causes:
        yield from _cause(cause, named=len(report.causes) > 1)
    if report.side_findings:
        yield Section("Also seen", report.side_findings)
    if report.causes:
        yield Section("Put back or tagged", report.put_back or (NONE,))
        yield Section("After the repair", _proof(report))
    yield Section(HAZARDS, report.hazards or (NONE,))
    yield Section("Follow-up", report.follow_up or ("None.",))
    yield Section(LABEL, _label(report))
    yield Section("How it was left", report.left_so)


def _cause(cause: CauseRow, *, named: bool) -> Iterator[Section]:
    of = f", {cause.title[:1].lower()}{cause.title[1:]}" if named else ""
    yield Section(EVIDENCE + of, cause.evidence or (NONE,))
    work = f"{cause.work} ({cause.state})" if cause.work else f"None to do here ({cause.state})."
    yield Section(REPAIR + of, (work, *(f"Part: {part}" for part in cause.parts)))


def _proof(report: Report) -> tuple[str, ...]:
    """Return the readings that prove the repair, each with the range it fell into."""
    if report.after_repair:
        return tuple(_reading(row) for row in report.after_repair)
    mended = any(one.mended for one in report.causes)
    return ("No reading was taken.",) if mended else ("Nothing was repaired on this walk.",)


def _reading(row: ReadingRow) -> str:
    allowed = "".join(f"{one.span}; " for one in row.allowed if one.here)
    remark = f", {row.remark}" if row.remark else ""
    return f"{row.where}: {row.reading}, {row.verdict}{remark} ({allowed}{named(row.time, row.by)})"


def _label(report: Report) -> tuple[str, ...]:
    if report.label is None:
        return ("None: it runs, and nothing that could hurt was reported left.",)
    first, *others = report.label.lines
    return (f"{report.label.signal} {first}", *others)

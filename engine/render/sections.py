"""The record's headings in order, the same for every layout."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from engine.report.model import CauseRow, ReadingRow, Report


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under named columns."""

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Block:
    """A heading with lines or a table below it."""

    heading: str
    content: tuple[str, ...] | Table


def title_of(report: Report) -> str:
    """Return what stands at the top of the customer's page."""
    where = ", ".join(word for word in (report.header.site, report.header.unit) if word)
    draft = " (DRAFT procedure, not reviewed)" if report.draft else ""
    return f"{report.title}{f': {where}' if where else ''}, {report.header.created[:10]}{draft}"


def record_blocks(report: Report) -> Iterator[Block]:
    """Yield the blocks of the second page; one that has nothing to say is left out."""
    yield Block("Job", tuple(_job(report)))
    for heading, lines in (
        ("Supply found", (report.supply,) if report.supply else ()),
        ("Nameplate", tuple(f"{name}: {value}" for name, value in report.nameplate)),
    ):
        if lines:
            yield Block(heading, lines)
    if report.readings:
        yield Block("Readings", _readings(report.readings))
    for cause in report.causes:
        yield Block(f"Cause found: {cause.title}", tuple(_cause(cause)))
    if report.after_repair:
        yield Block("Readings after the repair", _readings(report.after_repair))
    for heading, lines in _lists(report):
        if lines:
            yield Block(heading, lines)
    yield Block("Closing", tuple(_closing(report)))
    yield Block("Limits of this record", report.foot)


def _job(report: Report) -> Iterator[str]:
    header = report.header
    for name, value in (
        ("Job", header.id),
        ("Site", header.site),
        ("Unit", header.unit),
        ("Customer said", header.said),
        ("By", ", ".join(report.people) or header.by),
        ("Firm", header.firm),
        ("Licence", header.licence),
        ("Meter", header.meter),
        ("Time", report.times),
        ("Procedure", report.tree),
    ):
        if value:
            yield f"{name}: {value}"


_COLUMNS = ("Where", "Reading", "Allowed", "Verdict", "Time", "Source", "Times")


def _readings(rows: tuple[ReadingRow, ...]) -> Table:
    return Table(_COLUMNS, tuple(_reading(row) for row in rows))


def _reading(row: ReadingRow) -> tuple[str, ...]:
    verdict = f"{row.verdict} (taken back)" if row.taken_back else row.verdict
    return (
        row.where,
        row.reading,
        row.allowed,
        verdict,
        row.time,
        row.source,
        str(row.times),
    )


def _cause(cause: CauseRow) -> Iterator[str]:
    yield from (f"Evidence: {line}" for line in cause.evidence)
    by = f", {cause.by}" if cause.by else ""
    yield f"Work: {cause.work} ({cause.state}{by})"
    yield from (f"Part: {part}" for part in cause.parts)


def _lists(report: Report) -> Iterator[tuple[str, tuple[str, ...]]]:
    yield "Also seen", report.side_findings
    yield "Hazards seen and left", report.hazards
    yield "Not touched on this visit", report.not_touched
    yield "How it was left, as reported", report.left_so
    yield "Label to post", (report.label,) if report.label else ()
    yield "Follow-up", report.follow_up
    yield "Notes", report.notes
    yield "Photos", report.photos
    yield "Taken back or corrected", report.taken_back
    yield "Addenda", report.addenda
    yield "Problems with this record", report.problems


def _closing(report: Report) -> Iterator[str]:
    yield f"Closing code: {report.closing_code}"
    yield "Technician: ______________________  Date: ____________"
    yield "Customer: ______________________  Date: ____________"

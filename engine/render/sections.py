"""The record's headings in order, the same for every layout.

What a record has to answer always stands there, also where the answer is that there is nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from engine.report.model import CauseRow, Label, ReadingRow, Report, Window

Cell = str | tuple[Window, ...]
"""A text, or the windows of a reading with one of them marked."""
TOGETHER = " · "
"""Between the readings of one row."""
LATER = "†"
"""Marks a reading after which something there was switched on, repaired or moved."""
_LATER = f"{LATER} Something there was switched on, repaired or moved after this was read."
NONE = "None reported."


@dataclass(frozen=True, slots=True)
class Pairs:
    """Names and what stands under each."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under named columns."""

    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class Signatures:
    """Lines to sign on."""

    who: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Block:
    """A heading with something below it."""

    heading: str
    content: tuple[str, ...] | Pairs | Table | Label | Signatures


def record_blocks(report: Report) -> Iterator[Block]:
    """Yield the blocks of the second page in order."""
    yield Block("Job", Pairs(tuple(_job(report))))
    yield Block("Supply found", report.supply or ("Not measured on this visit.",))
    if report.nameplate:
        yield Block("Nameplate and site", Pairs(report.nameplate))
    yield _readings("Readings", report.readings, "No reading was taken.")
    if not report.causes:
        yield Block("Cause", ("Not found on this visit.",))
    for cause in report.causes:
        yield Block(f"Cause, as the readings point: {cause.title}", Pairs(tuple(_cause(cause))))
    yield Block("Also seen", report.side_findings or (NONE,))
    mended = any(cause.mended for cause in report.causes)
    none = "None were taken." if mended else "Nothing was repaired on this visit."
    yield Block("Put back or tagged, as reported", report.put_back or (NONE,))
    yield _readings("Readings after the repair", report.after_repair, none)
    yield from _left(report)
    for heading, lines in (
        ("Notes", report.notes),
        ("Photos", report.photos),
        ("Taken back or corrected", report.taken_back),
        ("Addenda", report.addenda),
        ("Not as it was written", report.problems),
    ):
        if lines:
            yield Block(heading, lines)
    yield Block("Closing code", (report.closing_code,))
    yield Block("Signatures", Signatures(("Technician", "Customer")))
    yield Block("Limits of this record", report.foot)


def _job(report: Report) -> Iterator[tuple[str, str]]:
    header = report.header
    for name, value in (
        ("Job", header.id),
        ("Site", header.site),
        ("Unit", header.unit),
        ("Customer", header.customer),
        ("Customer said", header.said),
        ("Reported by", ", ".join(report.people) or header.by),
        ("Firm", header.firm),
        ("Licence", header.licence),
        ("Meter", ", ".join(report.meters) or header.meter),
        ("Time", report.times),
        ("Procedure", "; ".join(report.trees)),
        ("Record", report.seal),
    ):
        if value:
            yield name, value


_COLUMNS = ("Where", "Reading", "Allowed", "Verdict", "Time, by", "Limits from", "Times")


def _readings(heading: str, rows: tuple[ReadingRow, ...], none: str) -> Block:
    if not rows:
        return Block(heading, (none,))
    note = _LATER if any(row.later for row in rows) else ""
    return Block(heading, Table(_COLUMNS, tuple(_reading(row) for row in rows), note))


def _reading(row: ReadingRow) -> tuple[Cell, ...]:
    verdict = " ".join(
        part for part in (row.verdict, row.remark and f"({row.remark})", LATER * row.later) if part
    )
    when = ", ".join(part for part in (row.time, row.by) if part)
    return (row.where, row.reading, row.allowed, verdict, when, row.source, row.times)


def _cause(cause: CauseRow) -> Iterator[tuple[str, str]]:
    for line in cause.evidence:
        yield "Evidence", line
    yield "Work", " ".join(part for part in (cause.work, f"({cause.state})") if part)
    for part in cause.parts:
        yield "Part", part


def _left(report: Report) -> Iterator[Block]:
    yield Block("Hazards seen and left", report.hazards or (NONE,))
    yield Block("Not touched on this visit, as reported", report.not_touched or ("Nothing.",))
    yield Block("How it was left, as reported", report.left_so or ("Nothing was reported.",))
    yield Block("Label to post", report.label or ("None.",))
    yield Block("Follow-up", report.follow_up or ("None.",))


def plain(text: str) -> str:
    """Return a text on one line, without anything that can't be seen."""
    return "".join(sign if sign.isprintable() else "?" for sign in " ".join(text.split()))

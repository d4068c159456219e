"""From a job's record to its report. A report is a fold over entries, as the walk is.

Window, verdict and source stand in each entry as they were shown, so the table of readings never
changes with a tree; what a finding says comes from the tree's own files kept in the job.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from engine.entries import Entry, EntryKind, Said
from engine.guide.filling import fill
from engine.guide.pages import standing
from engine.job.store import Job
from engine.power import Act
from engine.report.customer import customer_page
from engine.report.model import CauseRow, ReadingRow, Report
from engine.safe_words import DEFERENCE, LIMITS
from engine.session.moving import layout_of
from engine.session.state import Found, State
from engine.session.steps import step_named
from engine.tree import DONE, ActHead, Finding, Spread, WalkTree


@dataclass(frozen=True)
class WalkDone:
    """One walk of a job: the tree as it was, the entries, and what they came to."""

    walk: WalkTree
    entries: tuple[Entry, ...]
    state: State


def make_report(job: Job, done: WalkDone) -> Report:
    """Return the report of a job's walk."""
    walk, state = done.walk, done.state
    live = [one for one in done.entries if one.n not in _replaced(done.entries)]
    causes = tuple(_causes(done, live))
    return Report(
        header=job.header,
        title=walk.tree.title,
        tree=f"{walk.tree.name}, revision {walk.tree.revision}",
        draft=walk.tree.status.word == "draft",
        customer=customer_page(job.header, walk, state, live),
        people=tuple(dict.fromkeys(one.by for one in done.entries if one.by)),
        times=_times(done.entries),
        nameplate=tuple(_nameplate(walk, live)),
        supply=_supply(walk, live),
        readings=tuple(_rows(done.entries)),
        causes=causes,
        side_findings=tuple(_side(walk, state)),
        after_repair=tuple(_rows(_after_repair(walk, live))),
        hazards=tuple(_hazards(walk, state)),
        not_touched=tuple(_not_touched(walk, live)),
        left_so=standing(walk, state),
        label=_label(job, walk, state),
        follow_up=tuple(_follow_up(walk, state)),
        notes=_typed(live, EntryKind.NOTE),
        photos=_typed(live, EntryKind.PHOTO),
        taken_back=tuple(_taken_back(done.entries)),
        addenda=tuple(
            f"{one.time[:16].replace('T', ' ')} {one.by}: {one.typed}"
            for one in job.entries
            if one.kind is EntryKind.ADDENDUM
        ),
        end=state.end,
        closing_code=closing_code(state),
        foot=(DEFERENCE, LIMITS),
        problems=job.unsound,
    )


def _replaced(entries: Sequence[Entry]) -> frozenset[int]:
    return frozenset(one.of for one in entries if one.of)


def _times(entries: Sequence[Entry]) -> str:
    if not entries:
        return ""
    first, last = entries[0].time, entries[-1].time
    until = last[11:16] if last[:10] == first[:10] else last[:16].replace("T", " ")
    return f"{first[:10]}, {first[11:16]} to {until}"


def _typed(entries: Sequence[Entry], kind: EntryKind) -> tuple[str, ...]:
    return tuple(f"{one.time[11:16]} {one.typed}" for one in entries if one.kind is kind)


def _nameplate(walk: WalkTree, live: Sequence[Entry]) -> Iterator[tuple[str, str]]:
    for one in live:
        if one.kind is EntryKind.NAMEPLATE:
            field = walk.fields.get(one.outcome)
            yield (field.ask if field else one.outcome), one.typed


# Readings


def _rows(entries: Sequence[Entry]) -> Iterator[ReadingRow]:
    """Yield a row a reading entry; those taken back stay, marked."""
    replaced = _replaced(entries)
    times: dict[str, int] = {}
    for one in entries:
        if not one.said or one.kind is EntryKind.NAMEPLATE:
            continue
        times[one.step] = times.get(one.step, 0) + 1
        yield ReadingRow(
            where=one.title or one.step,
            reading=_read(one),
            allowed=" · ".join(one.window),
            verdict=one.verdict,
            time=one.time[11:16],
            source=one.source,
            times=times[one.step],
            taken_back=one.n in replaced,
            by=one.by,
        )


def _read(entry: Entry) -> str:
    parts = []
    for said in entry.said:
        reading = said.reading()
        words = reading.words() if reading else said.value
        name = said.spot or (said.name.replace("_", " ") if len(entry.said) > 1 else "")
        parts.append(f"{name} {words}".strip())
    return " · ".join(parts)


def _supply(walk: WalkTree, live: Sequence[Entry]) -> str:
    """Return the last pairs of volts read while they were there to read; empty if none were."""
    for one in reversed(live):
        head = _act(walk, one)
        if head is None or not one.said:
            continue
        pairs = {spec.name for spec in head.readings if spec.spread is Spread.PAIRS}
        said = [part for part in one.said if part.name in pairs and part.kind == "voltage"]
        if said and head.act in (Act.READ_LIVE, Act.VERIFY):
            return f"{' · '.join(_said_words(part) for part in said)} ({one.time[11:16]})"
    return ""


def _said_words(said: Said) -> str:
    reading = said.reading()
    return f"{said.spot} {reading.words() if reading else said.value}"


def _act(walk: WalkTree, entry: Entry) -> ActHead | None:
    try:
        head = step_named(walk, entry.step).head
    except (KeyError, ValueError):
        return None
    return head if isinstance(head, ActHead) else None


def _after_repair(walk: WalkTree, live: Sequence[Entry]) -> list[Entry]:
    """Return the readings taken live since the last repair that was done."""
    repairs = [place for place, one in enumerate(live) if _repaired(one)]
    if not repairs:
        return []
    after = live[repairs[-1] + 1 :]
    heads = [(one, _act(walk, one)) for one in after]
    return [one for one, head in heads if head and head.act in (Act.VERIFY, Act.READ_LIVE)]


def _repaired(entry: Entry) -> bool:
    return entry.kind is EntryKind.REPAIR and entry.outcome == DONE


# Causes, work and what is left


def _causes(done: WalkDone, live: Sequence[Entry]) -> Iterator[CauseRow]:
    for found in done.state.found:
        finding = done.walk.tree.findings[found.finding]
        if finding.kind:
            continue
        repair = next((one for one in live if one.step == f"repair {found.finding}"), None)
        yield CauseRow(
            title=_text(done, finding.title),
            evidence=tuple(_evidence(done, found)),
            work=_text(done, finding.repair),
            state=_work_state(found, repair),
            parts=tuple(_text(done, part) for part in finding.parts) if found.work == DONE else (),
            by=repair.by if repair else "",
        )


def _text(done: WalkDone, text: str) -> str:
    return fill(done.walk, done.state, None, text)


def _work_state(found: Found, repair: Entry | None) -> str:
    if found.work == DONE and repair:
        return f"reported done {repair.time[11:16]}"
    return "not done" if found.work else "not yet answered"


def _evidence(done: WalkDone, found: Found) -> Iterator[str]:
    """Yield what points to a finding: its own step's reading, and each that bears on it."""
    suspect = done.walk.tree.findings[found.finding].suspect
    steps = {one.step for one in done.state.bearings if one.suspect == suspect and not one.cleared}
    for passed in done.state.passed:
        if passed.step == found.step or passed.step in steps:
            title = step_named(done.walk, passed.step).title
            read = " · ".join(one.words() for _, _, one in passed.readings if one)
            yield f"{_text(done, title)}: {f'{read}, ' if read else ''}{passed.verdict}"


def _side(walk: WalkTree, state: State) -> Iterator[str]:
    for found in state.found:
        finding = walk.tree.findings[found.finding]
        if finding.kind:
            yield f"{fill(walk, state, None, finding.title)} ({finding.kind})"


def _open_findings(walk: WalkTree, state: State) -> Iterator[Finding]:
    for found in state.found:
        finding = walk.tree.findings[found.finding]
        if found.work != DONE and finding.kind != "mended":
            yield finding


def _hazards(walk: WalkTree, state: State) -> Iterator[str]:
    if state.stopped:
        yield f"Work was stopped: {state.stopped}."
    for item, zone in sorted(state.power.items):
        yield f"Still on: {item} in {zone}."
    for finding in _open_findings(walk, state):
        if finding.left:
            yield fill(walk, state, None, finding.left)


def _follow_up(walk: WalkTree, state: State) -> Iterator[str]:
    for finding in _open_findings(walk, state):
        if finding.repair:
            who = f" ({finding.who})" if finding.who else ""
            yield f"{fill(walk, state, None, finding.repair)}{who}"
    if state.end != "in service" and not state.found:
        yield "The cause is not found yet; another visit is needed."


def _not_touched(walk: WalkTree, live: Sequence[Entry]) -> Iterator[str]:
    """Yield what this visit did not open, so that nobody answers for another's work there."""
    heads = [head for head in (_act(walk, one) for one in live) if head]
    opened = {head.box for head in heads if head.act is Act.OPEN_UP}
    for box in layout_of(walk).boxes:
        if box.name not in opened:
            yield f"{box.name}: not opened"
    if not any("refrigerant" in head.item or head.item == "gauges" for head in heads):
        yield "refrigerant circuit: not opened, no gauges on"


def _label(job: Job, walk: WalkTree, state: State) -> str:
    if state.end == "in service" and not any(_hazards(walk, state)):
        return ""
    head = "OUT OF SERVICE" if state.end != "in service" else "NOTICE"
    unit = job.header.unit or "this unit"
    left = " ".join(dict.fromkeys(_hazards(walk, state))) or "Cause not found yet."
    who = ", ".join(
        word for word in (job.header.by, job.header.firm, job.header.created[:10]) if word
    )
    keep = " Do not switch on." if state.end != "in service" else ""
    return f"{head}. {unit}.{keep} {left} {who}".strip()


def _taken_back(entries: Sequence[Entry]) -> Iterator[str]:
    """Yield entries taken back; an act among them was reported, then withdrawn."""
    by_n = {one.n: one for one in entries}
    for one in entries:
        was = by_n.get(one.of)
        if was is None:
            continue
        what = was.title or was.outcome or was.step
        how = "read again" if one.outcome == "read again" else "reported, then withdrawn"
        if one.kind is not EntryKind.STRIKE:
            how = f"corrected to {one.typed}"
        yield f"{was.time[11:16]} {what}: {was.typed or was.outcome} ({how} {one.time[11:16]})"


def closing_code(state: State) -> str:
    """Return the code a job is closed with: how it ended, and what became of the cause."""
    causes = [one for one in state.found if one.work]
    if not causes:
        cause = "NO CAUSE FOUND"
    elif all(one.work == DONE for one in causes):
        cause = "REPAIRED"
    else:
        cause = "CAUSE FOUND, REPAIR OPEN"
    return f"{(state.end or 'open').upper()} / {cause}"

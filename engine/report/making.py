"""From a job's record to its report. A report is a fold over entries, as the walk is.

What was read stands in the entries as it was shown; what a finding says comes from the tree's own
files kept in the job. The same job gives the same report, whatever has become of the tree.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import chain

from engine.entries import Entry, EntryKind
from engine.glossary import NO_WORDS, Glossary
from engine.guide.pages import standing
from engine.job.closing import changed_files
from engine.job.store import Job
from engine.report import causes, leaving, readings, survey
from engine.report.customer import customer_page
from engine.report.model import Report
from engine.report.plain_words import PlainWords
from engine.report.walked import WalkDone, walks_of
from engine.report.when import clock, noted
from engine.safe_words import DEFERENCE, LIMITS

_PLACE = 60
"""Letters of site and unit that stand in the title; all of them stand on the second page."""


def report_of(job: Job, glossary: Glossary) -> Report:
    """Return the report of a job, made from its own files; raises JobError as `walks_of`.

    The glossary has the plain words that are put behind words of the trade on the customer's page.
    """
    return make_report(job, walks_of(job), glossary)


def make_report(job: Job, walks: Sequence[WalkDone], glossary: Glossary = NO_WORDS) -> Report:
    """Return the report of a job's walks, in the order of their beginnings; there may be none."""
    last = walks[-1] if walks else None
    entries = [one for done in walks for one in done.entries]
    live = [one for done in walks for one in done.live]
    draft = any(done.walk.tree.status.word == "draft" for done in walks)
    title = _title(job, walks, draft=draft)
    return Report(
        header=job.header,
        title=title,
        trees=_each(f"{one.walk.tree.name}, revision {one.walk.tree.revision}" for one in walks),
        draft=draft,
        customer=customer_page(job.header, walks, title, PlainWords(glossary)),
        people=_each(one.by for one in entries if one.by),
        meters=_each(one.meter for one in live if one.meter),
        times=_times(entries),
        nameplate=tuple(dict(chain.from_iterable(map(survey.nameplate, walks))).items()),
        supply=tuple(chain.from_iterable(map(survey.supply, walks))),
        readings=tuple(chain.from_iterable(map(readings.rows, walks))),
        causes=tuple(chain.from_iterable(map(causes.causes, walks))),
        side_findings=tuple(chain.from_iterable(map(causes.side_findings, walks))),
        put_back=tuple(chain.from_iterable(map(leaving.put_back, walks))),
        after_repair=tuple(chain.from_iterable(map(readings.after_repair, walks))),
        hazards=_each(chain.from_iterable(map(leaving.hazards, walks))),
        not_touched=tuple(leaving.not_touched(walks)),
        left_so=standing(last.walk, last.state) if last else (),
        label=leaving.label(job.header, last) if last else None,
        follow_up=_each(chain.from_iterable(map(leaving.follow_up, walks))),
        notes=_typed(live, EntryKind.NOTE),
        photos=_typed(live, EntryKind.PHOTO),
        taken_back=tuple(chain.from_iterable(map(leaving.taken_back, walks))),
        addenda=addenda(job),
        end=last.state.end if last else "",
        closing_code=causes.closing_code(walks),
        seal=f"{len(job.entries)} entries, the last sealed {job.last_hash[:16]}",
        foot=(DEFERENCE, LIMITS),
        problems=(*job.unsound, *changed_files(job)),
    )


def _title(job: Job, walks: Sequence[WalkDone], *, draft: bool) -> str:
    """Return what stands at the top: the complaint, where, when."""
    what = walks[0].walk.tree.title if walks else "Visit"
    where = ", ".join(word for word in (job.header.site, job.header.unit) if word)
    place = " ".join(where.split())[:_PLACE]
    parts = [what, f": {place}" if place else "", f", {job.header.created[:10]}"]
    return "".join(parts) + (" (DRAFT procedure)" if draft else "")


def _each(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(texts))


def _times(entries: Sequence[Entry]) -> str:
    if not entries:
        return ""
    first, last = entries[0].time, entries[-1].time
    until = last[11:16] if last[:10] == first[:10] else last[:16].replace("T", " ")
    return f"{first[:10]}, {first[11:16]} to {until}"


def _typed(entries: Sequence[Entry], kind: EntryKind) -> tuple[str, ...]:
    """Return notes or photos with time and name; a note that holds a reading is in the table."""
    kept = (one for one in entries if one.kind is kind and not one.said)
    return tuple(f"{noted(clock(one), one.by)}: {one.typed}" for one in kept)


def addenda(job: Job) -> tuple[str, ...]:
    """Return what was added after the closing, with day, time and name."""
    return tuple(
        f"{noted(one.time[:16].replace('T', ' '), one.by)}: {one.typed}"
        for one in job.entries
        if one.kind is EntryKind.ADDENDUM
    )

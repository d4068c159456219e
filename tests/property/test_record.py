"""Laws of the record: what goes in comes out, and no change of a byte goes unseen."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta, timezone
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.entries import Entry, EntryKind, FileSeal, Said
from engine.job.chain import JobError, read_lines, sealed
from engine.job.store import RECORD, Header, Job, create, open_job, read_job
from engine.quantity import UNITS
from engine.reading import Special
from engine.report.readings import said_words

TEXTS = st.text(max_size=30)
OFFSETS = st.integers(-14 * 60, 14 * 60).map(lambda minutes: timezone(timedelta(minutes=minutes)))
TIMES = st.builds(
    lambda moment, offset: moment.replace(tzinfo=offset).isoformat(timespec="seconds"),
    st.datetimes(),
    OFFSETS,
)
NUMBERS = st.fractions(min_value=-(10**6), max_value=10**6, max_denominator=10**9).map(str)
STEPS = st.sampled_from(["0", "1", "1/10", "1/1000"])


@st.composite
def readings(draw: st.DrawFn) -> Said:
    """Return a reading: a number in some unit, or a word in its place."""
    name, spot, typed = draw(TEXTS), draw(TEXTS), draw(TEXTS)
    if draw(st.booleans()):
        word = draw(st.sampled_from([*map(str, Special), "not there"]))
        return Said(name, spot, word, "", typed=typed)
    symbol = draw(st.sampled_from(sorted(UNITS)))
    kind, steps = str(UNITS[symbol].kind), (draw(STEPS), draw(STEPS))
    return Said(name, spot, draw(NUMBERS), kind, *steps, typed, draw(st.sampled_from(["", symbol])))


ENTRIES = st.builds(
    Entry,
    n=st.integers(1, 10**6),
    time=TIMES,
    by=TEXTS,
    kind=st.sampled_from(EntryKind),
    step=TEXTS,
    typed=TEXTS,
    said=st.lists(readings(), max_size=3).map(tuple),
    meter=TEXTS,
    window=st.lists(TEXTS, max_size=3).map(tuple),
    outcome=TEXTS,
    verdict=TEXTS,
    means=TEXTS,
    of=st.integers(0, 10**6),
    title=TEXTS,
    source=TEXTS,
    tree=TEXTS,
    revision=st.integers(0, 99),
    files=st.lists(st.builds(FileSeal, TEXTS, TEXTS), max_size=2).map(tuple),
)


@given(ENTRIES)
@settings(deadline=None)
def test_an_entry_comes_back_as_it_went_in(entry: Entry) -> None:
    assert Entry.from_json(entry.as_json()) == entry
    line, own = sealed("0" * 64, entry.as_json())
    [read] = read_lines(line).whole
    assert (read.sound, read.hash) == (True, own)
    assert Entry.from_json(read.content) == entry


@given(readings())
@settings(deadline=None)
def test_a_reading_that_can_be_read_back_can_be_shown(said: Said) -> None:
    assert said_words(said)


@contextmanager
def job_of(notes: list[str]) -> Iterator[Job]:
    with TemporaryDirectory() as folder:
        job = create(Path(folder), Header("", "2026-03-14T09:00:00-05:00", "Dana", "Elm"))
        for n, text in enumerate(notes, 1):
            job.append(Entry(n, "2026-03-14T09:00:00-05:00", "Dana", EntryKind.NOTE, typed=text))
        yield job


def is_noticed(job: Job, raw: bytes) -> bool:
    """Tell whether other bytes in the place of a record are noticed, one way or the other."""
    (job.folder / RECORD).write_bytes(raw)
    try:
        found = read_job(job.folder)
    except JobError:
        return True
    return bool(found.unsound or found.torn)


NOTES = st.lists(st.text(max_size=12), min_size=2, max_size=5)


@given(NOTES, st.data())
@settings(deadline=None, max_examples=30)
def test_a_changed_byte_is_noticed_wherever_it_is(notes: list[str], data: st.DataObject) -> None:
    with job_of(notes) as job:
        raw = (job.folder / RECORD).read_bytes()
        for _ in range(20):
            at = data.draw(st.integers(0, len(raw) - 1))
            other = raw[at] ^ data.draw(st.integers(1, 255))
            assert is_noticed(job, raw[:at] + bytes([other]) + raw[at + 1 :])


@given(NOTES, st.data())
@settings(deadline=None, max_examples=30)
def test_a_byte_more_or_less_is_noticed(notes: list[str], data: st.DataObject) -> None:
    with job_of(notes) as job:
        raw = (job.folder / RECORD).read_bytes()
        at = data.draw(st.integers(0, len(raw) - 2))
        assert is_noticed(job, raw[:at] + raw[at + 1 :])
        more = data.draw(st.binary(min_size=1, max_size=1))
        assert is_noticed(job, raw[:at] + more + raw[at:])


@given(NOTES, st.data())
@settings(deadline=None, max_examples=30)
def test_a_dropped_doubled_or_exchanged_line_is_noticed(
    notes: list[str], data: st.DataObject
) -> None:
    with job_of(notes) as job:
        lines = (job.folder / RECORD).read_bytes().splitlines(keepends=True)
        # Lines at the very end can be dropped unseen: the report prints the last one's hash.
        at = data.draw(st.integers(0, len(lines) - 2))
        assert is_noticed(job, b"".join(lines[:at] + lines[at + 1 :]))
        assert is_noticed(job, b"".join(lines[: at + 1] + lines[at:]))
        other = (at + data.draw(st.integers(1, len(lines) - 1))) % len(lines)
        lines[at], lines[other] = lines[other], lines[at]
        assert is_noticed(job, b"".join(lines))


@given(NOTES, st.data())
@settings(deadline=None, max_examples=30)
def test_cut_at_any_byte_every_whole_line_is_kept(notes: list[str], data: st.DataObject) -> None:
    with job_of(notes) as job:
        record = job.folder / RECORD
        raw = record.read_bytes()
        ends = [place + 1 for place, byte in enumerate(raw) if byte == 10]
        cut = data.draw(st.integers(ends[0] - 1, len(raw)))
        record.write_bytes(raw[:cut])
        again = open_job(job.folder)
        # A line that lacks nothing but its newline is whole.
        whole = sum(1 for end in ends if end - 1 <= cut) - 1
        assert again.entries == job.entries[:whole]
        assert record.read_bytes() == raw[: ends[whole]]
        kept = ends[whole] - (cut < ends[whole])
        assert bool(again.torn) == (cut > kept and bool(raw[kept:cut].strip()))
        again.append(Entry(whole + 1, job.header.created, "Dana", EntryKind.NOTE, typed="on"))
        assert not read_job(job.folder).unsound


@given(NOTES, st.binary(max_size=60))
@settings(deadline=None, max_examples=30)
def test_anything_behind_the_last_line_costs_nothing_that_was_kept(
    notes: list[str], rest: bytes
) -> None:
    with job_of(notes) as job:
        record = job.folder / RECORD
        raw = record.read_bytes()
        record.write_bytes(raw + rest)
        again = open_job(job.folder)
        assert again.entries == job.entries
        assert record.read_bytes() == raw
        aside = job.folder / "torn.txt"
        assert rest.strip() in (aside.read_bytes() if aside.exists() else b"")


@given(st.binary(max_size=400))
@settings(deadline=None, max_examples=60)
def test_any_bytes_are_a_record_or_a_sentence(raw: bytes) -> None:
    with job_of([]) as job:
        (job.folder / RECORD).write_bytes(raw)
        with pytest.raises(JobError, match=r"\.$"):
            read_job(job.folder)

"""The table of readings: each as it was taken, beside what was allowed as it was shown then.

Window, verdict and source stand in each entry, so that the table never changes with a tree. What
was taken back, read again or put in doubt later stays, and is said to be.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain

from engine.entries import NOT_THERE, Entry, EntryKind, Said
from engine.guide.correcting import READ_AGAIN
from engine.power import Act
from engine.report.model import ReadingRow, Window
from engine.report.walked import WalkDone
from engine.report.when import clock
from engine.tree import DONE

_READ = frozenset({EntryKind.ANSWER, EntryKind.KNOWN, EntryKind.NOTE})

Taken = tuple[Entry, ...]
"""The entries that one reading, or one set of readings, was typed in; the last has the verdict."""


def rows(done: WalkDone) -> tuple[ReadingRow, ...]:
    """Return a row for every reading of a walk, in the order of time."""
    taken = sorted(_taken(done), key=lambda one: one[-1].n)
    often = Counter(one[-1].step for one in taken)
    count: Counter[str] = Counter()
    found = []
    for one in taken:
        step = one[-1].step
        count[step] += 1
        times = f"{count[step]} of {often[step]}" if often[step] > 1 else "1"
        found.append(replace(_row(done, one), times=times))
    return tuple(found)


def after_repair(done: WalkDone) -> tuple[ReadingRow, ...]:
    """Return the readings taken live, and what was verified, since the last repair reported done.

    Where nothing was mended there is nothing that they could prove.
    """
    repairs = [one.n for one in done.live if one.kind is EntryKind.REPAIR and one.outcome == DONE]
    if not repairs:
        return ()
    since = [one for one in done.reported(Act.READ_LIVE, Act.VERIFY) if one.n > repairs[-1]]
    read = {one.n for one in since if one.said}
    taken = [one for one in _taken(done) if one[-1].n in read]
    watched = [_watched(one) for one in since if not one.said]
    made = [(one[-1].n, _row(done, one)) for one in taken]
    both = sorted([*made, *watched], key=lambda one: one[0])
    return tuple(row for _, row in both)


def _watched(entry: Entry) -> tuple[int, ReadingRow]:
    """Return what was verified by watching, as a row."""
    verdict = entry.verdict or entry.outcome
    return entry.n, ReadingRow(
        entry.title, "watched", (), verdict, clock(entry), entry.by, entry.source
    )


def _taken(done: WalkDone) -> Iterator[Taken]:
    """Yield what was read together; a set may have been typed in several lines."""
    open_sets: dict[str, tuple[Entry, ...]] = {}
    for entry in done.entries:
        if not entry.said or entry.kind not in _READ:
            continue
        if entry.kind is not EntryKind.ANSWER or entry.n in done.replaced:
            yield (entry,)
            continue
        typed = (*open_sets.pop(entry.step, ()), entry)
        if entry.verdict:
            yield typed
        else:
            open_sets[entry.step] = typed
    yield from open_sets.values()


def _row(done: WalkDone, taken: Taken) -> ReadingRow:
    entry = taken[-1]
    said = tuple(chain.from_iterable(one.said for one in taken))
    return ReadingRow(
        where=entry.title or entry.step,
        reading=in_words(said),
        allowed=windows_of(entry),
        verdict=entry.verdict,
        time=clock(entry),
        by=entry.by,
        source=entry.source,
        remark=_remark(done, entry),
        later=any(took.stale for took in done.state.taken.values() if took.n == entry.n),
    )


def _remark(done: WalkDone, entry: Entry) -> str:
    if entry.n in done.replaced:
        by = next(one for one in done.entries if one.of == entry.n)
        return READ_AGAIN if by.outcome == READ_AGAIN else "taken back"
    if entry.n in done.state.astray:
        return "not on the way any more"
    if entry.kind is EntryKind.KNOWN:
        return "measured before it was asked for"
    if entry.kind is EntryKind.NOTE:
        return "does not count: something was moved since"
    return ""


def windows_of(entry: Entry) -> tuple[Window, ...]:
    """Return the windows as they were shown, that of the verdict marked."""
    parts = [line.partition(": ") for line in entry.window]
    return tuple(
        Window(span, verdict, here=bool(entry.verdict) and verdict == entry.verdict)
        for span, _, verdict in parts
    )


def in_words(said: Sequence[Said]) -> str:
    """Return readings in words: ``L1-L2 208 V · L2-L3 209 V``, or ``7.4 uF``."""
    parts = []
    for one in said:
        name = one.spot or (one.name.replace("_", " ") if len(said) > 1 else "")
        parts.append(f"{name} {said_words(one)}".strip())
    return " · ".join(parts)


def said_words(said: Said) -> str:
    """Return one reading in words: ``208 V``, ``OL``, ``not there``."""
    reading = said.reading()
    return reading.words() if reading else NOT_THERE

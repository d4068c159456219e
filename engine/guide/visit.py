"""One visit at a door: an open job, the tree being walked, and the entry line's memory.

A `Visit` is the only thing here that changes: it writes each entry down before it shows what the
entry came to. What it shows is the fold of the record as it stands on the disk; an entry is folded
onto what those before it came to, which is the same as folding them all again, at any length.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from pathlib import Path

from engine.entries import Entry, EntryKind
from engine.glossary import NO_WORDS, Glossary
from engine.guide import correcting, pages
from engine.guide.echo import echo, judged_now
from engine.guide.gauge import Gauge, fallen
from engine.guide.judged_entry import judged
from engine.guide.line import read_line
from engine.guide.prompt import Now, Prompt, prompt
from engine.guide.talk import QUIET, Reply, Talk, View
from engine.guide.typed import typed
from engine.job.finding import nameplate_of
from engine.job.kept import passages
from engine.job.store import Job
from engine.session.folding import AWAY_AFTER, History, history
from engine.session.state import State
from engine.tree import WalkTree

Clock = Callable[[], datetime]


@dataclass(frozen=True)
class Shown:
    """What a door shows after a line: the reply's words, and what the entry came to."""

    lines: tuple[str, ...] = ()
    refused: tuple[str, ...] = ()
    leave: bool = False
    sun: bool = False
    look: bool = False
    """A verdict or an order to stop, to be looked at before the next thing to do is shown."""
    stopped: bool = False
    """The order to stop is what the first line says."""
    gauge: Gauge | None = None
    """Where the reading fell, if it was a number judged by bands."""


@dataclass(frozen=True)
class Beside:
    """What a wide door shows beside the step: the suspects in words, and the trail."""

    possible: tuple[str, ...] = ()
    trail: tuple[pages.TrailRow, ...] = ()


@dataclass
class Visit:
    """A walk in progress at a door."""

    job: Job
    walk: WalkTree
    clock: Clock
    by: str
    meter: str = ""
    last: Job | None = None
    """The unit's last visit: its nameplate is offered, its readings are shown beside."""
    away_after: timedelta = AWAY_AFTER
    """A gap longer than this is written down as having left; never longer than `AWAY_AFTER`, which
    every record is folded with, so that it comes to the same wherever it is read."""
    glossary: Glossary = NO_WORDS
    talk: Talk = QUIET
    _history: History = field(init=False)
    _offered: Mapping[str, Entry] = field(init=False)

    def __post_init__(self) -> None:
        self._offered = nameplate_of(self.last) if self.last else {}
        self._history = history(self.walk, walk_entries(self.job, self.walk))

    @property
    def state(self) -> State:
        """Where the walk stands."""
        return self._history.state

    @property
    def view(self) -> View:
        """The walk as the guide sees it."""
        entries = tuple(self.job.entries)
        return View(self.walk, self.state, entries, self.by, self.meter, self.glossary)

    def begin(self) -> tuple[str, ...]:
        """Write down that a walk begins, or that it is gone on with; return what to show."""
        mine = walk_entries(self.job, self.walk)
        if not mine:
            self._write(EntryKind.WALK, title=self.walk.tree.title, outcome=self.walk.digest)
            return ()
        return self._come_back() if self.state.step else ()

    def _come_back(self) -> tuple[str, ...]:
        """Write down that the work is gone on with; return how it was left."""
        view = self.view
        last = view.mine[-1]
        if last.kind is EntryKind.LEAVE:
            # Leaving has wiped what was proven; how it was left is what stood before.
            view = replace(view, state=self._history.before(last.n))
        left = pages.coming_back(view)
        self._write(EntryKind.RESUME)
        return left

    def _write(self, kind: EntryKind, **fields: object) -> None:
        self._append(self.view.draft(kind, self.clock(), **fields))

    def _append(self, entry: Entry) -> None:
        """Write an entry down with what it comes to; only then does the walk move on."""
        begins = entry.kind is EntryKind.WALK
        after = history(self.walk, ()) if begins else self._history.fork()
        after.take(entry)
        self.job.append(judged(self.walk, entry, after.state))
        self._history = after

    def prompt(self) -> Prompt:
        """Return what is wanted now, with the unit's last visit beside it."""
        shown = prompt(self.walk, self.state, self.clock())
        if shown.now is Now.NAMEPLATE and shown.field:
            offered = self._offered.get(shown.field.name)
            if offered:
                return replace(shown, enter=f"take {_as_typed(offered)} (last visit)")
        before = self.last_time(shown.step)
        return replace(shown, before=before) if before else shown

    def last_time(self, step: str) -> str:
        """Return what the unit's last visit read at a step: ``46.1 uF, 2025-03-14``."""
        if self.last is None:
            return ""
        struck = {one.of for one in self.last.entries if one.of}
        for entry in reversed(self.last.entries):
            if entry.step == step and entry.said and entry.n not in struck:
                return f"Last time {_read(entry)}, {entry.time[:10]}"
        return ""

    @property
    def asks(self) -> str:
        """What stands before the entry line's ``>``."""
        return self._asks or self.prompt().wanted

    _asks: str = ""

    def enter(self, text: str) -> Shown:
        """Take a typed line: write down what it came to, then fold; return what to show.

        Raises JobError only where the disk can't be written: then nothing was taken.
        """
        back = self._back_after_a_while(text)
        if back:
            return back
        if not text.strip() and not self.talk.mode:
            text = self._offered_now() or text
        reply = typed(self.view, self.talk, text, self.clock())
        before = self.state
        self._keep(reply)
        self.talk, self._asks = reply.talk, reply.asks
        if not reply.entries:
            return Shown(reply.lines, reply.refused, reply.leave, reply.sun)
        after = self.state
        lines = (*reply.lines, *echo(self.walk, before, after))
        judged = judged_now(before, after)
        stopped = bool(after.stopped) and after.stopped != before.stopped
        return Shown(
            lines,
            leave=reply.leave,
            look=judged is not None or stopped,
            stopped=stopped,
            gauge=fallen(self.walk, after, judged) if judged else None,
        )

    def drop_question(self) -> None:
        """Forget what the entry line asked besides the step: the door has taken it over."""
        self.talk, self._asks = QUIET, ""

    def _back_after_a_while(self, text: str) -> Shown | None:
        """Count a long gap as having left the work, before the line is taken.

        Where something else comes first now, an answer typed for the step before is not taken.
        """
        mine = walk_entries(self.job, self.walk)
        if not mine or not self.state.step:
            return None
        gap = min(self.away_after, AWAY_AFTER)
        if self.clock() - mine[-1].at() <= gap:
            return None
        before = self.prompt()
        left = self._come_back()
        now = self.prompt()
        if read_line(text).action or (before.step, before.field) == (now.step, now.field):
            return None
        self.talk, self._asks = QUIET, ""
        minutes = gap.total_seconds() / 60
        typed_line = f"Not taken: {text.strip()}. " if text.strip() else ""
        why = f"More than {minutes:.0f} minutes have passed, which counts as having left the work."
        return Shown((typed_line + why, *left))

    def beside(self) -> Beside:
        """Return what is still possible and what was entered, newest first."""
        mine = replace(self.view, entries=walk_entries(self.job, self.walk))
        rows = pages.trail_rows(mine, correcting.correctable(mine))
        return Beside(pages.possible(mine, self.prompt()), rows)

    def _offered_now(self) -> str:
        needs = self.state.needs
        offered = self._offered.get(needs) if needs else None
        return _as_typed(offered) if offered else ""

    def _keep(self, reply: Reply) -> None:
        for entry in reply.entries:
            if reply.photo:
                kept = self.job.keep_photo(Path(reply.photo).expanduser(), entry.n)
                self._append(replace(entry, typed=kept.name, files=(kept,)))
            else:
                self._append(entry)


def _as_typed(entry: Entry) -> str:
    """Return a nameplate answer as it can be typed again, a number with the unit it was in."""
    return _read(entry) if len(entry.said) == 1 else entry.typed


def _read(entry: Entry) -> str:
    """Return what was read, each value with its unit."""
    readings = ((one, one.reading()) for one in entry.said)
    return " ".join(reading.words() if reading else one.value for one, reading in readings)


def walk_entries(job: Job, walk: WalkTree) -> tuple[Entry, ...]:
    """Return the entries of the job's latest walk in this tree, from its beginning on."""
    mine = [one.entries for one in passages(job) if one.tree == walk.tree.name]
    return mine[-1] if mine else ()

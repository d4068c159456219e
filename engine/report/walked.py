"""The walks of a job as a report sees them: the tree as it was kept, the entries, where it led."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from engine.entries import Entry, EntryKind
from engine.guide.filling import fill
from engine.job.chain import JobError
from engine.job.kept import kept_tree, passages
from engine.job.store import Job
from engine.power import Act
from engine.session.folding import fold
from engine.session.state import Found, State
from engine.session.steps import step_named
from engine.tree import DONE, ActHead, Finding, Step, WalkTree

REPORTED = frozenset({EntryKind.ANSWER, EntryKind.REPAIR})
"""Kinds of entry that report something done or read."""


@dataclass(frozen=True)
class WalkDone:
    """One walk of a job: the tree as it was, the entries, and what they came to."""

    walk: WalkTree
    entries: tuple[Entry, ...]
    state: State

    @cached_property
    def replaced(self) -> frozenset[int]:
        """Numbers of the entries that were taken back or corrected."""
        return frozenset(one.of for one in self.entries if one.of)

    @cached_property
    def live(self) -> tuple[Entry, ...]:
        """The entries that count: not taken back, and still on the way."""
        gone = self.replaced | set(self.state.astray)
        return tuple(one for one in self.entries if one.n not in gone)

    @property
    def stopped(self) -> str:
        """Why the work was stopped, also where that was said after the walk's end; or empty."""
        said = [one.outcome for one in self.live if one.kind is EntryKind.STOP]
        return self.state.stopped or (said[-1] if said else "")

    def step(self, entry: Entry) -> Step | None:
        """Return the step an entry is about; None where it is about none."""
        try:
            return step_named(self.walk, entry.step)
        except (KeyError, ValueError):
            return None

    def head(self, entry: Entry) -> ActHead | None:
        """Return what was done in an entry; None where it reports no act."""
        step = self.step(entry)
        return step.head if step and isinstance(step.head, ActHead) else None

    def reported(self, *acts: Act) -> tuple[Entry, ...]:
        """Return the entries that count in which one of these acts was reported."""
        done = ((one, self.head(one)) for one in self.live if one.kind in REPORTED)
        return tuple(one for one, head in done if head and head.act in acts)

    def text(self, text: str, step: Step | None = None) -> str:
        """Return a text of the tree with this unit's values."""
        return fill(self.walk, self.state, step, text)

    def finding(self, found: Found) -> Finding:
        """Return the tree's finding of what was found."""
        return self.walk.tree.findings[found.finding]

    @property
    def causes(self) -> tuple[Found, ...]:
        """What was found as a cause, in order; side findings are none."""
        return tuple(one for one in self.state.found if not self.finding(one).kind)

    def mended(self, found: Found) -> bool:
        """Return whether a finding was reported mended on this visit.

        Where the work is only to talk (agree who switches on), the unit back in service tells.
        """
        finding = self.finding(found)
        if finding.kind == "mended":
            return True
        in_service = self.state.end == "in service"
        return found.work == DONE and (finding.act is not Act.ASK or in_service)


def walks_of(job: Job) -> tuple[WalkDone, ...]:
    """Return every walk of a job, folded over the tree that the job has kept.

    Raises JobError where a kept tree can't be read, and where entries do not fit it any more.
    """
    walks = []
    for passage in passages(job):
        walk = kept_tree(job, passage)
        try:
            state = fold(walk, passage.entries)
        except (LookupError, ValueError, TypeError, ArithmeticError) as error:
            # Only a record that was changed gets here: what was written did fit when it was.
            raise JobError(
                f"The entries of {passage.tree} do not fit the tree kept with them; "
                f"halfsplit jobs verify {job.folder.name} says more."
            ) from error
        walks.append(WalkDone(walk, passage.entries, state))
    return tuple(walks)

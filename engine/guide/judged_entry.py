"""What is written down with an entry: how it was judged, and by which windows."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from engine.entries import Entry, EntryKind
from engine.reading import Reading
from engine.session.judging import windows
from engine.session.known import given_values, lookup
from engine.session.state import Passed, State
from engine.session.steps import step_named
from engine.tree import Step, WalkTree

TOO_CLOSE = "too close to call"
"""The verdict of a reading that has to be taken once more."""


def judged(walk: WalkTree, entry: Entry, after: State) -> Entry:
    """Return an entry with its outcome as it was judged, so that no report depends on the tree.

    What an entry of another kind than an answer says itself is left as it is.
    """
    if entry.kind not in (EntryKind.ANSWER, EntryKind.REPAIR):
        return entry
    step = step_named(walk, entry.step)
    passed = next((one for one in reversed(after.passed) if one.n == entry.n), None)
    if passed is not None:
        entry = replace(entry, outcome=passed.key, verdict=passed.verdict, means=passed.means)
    elif after.close and entry.said:
        entry = replace(entry, verdict=TOO_CLOSE)
    if not entry.said:
        return entry
    read = (
        passed.readings if passed else [(one.name, one.spot, one.reading()) for one in entry.said]
    )
    return replace(entry, window=_windows(walk, after, step, read))


def windows_of(walk: WalkTree, state: State, passed: Passed) -> tuple[str, ...]:
    """Return the windows that a step just passed was judged by, one line a band."""
    return _windows(walk, state, step_named(walk, passed.step), passed.readings)


def _windows(
    walk: WalkTree, state: State, step: Step, read: Iterable[tuple[str, str, Reading | None]]
) -> tuple[str, ...]:
    given = given_values({(name, spot): reading for name, spot, reading in read})
    return windows(step, given, lookup(walk, state, even_stale=True), walk.degrees)

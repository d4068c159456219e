"""Entries in, state out: the fold of a walk's record, with what was taken back and corrected.

History never improves safety. When an entry is taken back or corrected, the walk is folded again
without it, and the power state is the worse, variable by variable, of what that gives and what it
was before. Leaving, coming back, a long gap and another user count as having left the work.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import timedelta

from engine import power
from engine.entries import Entry, EntryKind
from engine.power import Proof
from engine.session.advancing import advance, away, begin
from engine.session.concluding import THEIR_LOCK
from engine.session.moving import stand_again, stop
from engine.session.state import ReadingKey, State, Took
from engine.session.steps import layout_of
from engine.tree import WalkTree

AWAY_AFTER = timedelta(minutes=30)
"""A gap longer than this counts as having left the work (judgement; a setting)."""


def fold(
    walk: WalkTree,
    entries: Iterable[Entry],
    *,
    away_after: timedelta = AWAY_AFTER,
    resets: Mapping[str, int] | None = None,
) -> State:
    """Return the state that the entries come to."""
    return history(walk, entries, away_after=away_after, resets=resets).state


def history(
    walk: WalkTree,
    entries: Iterable[Entry],
    *,
    away_after: timedelta = AWAY_AFTER,
    resets: Mapping[str, int] | None = None,
) -> History:
    """Return the states that the entries come to, one after another."""
    made = History(walk, [begin(walk, resets)], away_after=away_after)
    for entry in entries:
        made.take(entry)
    return made


def was_away(last: Entry, entry: Entry, away_after: timedelta) -> bool:
    """Return whether the work counts as left between two entries."""
    return last.by != entry.by or entry.at() - last.at() > away_after


Place = tuple[Entry, ...]
"""The entry that holds a place of the walk, last, and before it those that it corrects; empty
where the work was left."""


def in_force(entries: Iterable[Entry]) -> list[Entry]:
    """Return the entries that hold a place of the walk, in the order of the places.

    Not those taken back or corrected; a correction stands in the place of what it corrects.
    """
    places: list[Place] = []
    for entry in entries:
        if not _takes_a_place(entry):
            places.append((entry,))
        elif (at := _place_of(places, entry.of)) is not None:
            places[at] = _held_by(places[at], entry)
    return [place[-1] for place in places if place]


def _takes_a_place(entry: Entry) -> bool:
    """Return whether an entry is about one before it."""
    return entry.kind is EntryKind.STRIKE or bool(entry.of)


def _place_of(places: Sequence[Place], n: int) -> int | None:
    return next((at for at, place in enumerate(places) if place and place[-1].n == n), None)


def _held_by(place: Place, entry: Entry) -> Place:
    """Return a place after a correction; after a strike what was corrected holds it again."""
    return place[:-1] if entry.kind is EntryKind.STRIKE else (*place, entry)


@dataclass
class History:
    """A walk's states while its entries are folded in."""

    walk: WalkTree
    states: list[State]
    """The state before each place of the walk, and after the last."""
    places: list[Place] = field(default_factory=list)
    away_after: timedelta = AWAY_AFTER
    last: Entry | None = None
    """The entry folded in last."""

    def fork(self) -> History:
        """Return a history of its own that goes on from here."""
        return replace(self, states=list(self.states), places=list(self.places))

    @property
    def state(self) -> State:
        """The state now."""
        return self.states[-1]

    def before(self, n: int) -> State:
        """Return the state in which an entry was answered; raises KeyError if it holds no place."""
        at = _place_of(self.places, n)
        if at is None:
            raise KeyError(n)
        return self.states[at]

    def take(self, entry: Entry) -> None:
        """Fold one entry in; before it, that the work was left, if it was."""
        if self.last is not None and was_away(self.last, entry, self.away_after):
            self._place(())
        self.last = entry
        if not _takes_a_place(entry):
            self._place((entry,))
        elif (at := _place_of(self.places, entry.of)) is not None:
            self._replace(at, _held_by(self.places[at], entry))

    def _place(self, place: Place) -> None:
        state = advance(self.walk, self.state, place[-1]) if place else away(self.walk, self.state)
        self.places.append(place)
        self.states.append(state)

    def _replace(self, at: int, place: Place) -> None:
        """Fold again from a place on, with what holds it now; never safer than it was before."""
        before = self.state
        again = [place] if place else []
        again += self.places[at + 1 :]
        del self.places[at:], self.states[at + 1 :]
        for one in again:
            self._place(one)
        self.states[-1] = _joined(self.walk, self.state, before)


def _joined(walk: WalkTree, now: State, before: State) -> State:
    """Return the state as folded again, with the worse of both in everything that is safety."""
    layout = layout_of(walk)
    worse = power.worse(layout, now.power, before.power)
    proved = {
        zone: at
        for zone, at in now.proved.items()
        if worse.proof[layout.zone_at[zone]] is Proof.DEAD
    }
    joined = now._replace(power=worse, proved=proved, taken=_no_fresher(now.taken, before.taken))
    reason = worse.stop
    if reason not in ("", THEIR_LOCK, now.power.stop):
        return stop(walk, joined, reason)
    return stand_again(walk, joined)


def _no_fresher(
    now: Mapping[ReadingKey, Took], before: Mapping[ReadingKey, Took]
) -> dict[ReadingKey, Took]:
    """Return the readings, stale where they were before."""

    def was_stale(key: ReadingKey, took: Took) -> bool:
        other = before.get(key)
        return other is not None and other.n == took.n and other.stale

    return {
        key: replace(took, stale=took.stale or was_stale(key, took)) for key, took in now.items()
    }

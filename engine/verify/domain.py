"""Sets of power states, all slices at once, each set known by a number.

A walk's possible states at a place are one *holding*: for every slice a set of its states, kept as
the bits of a whole number. Everything that can happen to a holding is worked out once and looked up
from then on, so the cost of a search is that of its ways, and the power model is asked only for
what is new.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from typing import NamedTuple

from engine import power
from engine.power import Deed, State
from engine.verify.numbered import Numbered
from engine.verify.slices import Slice, Stands

Holding = int
"""The number of a tuple with a set of states for every slice."""


class Happening(NamedTuple):
    """What a way does to the power model."""

    deed: Deed | None
    counts_as: str
    finds: bool
    """A finding names the cause."""


class Refused(NamedTuple):
    """What stands against a deed in some states of a slice."""

    slice: int
    stands: Stands


class States:
    """The states of one slice that were met, and what is known of them, all by number."""

    def __init__(self, learned: Learned, one: Slice) -> None:
        self.slice = one
        self._states: Numbered[State] = Numbered()
        self._deeds = learned.deeds
        self._happenings = learned.happenings
        self._against: dict[tuple[int, int], tuple[Stands, ...]] = {}
        self._after: dict[tuple[int, int], int] = {}
        self._kept: dict[tuple[int, int], tuple[int, tuple[Stands, ...]]] = {}
        self._moved: dict[tuple[int, int], int] = {}

    def arrival(self) -> int:
        """Return the state of the slice on arrival."""
        return self._states.number(self.slice.of(power.begin(self.slice.layout)))

    def against(self, state: int, deed: int) -> tuple[Stands, ...]:
        """Return what stands against a deed in a state."""
        known = self._against.get((state, deed))
        if known is None:
            known = self.slice.against(self._states[state], self._deeds[deed])
            self._against[state, deed] = known
        return known

    def after(self, state: int, happening: int) -> int:
        """Return the state after something has happened."""
        known = self._after.get((state, happening))
        if known is None:
            now, what = self._states[state], self._happenings[happening]
            if what.deed:
                now = self.slice.after(now, what.deed, what.counts_as)
            if what.finds:
                now = self.slice.cause_found(now)
            known = self._after[state, happening] = self._states.number(now)
        return known

    def looked_at_in(self, mask: int, deed: int, stands: Stands) -> Iterator[Slice]:
        """Yield slices that between them hold each of some states in which something stands.

        Finer ones where they do, this one besides where they do not.
        """
        missed = [
            self._states[state] for state in bits(mask) if stands in self.against(state, deed)
        ]
        for one in self.slice.finer:
            left = [
                state
                for state in missed
                if stands not in one.against(one.of(state), self._deeds[deed])
            ]
            if len(left) < len(missed):
                yield one
            missed = left
        if missed:
            yield self.slice

    def kept(self, mask: int, deed: int) -> tuple[int, tuple[Stands, ...]]:
        """Return the states of a set in which a deed is permitted, and what stands elsewhere."""
        known = self._kept.get((mask, deed))
        if known is None:
            kept, stands = 0, dict[Stands, None]()
            for state in bits(mask):
                against = self.against(state, deed)
                stands |= dict.fromkeys(against)
                kept |= 0 if against else 1 << state
            known = self._kept[mask, deed] = kept, tuple(stands)
        return known

    def moved(self, mask: int, happening: int) -> int:
        """Return the states that the states of a set become."""
        known = self._moved.get((mask, happening))
        if known is None:
            known = 0
            for state in bits(mask):
                known |= 1 << self.after(state, happening)
            self._moved[mask, happening] = known
        return known


def bits(mask: int) -> list[int]:
    """Return the numbers of a set that is kept as bits."""
    found = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return found


class Learned:
    """What was learned of the power model; trees that are nearly the same may share it."""

    def __init__(self) -> None:
        self.deeds: Numbered[Deed] = Numbered()
        self.happenings: Numbered[Happening] = Numbered()
        self._domains: dict[tuple[Slice, ...], Domain] = {}
        self.cleared: set[tuple[str, Hashable]] = set()
        """What a slice, by name, found against a step of some tree, and no walk of it met."""

    def domain(self, *slices: Slice) -> Domain:
        """Return what can be held by some slices at once, with all that is known of it by now."""
        if slices not in self._domains:
            self._domains[slices] = Domain(self, slices)
        return self._domains[slices]


class Domain:
    """What can be held of the power model by several slices at once."""

    def __init__(self, learned: Learned, slices: tuple[Slice, ...]) -> None:
        self.of = [States(learned, one) for one in slices]
        self._holdings: Numbered[tuple[int, ...]] = Numbered()
        self._permitted: dict[tuple[Holding, int], tuple[Holding, tuple[Refused, ...]]] = {}
        self._after: dict[tuple[Holding, int], Holding] = {}
        self._joined: dict[tuple[Holding, Holding], Holding] = {}
        self.nothing = self._holdings.number((0,) * len(slices))
        self.start = self._holdings.number(tuple(1 << of.arrival() for of in self.of))

    def mask(self, holding: Holding, at: int) -> int:
        """Return the states of one slice that are held."""
        return self._holdings[holding][at]

    def joined(self, one: Holding, other: Holding) -> Holding:
        """Return what is held where two walks come together."""
        if one == other:
            return one
        known = self._joined.get((one, other))
        if known is None:
            pairs = zip(self._holdings[one], self._holdings[other], strict=True)
            known = self._holdings.number(tuple(a | b for a, b in pairs))
            self._joined[one, other] = known
        return known

    def permitted(self, holding: Holding, deed: int) -> tuple[Holding, tuple[Refused, ...]]:
        """Return what is left of a holding where a deed is permitted, and what stood against it."""
        known = self._permitted.get((holding, deed))
        if known is None:
            masks: list[int] = []
            refused: list[Refused] = []
            pairs = zip(self.of, self._holdings[holding], strict=True)
            for at, (of, mask) in enumerate(pairs):
                kept, stands = of.kept(mask, deed)
                masks.append(kept)
                refused += [Refused(at, one) for one in stands]
            known = self._holdings.number(tuple(masks)), tuple(refused)
            self._permitted[holding, deed] = known
        return known

    def after(self, holding: Holding, happening: int) -> Holding:
        """Return what is held after something has happened."""
        known = self._after.get((holding, happening))
        if known is None:
            pairs = zip(self.of, self._holdings[holding], strict=True)
            known = self._holdings.number(tuple(of.moved(mask, happening) for of, mask in pairs))
            self._after[holding, happening] = known
        return known

"""What each row knows: the state that rows share, with the readings of each in their places.

Owns `Knowing` and `Asked`. A session's state holds the readings of one of its rows; here every
other row finds its own under the same names.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from engine.formula import Formula, Value
from engine.reading import Reading
from engine.session.judging import Known, Names, Spot, names_of, value_of
from engine.session.known import Keyed, given_values, lookup
from engine.session.state import ReadingKey, State
from engine.tree import ActHead, Step, WalkTree
from engine.trial.displays import Displays

Place = tuple[str, str]
"""Reading and spot, as a session gathers them."""


class Asked(NamedTuple):
    """A step that is read, in the state that its rows share."""

    state: State
    step: Step
    wanted: Keyed = ()
    there: Mapping[Place, bool] = {}
    """Whether the unit has the points of a place."""

    def has(self, spot: Spot) -> bool:
        """Return whether a spot is there to be read."""
        return self.there[spot.reading, spot.label]

    @property
    def may_read(self) -> frozenset[str]:
        """The names of everything that the step reads on one unit or another."""
        head = self.step.head
        return (
            frozenset(spec.name for spec in head.readings)
            if isinstance(head, ActHead)
            else frozenset()
        )

    @property
    def own(self) -> frozenset[str]:
        """The names of the step's own readings."""
        return frozenset(spot.reading for spot, _ in self.wanted)


class Knowing:
    """What rows of one trial know."""

    def __init__(self, walk: WalkTree, displays: Displays) -> None:
        self._walk = walk
        self.displays = displays

    def of(self, state: State, row: int) -> Known:
        """Return what one row knows: what is shared, and its own readings."""
        shared = lookup(self._walk, state)

        def known(name: str) -> Value | None:
            name = self.full(name)
            value = shared(name)
            if value is None or name in state.numbers:
                return value
            if name in state.worked:
                return self._worked(state, name, row, value)
            keys = state.named.get(name)
            if keys is None:
                return value
            own = tuple(value_of(self.displays.reading(key, row)) for key in keys)
            return own if isinstance(value, tuple) else own[0]

        return known

    def full(self, name: str) -> str:
        """Return the whole name that a formula's name stands for."""
        return self._walk.gives.get(name, name)

    def given(self, asked: Asked, row: int) -> dict[str, Value]:
        """Return the readings of one row by name, as a session gathers them."""
        readings: dict[Place, Reading | None] = {
            (spot.reading, spot.label): self.displays.reading(key, row) if asked.has(spot) else None
            for spot, key in asked.wanted
        }
        return given_values(readings)

    def names(self, asked: Asked, row: int) -> Names:
        """Return the names that a step's formulas see with one row's readings."""
        return names_of(asked.step, self.given(asked, row), self.of(asked.state, row))

    def shared_names(self, asked: Asked, row: int) -> Names:
        """Return the names that hang on no reading of the step."""
        return names_of(asked.step, {}, self.of(asked.state, row))

    def keys(self, asked: Asked, name: str) -> tuple[ReadingKey, ...]:
        """Return the places of a reading: of this step, or of one before; none for another name."""
        if name in asked.own:
            return tuple(k for spot, k in asked.wanted if spot.reading == name and asked.has(spot))
        full = self.full(name)
        return () if full in asked.state.worked else asked.state.named.get(full, ())

    # --- which names differ from row to row -------------------------------------------------------

    def differs(self, state: State, step: str, name: str) -> bool:
        """Return whether what a formula of a step calls so differs from row to row."""
        full = self.full(name)
        if full in state.named or f"{step}.{name}" in state.named:
            return True
        head = self._walk.steps[step].head if step in self._walk.steps else None
        if isinstance(head, ActHead):
            if name in {spec.name for spec in head.readings}:
                return True
            if own := dict(head.work_out).get(name):
                return self.rests_on_readings(state, step, own)
        if full not in state.worked:
            return False
        other, made = self._made(full)
        return made is not None and self.rests_on_readings(state, other, made)

    def rests_on_readings(self, state: State, step: str, formula: Formula) -> bool:
        """Return whether a formula of a step gives something else for another row."""
        return any(self.differs(state, step, name) for name in formula.names())

    def _made(self, full: str) -> tuple[str, Formula | None]:
        """Return the step that works a name out, and how."""
        step, _, short = full.rpartition(".")
        head = self._walk.steps[step].head
        assert isinstance(head, ActHead)
        return step, dict(head.work_out).get(short)

    def _worked(self, state: State, name: str, row: int, value: Value) -> Value:
        """Return what a step worked out with the readings of one row."""
        step, made = self._made(name)
        if made is None or not self.rests_on_readings(state, step, made):
            return value
        own: dict[str, Value] = {}
        for key, found in state.named.items():
            if key.startswith(f"{step}."):
                read = tuple(value_of(self.displays.reading(one, row)) for one in found)
                own[key.removeprefix(f"{step}.")] = read if len(read) > 1 else read[0]
        names = names_of(self._walk.steps[step], own, self.of(state, row))
        return names.own.get(name.rpartition(".")[2], value)

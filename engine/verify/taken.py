"""Readings that more than one step takes: which step took one last, and what puts it in doubt.

A reading is the same where function, places, when and leads off are the same. It is then used and
not asked again, until something is energised, or repaired or moved where it was read.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from engine.power import REPORTS, Act, Deed
from engine.reading import Function
from engine.tree import ActHead, Spread, Step, WalkTree
from engine.verify.cases import Case, Variable

READ = "read"
"""What the variables of readings begin with; each is the step that took the reading last."""
NEVER = ""
"""The value of a reading that was never taken, or no longer counts."""
MOVES = frozenset({Act.REPAIR, Act.HANDS_ON, Act.PUT_ON, Act.TAKE_OFF})
"""Acts after which what was read in their zone no longer counts."""
EVERYWHERE = "everywhere"
"""The zone of what puts every reading in doubt."""
_USED = (Act.READ_LIVE, Act.READ_DEAD)
"""Acts that are passed over when their readings are known."""


class Same(NamedTuple):
    """What makes two readings the same reading."""

    function: Function
    spread: Spread
    points: tuple[str, ...]
    when: str
    leads_off: tuple[str, ...]


def readings_of(step: Step) -> tuple[Same, ...]:
    """Return the readings that a step takes."""
    head = step.head
    if not isinstance(head, ActHead):
        return ()
    return tuple(
        Same(spec.function, spec.spread, spec.points, spec.when, head.leads_off)
        for spec in head.readings
    )


def doubts(deed: Deed | None, counts_as: str) -> frozenset[str]:
    """Return the zones in which something that was done puts readings in doubt."""
    if deed is None:
        return frozenset()
    if deed.act is Act.SWITCH_ON or counts_as in REPORTS:
        return frozenset({EVERYWHERE})
    return frozenset({deed.zone}) if deed.act in MOVES else frozenset()


class Taken:
    """The readings of one tree that more than one step takes."""

    def __init__(self, walk: WalkTree) -> None:
        takers: defaultdict[Same, dict[str, None]] = defaultdict(dict)
        for step in walk.steps.values():
            for one in readings_of(step):
                takers[one][step.name] = None
        several = [one for one, steps in takers.items() if len(steps) > 1]
        self._variables: dict[Same, Variable] = {
            one: (READ, str(number)) for number, one in enumerate(several)
        }
        self._takers = {one: frozenset(takers[one]) for one in several}
        self._own: defaultdict[str, dict[Variable, str]] = defaultdict(dict)
        """By step, what is remembered of its own readings."""
        for one, variable in self._variables.items():
            for name in takers[one]:
                self._own[name][variable] = name
        self._zones = {one: frozenset(_zones(walk, one.points)) for one in several}
        self._doubted: dict[frozenset[str], dict[Variable, str]] = {}
        """By zones, what is forgotten of readings once something puts those in doubt."""

    def known(self, step: Step) -> Case | None:
        """Return the case in which a step finds all its readings known; None for never."""
        head = step.head
        if not isinstance(head, ActHead) or head.act not in _USED or step.wait or step.again:
            return None
        readings = readings_of(step)
        if not readings or not all(one in self._variables for one in readings):
            return None
        needs = {self._variables[one]: self._takers[one] - {step.name} for one in readings}
        return tuple(sorted(needs.items()))

    def after(
        self, step: Step, deed: Deed | None, counts_as: str
    ) -> tuple[tuple[Variable, str], ...]:
        """Return what is remembered of readings once a step was answered."""
        if not self._variables:
            return ()
        doubted = self._in_doubt(doubts(deed, counts_as))
        own = self._own.get(step.name)
        return tuple((doubted | own if own else doubted).items())

    def _in_doubt(self, zones: frozenset[str]) -> dict[Variable, str]:
        if zones not in self._doubted:
            self._doubted[zones] = {
                variable: NEVER
                for one, variable in self._variables.items()
                if EVERYWHERE in zones or not zones.isdisjoint(self._zones[one])
            }
        return self._doubted[zones]


def _zones(walk: WalkTree, names: Iterable[str]) -> Iterator[str]:
    """Yield the zones of points, and of every point of a set of points."""
    for name in names:
        sets = walk.vocabulary.sets.get(name)
        for one in [name] if sets is None else [p for by in sets.values() for p in by]:
            if one in walk.vocabulary.points:
                yield walk.vocabulary.points[one].zone

"""What parts two causes in a trial: the circuit, or only what the unit's file says can be seen.

Owns `crossings` and `Parting`. A fault's file may state signs, and a tree that went by them alone
would be right about every fault and prove nothing. So each two faults whose walks part where
somebody looks are crossed: the circuit of the one is walked with the signs of the other. Where the
walk still finds what the signs say, the circuit had no word in it.

What is seen may still be enough. It is not where a reading that is taken dead tells the two apart
and something is mended: no part is condemned by its looks while an ohmmeter would know. A reading
that must be taken live is spared where the damage can be seen, and so is one on a device that is
only handed on to whom it belongs.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import permutations

from engine.power import Act
from engine.tree import ActHead, Step, WalkTree
from engine.trial.result import Alone
from engine.trial.walked import Passing, Walked, causes_of
from engine.unit.faults import Fault, Row
from engine.unit.unit import Unit

DEAD = frozenset({Act.READ_DEAD, Act.CHECK, Act.INSULATION_TEST})
"""Acts whose readings are taken on a dead circuit."""
_TOLD = frozenset({Act.ASK, Act.LOOK})
"""Acts of a repair that mends nothing: it is told to those whose device it is."""


Crossed = Mapping[tuple[str, str], Walked]
"""(fault, other) → the walk with the circuit of ``other`` and the signs of ``fault``."""


@dataclass(frozen=True, slots=True)
class Parting:
    """What parts the faults of a trial."""

    seen: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Fault → those that only its signs tell it from; absent for none."""
    alone: tuple[Alone, ...] = ()


BY_CIRCUIT = Parting()
"""Every fault is told from every other by what the circuit does."""


def measured(step: Step) -> bool:
    """Return whether something is read off a meter at a step."""
    return isinstance(step.head, ActHead) and bool(step.head.readings)


def crossings(walk: WalkTree, unit: Unit, own: Mapping[str, Walked]) -> dict[tuple[str, str], Row]:
    """Return the rows to be walked besides, by fault and other; ``own`` are the nominal walks.

    Only of faults with different causes, whose walks part where nothing is measured.
    """
    return {
        (name, other): Row((_with_signs(unit.faults[other], unit.faults[name]),))
        for name, other in permutations(own, 2)
        if _first_cause(walk, own[name]) != _first_cause(walk, own[other])
        and not _parted_by_reading(walk, own[name], own[other])
    }


def parting(walk: WalkTree, own: Mapping[str, Walked], crossed: Crossed) -> Parting:
    """Return what parts the faults, from their own walks and the crossed ones."""
    seen: dict[str, tuple[str, ...]] = {}
    alone: list[Alone] = []
    for (name, other), row in crossed.items():
        found = _first_cause(walk, own[name])
        if not found or _first_cause(walk, row) != found:
            continue
        seen[name] = (*seen.get(name, ()), other)
        step = _told_dead(walk, own[other], crossed.get((other, name)))
        if step and row.path == own[name].path and _is_mended(walk, own[name]):
            alone.append(Alone(name, other, step))
    return Parting(seen, tuple(alone))


def nominal(walked: Iterable[Walked]) -> dict[str, Walked]:
    """Return each fault's walk on the nominal unit."""
    return {one.faults[0]: one for one in walked if len(one.faults) == 1 and not one.variation}


def _with_signs(fault: Fault, of: Fault) -> Fault:
    return replace(fault, signs=of.signs, reads=of.reads)


def _first_cause(walk: WalkTree, row: Walked) -> str:
    """Return the suspect that a walk found first; empty for none."""
    return next((one.suspect for one in causes_of(walk, row)), "")


def _is_mended(walk: WalkTree, row: Walked) -> bool:
    """Return whether what a walk found first is mended there, not told to somebody else."""
    return next(one.act not in _TOLD for one in causes_of(walk, row))


def _parted_by_reading(walk: WalkTree, one: Walked, other: Walked) -> bool:
    """Return whether the first step that two walks answered otherwise is measured."""
    for mine, theirs in zip(one.path, other.path, strict=False):
        if mine != theirs:
            return mine.step == theirs.step and measured(walk.steps[mine.step])
    return False


def _told_dead(walk: WalkTree, own: Walked, crossed: Walked | None) -> str:
    """Return a step of a walk whose dead reading is another with the circuit of the other fault."""
    if crossed is None:
        return ""
    before = _readings(walk, own.path)
    for step, key in _readings(walk, crossed.path).items():
        if step in before and before[step] != key:
            return step
    return ""


def _readings(walk: WalkTree, path: Sequence[Passing]) -> dict[str, str]:
    """Return the dead readings of a walk, each step's first."""
    found: dict[str, str] = {}
    for one in path:
        head = walk.steps[one.step].head
        if isinstance(head, ActHead) and head.act in DEAD and head.readings:
            found.setdefault(one.step, one.key)
    return found

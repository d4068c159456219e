"""What a walk knows of what was answered: needs held against what was said before."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from engine.verify.cases import ANYHOW, NOT_TAKEN, SAID, Case, Variable
from engine.verify.taken import NEVER, READ
from engine.verify.ways import SLOT, Way

_AT_FIRST: Mapping[str, str] = MappingProxyType({SLOT[0]: "", SAID: NOT_TAKEN, READ: NEVER})
"""What a variable is before anything was said of it; a nameplate may be anything."""


def is_weaker(one: Case, other: Case) -> bool:
    """Return whether a need is met wherever another is met."""
    known = dict(other)
    return all(variable in known and known[variable] <= words for variable, words in one)


def met_at_first(needs: Case) -> bool:
    """Return whether a need is met before anything was said."""
    return all(_AT_FIRST.get(variable[0]) in (None, *words) for variable, words in needs)


def remembered(known: Case, needs: Case, at_first: Mapping[str, str] = _AT_FIRST) -> Case | None:
    """Return what is known once a need is met; None where it cannot be."""
    if not needs:
        return known
    now = dict(known)
    for variable, words in needs:
        first = at_first.get(variable[0])
        was = now.get(variable, words if first is None else frozenset({first}))
        if not was & words:
            return None
        now[variable] = was & words
    return tuple(sorted(now.items(), key=lambda literal: literal[0]))


def with_said(known: Case, says: Iterable[tuple[Variable, str]]) -> Case:
    """Return what is known after something was said."""
    said = {variable: frozenset({word}) for variable, word in says}
    return tuple(sorted((dict(known) | said).items(), key=lambda one: one[0])) if said else known


class Stretch(NamedTuple):
    """A way, and the variables of which nobody knows any more behind it what they are."""

    way: Way
    forgets: frozenset[Variable] = frozenset()


def conflicts(ways: Iterable[Way]) -> frozenset[Variable]:
    """Return the variables of which ways gone one after another need that they are two things."""
    return _conflicts((Stretch(way) for way in ways), _AT_FIRST)


def circle_conflicts(circle: Sequence[Stretch]) -> frozenset[Variable]:
    """Return the variables of which a circle that is gone twice needs that they are two things."""
    return _conflicts((*circle, *circle), {})


def _conflicts(stretches: Iterable[Stretch], at_first: Mapping[str, str]) -> frozenset[Variable]:
    found: set[Variable] = set()
    known: Case = ANYHOW
    for way, forgets in stretches:
        for literal in way.when:
            now = remembered(known, (literal,), at_first)
            if now is None:
                found.add(literal[0])
            else:
                known = now
        kept = tuple(one for one in known if one[0] not in forgets)
        known = with_said(kept, way.keeps)
    return frozenset(found)


def known_after(known: Case, stretch: Stretch, asked_for: frozenset[Variable]) -> Case | None:
    """Return what is known of some variables after a way; None where it is not open."""
    needs = tuple(literal for literal in stretch.way.when if literal[0] in asked_for)
    now = remembered(known, needs, {})
    if now is None:
        return None
    kept = tuple(one for one in now if one[0] not in stretch.forgets)
    return with_said(kept, [one for one in stretch.way.keeps if one[0] in asked_for])

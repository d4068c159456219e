"""Which readings still count, and since when a zone is reported dead."""

from __future__ import annotations

from dataclasses import replace

from engine import power
from engine.layouts import Layout
from engine.power import OUTCOMES, Act, Deed, Proof
from engine.session.state import ReadingKey, State
from engine.tree import WalkTree

_MOVES = frozenset({Act.REPAIR, Act.HANDS_ON, Act.PUT_ON, Act.TAKE_OFF})
"""Acts after which what was read in their zone no longer counts."""
HOLDS = OUTCOMES[Act.SWITCH_ON][0]


def make_stale(
    walk: WalkTree, layout: Layout, state: State, before: power.State, deed: Deed
) -> State:
    """Return the state with the readings marked that a deed has put in doubt.

    Those in a zone that was energised by it, if only until something tripped, and those in the
    zone it repaired or moved a conductor in. They stay in the record.
    """
    reached = state.power
    if deed.act is Act.SWITCH_ON:
        reached = power.apply(layout, before, deed, HOLDS)
    if reached.position == before.position and deed.act not in _MOVES:
        return state
    zones = {
        zone.name
        for zone in layout.zones
        if power.is_on(layout, reached, zone.name) and not power.is_on(layout, before, zone.name)
    }
    if deed.act in _MOVES and deed.zone:
        zones.add(deed.zone)
    if not zones:
        return state
    taken = {
        key: replace(took, stale=True) if _zones(walk, key) & zones else took
        for key, took in state.taken.items()
    }
    return state._replace(taken=taken)


def _zones(walk: WalkTree, key: ReadingKey) -> set[str]:
    points = (walk.vocabulary.points.get(name) for name in (key.a, key.b))
    return {point.zone for point in points if point and point.zone}


def keep_time(layout: Layout, state: State, before: power.State, time: str) -> State:
    """Return the state with the time at which a zone's proof was reported, while it stands."""
    if state.power.proof == before.proof:
        return state
    proved = dict(state.proved)
    for zone in layout.zones:
        at = layout.zone_at[zone.name]
        if state.power.proof[at] is not Proof.DEAD:
            proved.pop(zone.name, None)
        elif before.proof[at] is not Proof.DEAD:
            proved[zone.name] = time
    return state._replace(proved=proved) if proved != state.proved else state

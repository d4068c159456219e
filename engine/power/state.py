"""The facts of a walk as reported, and what follows from them.

`State` is one small immutable tuple, so that a search over states is cheap. Whether a zone is on
or held off is never stored: it is worked out from the positions of the devices.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import IntEnum, StrEnum
from types import MappingProxyType
from typing import NamedTuple, TypeVar

from engine.layouts import Layout, ZoneKind
from engine.power.acts import STOPS

T = TypeVar("T")


class Position(IntEnum):
    """How a device stands."""

    DAMAGED = 0
    """Found burnt, loose or with a blade that did not open: it isolates nothing."""
    IN_DOUBT = 1
    """Told to be under somebody's lock, and told not to be."""
    CLOSED = 2
    OPEN = 3
    TAGGED = 4
    """Out of service under a tag, no lock of mine."""
    LOCKED = 5
    """Under my lock."""
    THEIRS = 6
    """Under somebody else's lock or tag."""
    BOTH = 7


class Proof(IntEnum):
    """What was shown of a zone, worst first; a control zone knows only none and low."""

    NONE = 0
    TRIED = 1
    """Starting was tried and nothing started."""
    DEAD = 2
    """The three readings were reported."""
    LOW = 3
    """A control circuit read under 50 V."""


class Insulation(IntEnum):
    """What is known of a zone to ground and phase to phase, worst first."""

    FAULT = 0
    MENDED = 1
    """A fault was found and mended, and not yet checked again."""
    UNKNOWN = 2
    CLEAR = 3


class Cover(IntEnum):
    """How a box stands, worst first."""

    OPEN = 0
    BARRIER_SEEN = 1
    """Open, with the barrier in front of what is behind it seen in place."""
    SHUT = 2


class State(NamedTuple):
    """Everything the model remembers; tuples go by position in the layout."""

    position: tuple[Position, ...]
    trips: tuple[int, ...]
    """By device: trips since one was mended or proved under load; 2 stands for more."""
    proof: tuple[Proof, ...]
    charged: tuple[bool, ...]
    insulation: tuple[Insulation, ...]
    verified: tuple[bool, ...]
    cover: tuple[Cover, ...]
    items: frozenset[tuple[str, str]]
    """Kind of item and the zone it is on."""
    looked_over: bool = False
    clear: bool = True
    """People and tools are clear, covers where they belong."""
    told: bool = False
    cause_found: bool = False
    stop: str = ""
    """One of `STOPS`; empty for none."""


def changed(values: tuple[T, ...], at: int, value: T) -> tuple[T, ...]:
    """Return the tuple with one value replaced."""
    return (*values[:at], value, *values[at + 1 :])


def unverified(state: State) -> State:
    """Return the state with no zone verified under load."""
    return state._replace(verified=(False,) * len(state.verified))


MINE = frozenset({Position.LOCKED, Position.BOTH})
THEIR_LOCK = frozenset({Position.THEIRS, Position.BOTH})
CONDUCTS = frozenset({Position.DAMAGED, Position.IN_DOUBT, Position.CLOSED})
LEFT_CUT = frozenset({Position.TAGGED, Position.THEIRS})
"""Positions that keep a unit cut off after I have gone."""


def live_zones(layout: Layout, state: State) -> int:
    """Return the zones that a source reaches, as bits by position."""
    position = state.position
    return layout.reached(lambda at: position[at] in CONDUCTS)


def loose_zones(layout: Layout, state: State) -> int:
    """Return the zones that a source can reach with every device closed but those I locked."""
    position = state.position
    return layout.reached(lambda at: position[at] not in MINE)


def is_on(layout: Layout, state: State, zone: str) -> bool:
    """Return whether a source reaches the zone through devices that are, or may be, closed."""
    return bool(live_zones(layout, state) >> layout.zone_at[zone] & 1)


def held_off(layout: Layout, state: State, zone: str) -> bool:
    """Return whether my own locks alone keep every source from the zone."""
    return not loose_zones(layout, state) >> layout.zone_at[zone] & 1


def left_cut(layout: Layout, state: State, zone: str) -> bool:
    """Return whether tags and other people's locks alone keep every source from the zone."""
    position = state.position
    reached = layout.reached(lambda at: position[at] not in LEFT_CUT)
    return not reached >> layout.zone_at[zone] & 1


def open_and_live(layout: Layout, state: State) -> tuple[str, ...]:
    """Return the boxes that stand open on something of 50 V or more that is not reported dead."""
    shown = (
        (box.name, zone)
        for box, cover in zip(layout.boxes, state.cover, strict=True)
        if cover is not Cover.SHUT
        for zone in (*box.exposes, *(box.behind if cover is Cover.OPEN else ()))
    )
    found = (
        box
        for box, zone in shown
        if layout.zone(zone).kind is not ZoneKind.CONTROL
        and state.proof[layout.zone_at[zone]] is not Proof.DEAD
    )
    return tuple(dict.fromkeys(found))


def faulted(layout: Layout, state: State) -> tuple[str, ...]:
    """Return the zones in which a fault was found and no clear check was made since."""
    pairs = zip(layout.zones, state.insulation, strict=True)
    return tuple(zone.name for zone, known in pairs if known <= Insulation.MENDED)


def settled(layout: Layout, state: State) -> State:
    """Return the state with what its positions make untrue taken back.

    A power zone that is not held off has no proof; what stores energy is charged while it is on.
    """
    loose, live = loose_zones(layout, state), live_zones(layout, state)
    proof, charged = list(state.proof), list(state.charged)
    for at, zone in enumerate(layout.zones):
        if loose >> at & 1 and zone.kind is not ZoneKind.CONTROL:
            proof[at] = Proof.NONE
        if live >> at & 1 and zone.stores:
            charged[at] = True
    return state._replace(proof=tuple(proof), charged=tuple(charged))


_BELOW: Mapping[Position, Position] = MappingProxyType(
    {
        Position.IN_DOUBT: Position.DAMAGED,
        Position.CLOSED: Position.IN_DOUBT,
        Position.OPEN: Position.CLOSED,
        Position.TAGGED: Position.OPEN,
        Position.LOCKED: Position.OPEN,
        Position.THEIRS: Position.IN_DOUBT,
        Position.BOTH: Position.THEIRS,
    }
)
"""What remains of a position when it is no longer sure: a tree, because my lock, a tag and
somebody else's lock promise different things, and none may stand in for another."""


def worse_position(one: Position, other: Position) -> Position:
    """Return the best position that promises nothing which either of two does not."""
    held = [one]
    while held[-1] in _BELOW:
        held.append(_BELOW[held[-1]])
    while other not in held:
        other = _BELOW[other]
    return other


def worse_stop(one: str, other: str) -> str:
    """Return the graver of two reasons to stop."""
    return min(one, other, key=lambda stop: STOPS.index(stop) if stop else len(STOPS))


def worse(layout: Layout, one: State, other: State) -> State:
    """Return, for each variable, the worse of two states: all that history may ever do.

    After an entry was struck this joins the state as if it had never been with the state before
    striking, so that no correction makes anything safer than it was. Where the two do not agree
    on how a device stands, nothing counts as verified under load.
    """
    agreed = one.position == other.position
    joined = State(
        position=tuple(map(worse_position, one.position, other.position)),
        trips=tuple(map(max, one.trips, other.trips)),
        proof=tuple(map(min, one.proof, other.proof)),
        charged=tuple(a or b for a, b in zip(one.charged, other.charged, strict=True)),
        insulation=tuple(map(min, one.insulation, other.insulation)),
        verified=tuple(
            agreed and a and b for a, b in zip(one.verified, other.verified, strict=True)
        ),
        cover=tuple(map(min, one.cover, other.cover)),
        items=one.items | other.items,
        looked_over=one.looked_over and other.looked_over,
        clear=one.clear and other.clear,
        told=one.told and other.told,
        cause_found=one.cause_found and other.cause_found,
        stop=worse_stop(one.stop, other.stop),
    )
    return settled(layout, joined)


class ZoneWord(StrEnum):
    """A zone in one line: what was reported, never a promise."""

    UNKNOWN = "UNKNOWN"
    LIVE = "LIVE?"
    OFF = "OFF, NOT LOCKED"
    LOCKED = "LOCKED"
    REPORTED_DEAD = "REPORTED DEAD"
    REPORTED_LOW = "REPORTED UNDER 50 V"


def zone_words(layout: Layout, state: State, zone: str) -> ZoneWord:
    """Return the word for a zone; UNKNOWN reads as live.

    A zone is REPORTED DEAD only when its stored charge was reported gone, too.
    """
    at = layout.zone_at[zone]
    if state.stop == "unknown source":
        return ZoneWord.UNKNOWN
    if not loose_zones(layout, state) >> at & 1:
        shown = state.proof[at] is Proof.DEAD and not state.charged[at]
        return ZoneWord.REPORTED_DEAD if shown else ZoneWord.LOCKED
    if not live_zones(layout, state) >> at & 1:
        return ZoneWord.OFF
    if state.proof[at] is Proof.LOW:
        return ZoneWord.REPORTED_LOW
    sure = layout.reached(lambda device: state.position[device] is Position.CLOSED)
    return ZoneWord.LIVE if sure >> at & 1 else ZoneWord.UNKNOWN

"""What was seen or told: devices that tripped, other people's locks, damage, things left on.

A report is not an act: nobody here moved anything. `REPORTED` is the table; a reason to stop
is kept by `engine.power.effects` for every word of `STOPS`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from engine.layouts import DEVICE_TYPES, Layout
from engine.power.acts import Deed
from engine.power.state import Insulation, Position, State, changed, unverified

_P = Position
_OPENS = {_P.CLOSED: _P.OPEN, _P.IN_DOUBT: _P.OPEN}
_CLOSES = {_P.OPEN: _P.CLOSED, _P.IN_DOUBT: _P.CLOSED}
_FREED = {_P.THEIRS: _P.OPEN, _P.BOTH: _P.LOCKED, _P.IN_DOUBT: _P.CLOSED}
_FOUND_CLOSED = {
    _P.OPEN: _P.CLOSED, _P.TAGGED: _P.CLOSED, _P.IN_DOUBT: _P.CLOSED,
    _P.THEIRS: _P.IN_DOUBT, _P.LOCKED: _P.DAMAGED, _P.BOTH: _P.DAMAGED,
}  # fmt: skip
"""A lock that did not hold its device open isolates nothing."""
_THEIR_LOCK = {
    _P.CLOSED: _P.THEIRS, _P.OPEN: _P.THEIRS, _P.TAGGED: _P.THEIRS, _P.IN_DOUBT: _P.THEIRS,
    _P.LOCKED: _P.BOTH,
}  # fmt: skip


def place(layout: Layout, state: State, device: str, to: Mapping[Position, Position]) -> State:
    """Return the state with a device moved as the map says; a position not in it stays."""
    at = layout.device_at[device]
    now = state.position[at]
    return state._replace(position=changed(state.position, at, to.get(now, now)))


def trip(layout: Layout, state: State, deed: Deed) -> State:
    """Return the state after a device opened by itself: one trip more, and old checks are stale."""
    for device in _tripped_devices(layout, deed):
        at = layout.device_at[device]
        already = state.position[at] not in (Position.CLOSED, Position.IN_DOUBT)
        trips = max(1, state.trips[at]) if already else min(2, state.trips[at] + 1)
        state = _stale(layout, state._replace(trips=changed(state.trips, at, trips)), at)
        if DEVICE_TYPES[layout.devices[at].type].protects:
            state = place(layout, state, device, _OPENS)
    return state


def _tripped_devices(layout: Layout, deed: Deed) -> list[str]:
    """Return what tripped: as told, else the nearest that protects what was switched.

    Where nothing of the layout does, the trip counts for the device itself, which stays closed.
    """
    if deed.on in layout.device_at:
        return [deed.on]
    if not deed.device:
        return []
    nearest, tried = [], [layout.device(deed.device)]
    for device in tried:
        if DEVICE_TYPES[device.type].protects:
            nearest.append(device.name)
        else:
            tried += [one for one in layout.devices if one.load == device.line]
    return nearest or [deed.device]


def _stale(layout: Layout, state: State, device: int) -> State:
    fed = layout.feeds[device]
    insulation = tuple(
        Insulation.UNKNOWN if at in fed and now is Insulation.CLEAR else now
        for at, now in enumerate(state.insulation)
    )
    return unverified(state._replace(insulation=insulation, cause_found=False))


Report = Callable[[Layout, State, Deed], State]


def _stands(to: Mapping[Position, Position]) -> Report:
    def report(layout: Layout, state: State, deed: Deed) -> State:
        device = deed.on or deed.device
        return place(layout, state, device, to) if device in layout.device_at else state

    return report


def _tripped_and_reset(layout: Layout, state: State, deed: Deed) -> State:
    return _stands(_CLOSES)(layout, trip(layout, state, deed), deed)


def _found_jumper(layout: Layout, state: State, deed: Deed) -> State:
    item = (deed.item or "jumper", deed.zone or layout.unit)
    return unverified(state._replace(items=state.items | {item}))


def _their_lock_gone(layout: Layout, state: State, deed: Deed) -> State:
    state = _stands(_FREED)(layout, state, deed)
    return state._replace(stop="") if state.stop == "their lock" else state


REPORTED: Mapping[str, Report] = MappingProxyType(
    {
        "tripped": trip,
        "found tripped": trip,
        "tripped and reset": _tripped_and_reset,
        "found tripped but on now": _tripped_and_reset,
        "found open": _stands(_OPENS),
        "found closed": _stands(_FOUND_CLOSED),
        "their lock": _stands(_THEIR_LOCK),
        "their lock gone": _their_lock_gone,
        "damaged": _stands(dict.fromkeys(_P, _P.DAMAGED)),
        "found jumper": _found_jumper,
    }
)

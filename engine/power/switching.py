"""Guards for devices, for switching on and running, and for the end of a walk.

Rules R5 (what a closing energises), R7 (people, covers, items), R8 (nothing bridged), R9 (the
three ends), R12 (locks and tags), and R2 where a device isolates nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.layouts import BOX_TYPES, DEVICE_TYPES, Layout
from engine.power.acts import FOR_TEST, FROM_OUTSIDE, IN_SERVICE, ITEMS, WITHDRAWN, Act, Deed
from engine.power.hands import box_open, reach_clear
from engine.power.refusal import Refusal
from engine.power.state import (
    CONDUCTS,
    MINE,
    THEIR_LOCK,
    Cover,
    Insulation,
    Position,
    State,
    changed,
    faulted,
    is_on,
    left_cut,
    live_zones,
)


def _standing(layout: Layout, state: State, deed: Deed) -> Position:
    return state.position[layout.device_at[deed.device]]


def mine_to_move(layout: Layout, state: State, deed: Deed) -> Iterator[Refusal]:
    """R12, R2, R4: nobody else's lock, not damaged, and the box in which it is reached."""
    position = _standing(layout, state, deed)
    if position is Position.IN_DOUBT:
        yield Refusal(
            "R12",
            f"It is not sure how the {deed.device} stands, or whose lock is on it. Look at it and "
            "say.",
            Deed(Act.ASK, device=deed.device),
        )
    elif position in THEIR_LOCK and deed.act is not Act.LOCK_OUT:
        yield Refusal(
            "R12",
            f"The {deed.device} is under somebody else's lock or tag. It is theirs to take off; "
            "ask them.",
        )
    if position is Position.DAMAGED:
        yield Refusal(
            "R5" if deed.act is Act.SWITCH_ON else "R2",
            f"The {deed.device} is damaged: it isolates nothing. Go one device upstream.",
        )
    box = layout.device(deed.device).box
    if box:
        yield from box_open(layout, state, Deed(deed.act, box=box), "R4")
        yield from reach_clear(layout, state, box)


def isolates(layout: Layout, state: State, deed: Deed) -> Iterator[Refusal]:
    """R2: a lock counts only on an isolating device that is open."""
    position = _standing(layout, state, deed)
    if not DEVICE_TYPES[layout.device(deed.device).type].isolates:
        yield Refusal("R2", f"The {deed.device} is not an isolating device: no lock on it counts.")
    elif position is Position.CLOSED:
        yield Refusal("R2", f"The {deed.device} is on. Switch it off first.", _switch_off(deed))


def _switch_off(deed: Deed) -> Deed:
    return Deed(Act.SWITCH_OFF, device=deed.device)


def taggable(layout: Layout, state: State, deed: Deed) -> Iterator[Refusal]:
    """R9: a tag counts only on an isolating device that is off."""
    if not DEVICE_TYPES[layout.device(deed.device).type].isolates:
        yield Refusal("R9", f"The {deed.device} is not an isolating device. Tag one that is.")
    if _standing(layout, state, deed) < Position.OPEN:
        yield Refusal(
            "R9", f"The {deed.device} is not off. Switch it off first.", _switch_off(deed)
        )


def my_lock(layout: Layout, state: State, deed: Deed) -> Iterator[Refusal]:
    """R12: only my own lock or tag comes off by my hand."""
    if _standing(layout, state, deed) not in (*MINE, Position.TAGGED):
        yield Refusal("R12", f"There is no lock of yours on the {deed.device} to take off.")


def people_clear(layout: Layout, state: State, deed: Deed) -> Iterator[Refusal]:
    """R7: people and tools."""
    if not state.clear:
        yield Refusal(
            "R7",
            "People and tools are not reported clear since the last work. Clear them first.",
            Deed(Act.ALL_CLEAR),
        )


def may_close(layout: Layout, state: State, deed: Deed) -> Iterator[Refusal]:
    """R7: open, with my own lock and tag taken off."""
    position = _standing(layout, state, deed)
    if position in (Position.LOCKED, Position.TAGGED):
        first = Deed(Act.UNLOCK, device=deed.device)
        yield Refusal("R7", f"Your lock or tag is on the {deed.device}. Take it off first.", first)
    elif position is Position.CLOSED:
        yield Refusal("R7", f"The {deed.device} is on already.")


def fit_to_energise(layout: Layout, state: State, deed: Deed) -> Iterator[Refusal]:
    """R5: what this closing energises, and every device that has tripped ahead of it."""
    closing = layout.device_at[deed.device]
    energised = _energised_by(layout, state, closing)
    for at, insulation in enumerate(state.insulation):
        if energised >> at & 1 and insulation <= Insulation.MENDED:
            zone = layout.zones[at].name
            yield Refusal(
                "R5", f"{zone}: a fault was found and no clear check made since. Mend, then check."
            )
    for at, trips in enumerate(state.trips):
        if trips:
            yield from _tripped(layout, state, at, energised, closing)


def _energised_by(layout: Layout, state: State, closing: int) -> int:
    """Return, as bits, the zones that closing a device makes live or feeds a second way."""
    position = changed(state.position, closing, Position.CLOSED)
    after = live_zones(layout, state._replace(position=position))
    load = 1 << layout.zone_at[layout.devices[closing].load]
    behind = layout.reached(lambda at: at != closing and position[at] in CONDUCTS, load)
    return after & (~live_zones(layout, state) | behind)


def _tripped(
    layout: Layout, state: State, at: int, energised: int, closing: int
) -> Iterator[Refusal]:
    device = layout.devices[at]
    fed = [zone for zone in layout.feeds[at] if energised >> zone & 1]
    if state.trips[at] > 1:
        if fed or at == closing:
            yield Refusal(
                "R5",
                f"The {device.name} has tripped twice and nothing has been found and repaired.",
            )
        return
    for zone in fed if DEVICE_TYPES[device.type].needs_check else ():
        if state.insulation[zone] is not Insulation.CLEAR:
            yield Refusal(
                "R5",
                f"The {device.name} tripped: no clear ground and phase-to-phase check of "
                f"{layout.zones[zone].name} since. Isolate and check it first.",
            )


def guards_on(layout: Layout, state: State, deed: Deed) -> Iterator[Refusal]:
    """R7: covers and items, for a test or for service."""
    test = deed.mode == FOR_TEST
    for at, box in enumerate(layout.boxes):
        if state.cover[at] is not Cover.SHUT and (not test or BOX_TYPES[box.type].guard):
            yield _open(box.name, "R7")
    for name, zone in sorted(state.items):
        item = ITEMS.get(name, ITEMS["lead"])
        if not (item.for_test if test else item.for_service):
            yield _still_on(layout, state, name, zone, "R7")


def _open(box: str, rule: str) -> Refusal:
    return Refusal(rule, f"The {box} is open. Shut it first.", Deed(Act.CLOSE_UP, box=box))


def _still_on(layout: Layout, state: State, name: str, zone: str, rule: str) -> Refusal:
    sentence = f"{name} still on {zone}. Take it off first."
    if name in FROM_OUTSIDE:
        return Refusal(rule, sentence, Deed(Act.TAKE_OFF, zone=zone, item=name))
    shows = [box.name for box in layout.boxes if zone in box.exposes]
    shows.sort(key=lambda box: state.cover[layout.box_at[box]] is Cover.SHUT)
    item = name if name in ITEMS else "lead"
    return Refusal(rule, sentence, Deed(Act.TAKE_OFF, zone=zone, box=shows[0], item=item))


def running(layout: Layout, state: State, deed: Deed, rule: str) -> Iterator[Refusal]:
    """R7 and R9: only what is on can run or be verified."""
    if not is_on(layout, state, deed.zone):
        yield Refusal(rule, f"{deed.zone} is not on. Switch it on first.")


def nothing_bridged(layout: Layout, state: State, deed: Deed) -> Iterator[Refusal]:
    """R8: a good reading past a jumper, bypass or lifted lead would prove nothing."""
    for name, zone in sorted(state.items):
        if not ITEMS.get(name, ITEMS["lead"]).for_service:
            yield _still_on(layout, state, name, zone, "R8")


def may_end(layout: Layout, state: State, deed: Deed) -> Iterator[Refusal]:
    """R8, R12, R9: in service, made safe, or withdrawn for a reason."""
    if deed.mode != WITHDRAWN:
        yield from _nothing_left(layout, state)
        yield from _in_service(layout, state) if deed.mode == IN_SERVICE else _cut(layout, state)
    elif not state.stop:
        yield Refusal("R9", "There is no reason to withdraw: nothing was reported that stops work.")
    if not state.told:
        yield Refusal(
            "R9", "The customer is not told. Tell them what was done and left.", Deed(Act.TELL)
        )


def _nothing_left(layout: Layout, state: State) -> Iterator[Refusal]:
    for name, zone in sorted(state.items):
        yield _still_on(layout, state, name, zone, "R8")
    for at, device in enumerate(layout.devices):
        if state.position[at] in MINE:
            yield Refusal(
                "R12",
                f"Your lock is still on the {device.name}. Take it off, or tag it out.",
                Deed(Act.TAG_OUT, device=device.name),
            )
    for at, box in enumerate(layout.boxes):
        if state.cover[at] is not Cover.SHUT:
            yield _open(box.name, "R9")


def _in_service(layout: Layout, state: State) -> Iterator[Refusal]:
    unit = layout.unit
    if not is_on(layout, state, unit):
        yield Refusal("R9", f"{unit} is not on.")
    if not state.verified[layout.zone_at[unit]]:
        yield Refusal("R9", f"{unit} is not verified under load since the last work on it.")
    for at, device in enumerate(layout.devices):
        if state.position[at] not in (*MINE, Position.CLOSED, Position.TAGGED):
            yield Refusal("R9", f"The {device.name} is neither on nor tagged out of service.")


def _cut(layout: Layout, state: State) -> Iterator[Refusal]:
    unit = layout.unit
    if is_on(layout, state, unit):
        yield Refusal("R9", f"{unit} is still on.")
    elif not left_cut(layout, state, unit):
        yield Refusal("R9", f"{unit} is off but not tagged out of service on every source.")
    for zone in faulted(layout, state):
        if zone != unit and not left_cut(layout, state, zone):
            yield Refusal(
                "R9",
                f"{zone}: a fault was found and no tag keeps every source from it. Tag out what "
                "is ahead of it.",
            )

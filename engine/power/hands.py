"""Guards for hands and leads: the look-over, the box, the conductor, what is beside it, items.

Rules R1 (conductors), R2 (proof), R3 (stored charge), R4 (what else is in reach), R6 (readings),
R10 (look-over), R13 (guards and moving parts), and R8 where an item is put on.
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.layouts import BOX_TYPES, DEVICE_TYPES, Layout, Opened, ZoneKind
from engine.power.acts import NEVER_BRIDGED, Act, Deed
from engine.power.refusal import Refusal
from engine.power.state import Cover, Proof, State, held_off, is_on


def looked_over(layout: Layout, state: State, deed: Deed) -> Iterator[Refusal]:
    """R10: the look-over of this visit."""
    if not state.looked_over:
        yield Refusal(
            "R10",
            "The job is not looked over since you came. Look over first: all sources, other "
            "people's locks, footing, weather, water, smell.",
            Deed(Act.LOOK_OVER),
        )


def may_open(layout: Layout, state: State, deed: Deed) -> Iterator[Refusal]:
    """R13 and R1: covers that are guards of moving parts or of compressor terminals."""
    box = layout.box(deed.box)
    opened = BOX_TYPES[box.type].opened
    for zone in box.exposes if opened is not Opened.LIVE else ():
        proof = state.proof[layout.zone_at[zone]]
        if opened is Opened.STOPPED and proof < Proof.TRIED:
            yield Refusal("R13", f"{deed.box}: {zone} is not locked out, tried and stopped.")
        if opened is Opened.PROVEN and proof is not Proof.DEAD:
            yield Refusal("R1", f"{deed.box}: {zone} is not proven dead. Prove it at another box.")


def box_open(layout: Layout, state: State, deed: Deed, rule: str) -> Iterator[Refusal]:
    """R6 for readings, R4 for hands: a box opened in this walk, the zone not behind its barrier."""
    if not deed.box:
        return
    cover = state.cover[layout.box_at[deed.box]]
    if cover is Cover.SHUT:
        yield Refusal(
            rule,
            f"The {deed.box} is not open. Open it first and see what is in it.",
            Deed(Act.OPEN_UP, box=deed.box),
        )
    elif cover is Cover.BARRIER_SEEN and deed.zone in layout.box(deed.box).behind:
        yield Refusal(rule, f"{deed.zone} is behind the barrier in the {deed.box}.")


def beside(layout: Layout, state: State, deed: Deed) -> Iterator[Refusal]:
    """R4 and R3: whatever else hands can meet in the box."""
    if deed.box:
        yield from reach_clear(layout, state, deed.box, besides=deed.zone)


def reach_clear(layout: Layout, state: State, name: str, besides: str = "") -> Iterator[Refusal]:
    """R4 and R3: every zone exposed in a box and, without a barrier seen, what is behind it."""
    box = layout.box(name)
    barrier = state.cover[layout.box_at[name]] is Cover.BARRIER_SEEN
    for zone in box.exposes if barrier else (*box.exposes, *box.behind):
        at = layout.zone_at[zone]
        kind = layout.zones[at].kind
        if zone == besides or kind is ZoneKind.CONTROL:
            continue
        if kind is ZoneKind.SERVICE:
            yield Refusal(
                "R4",
                f"{zone} is in reach in the {name} and nobody here can turn it off. Only behind "
                "its barrier, or by the utility or a licensed electrician.",
            )
        elif state.proof[at] is not Proof.DEAD:
            yield Refusal(
                "R4",
                f"{zone} in reach in the {name} is not proven dead. Lock it out, try and prove "
                "it first, or see its barrier in place.",
            )
        elif state.charged[at]:
            yield _charged(zone)


def _charged(zone: str) -> Refusal:
    return Refusal(
        "R3",
        f"{zone}: stored charge not discharged and measured since it was last on or tested. "
        "Bleed it and read DC first.",
    )


def conductor(layout: Layout, state: State, deed: Deed, rule: str) -> Iterator[Refusal]:
    """R1 for hands, R6 for readings, then R3: the zone itself, proven dead or read low."""
    at = layout.zone_at[deed.zone]
    kind, proof = layout.zones[at].kind, state.proof[at]
    if kind is ZoneKind.SERVICE:
        yield Refusal("R4", f"{deed.zone} is nobody's to touch: utility or licensed electrician.")
    elif kind is ZoneKind.CONTROL:
        if proof is not Proof.LOW:
            yield Refusal(
                "R1",
                f"{deed.zone} has not been read under 50 V. Read it first, as if it were not.",
                Deed(Act.READ_LIVE, zone=deed.zone, box=deed.box) if deed.box else None,
            )
    elif proof is not Proof.DEAD:
        yield Refusal(
            rule, f"{deed.zone} is not proven dead. Lock it out, try, and take the three readings."
        )
    elif state.charged[at] and deed.act is not Act.DISCHARGE:
        yield _charged(deed.zone)


def all_read(layout: Layout, state: State, deed: Deed, rule: str) -> Iterator[Refusal]:
    """R1, R2 and R3: what lets hands in was read, with a meter shown to work, and heeded."""
    if deed.unread:
        yield Refusal(
            rule,
            f"{deed.zone}: {deed.act} does not read, or does not judge, "
            f"{'; nor '.join(deed.unread)}. Whatever it says, it shows nothing.",
        )


def control_off(layout: Layout, state: State, deed: Deed, rule: str) -> Iterator[Refusal]:
    """R1 and R6: a control circuit may be touched live, but is worked on and measured off."""
    control = layout.zone(deed.zone).kind is ZoneKind.CONTROL
    if control and is_on(layout, state, deed.zone):
        yield Refusal(rule, f"{deed.zone} is on. Take its power away first.")


def reading_dead(layout: Layout, state: State, deed: Deed) -> Iterator[Refusal]:
    """R6: ohms, capacitance and insulation only on what can't be live."""
    if layout.zone(deed.zone).kind is ZoneKind.CONTROL:
        yield from control_off(layout, state, deed, "R6")
    else:
        yield from conductor(layout, state, deed, "R6")
    if deed.act is Act.INSULATION_TEST and layout.box(deed.box).type == "drive":
        yield Refusal(
            "R6", "Never an insulation test through a drive. Take the motor leads off it."
        )


def locks_hold(layout: Layout, state: State, deed: Deed, rule: str) -> Iterator[Refusal]:
    """R2 and R13: my own lock between the zone and every source."""
    if not held_off(layout, state, deed.zone):
        yield Refusal(
            rule,
            f"{deed.zone} is not held off by your own lock on every source. Switch off and lock "
            "out each one first.",
        )


def locked_and_tried(layout: Layout, state: State, deed: Deed, rule: str) -> Iterator[Refusal]:
    """R2 and R13: locked out, and starting was tried since."""
    at = layout.zone_at[deed.zone]
    if layout.zones[at].kind is not ZoneKind.POWER:
        yield Refusal(rule, f"{deed.zone} drives no machine. Say which power zone is locked out.")
        return
    yield from locks_hold(layout, state, deed, rule)
    if state.proof[at] is Proof.NONE:
        yield Refusal(
            rule,
            f"{deed.zone}: starting has not been tried since it was locked out. Try it, see it "
            "stopped, and put the controls back to off.",
            Deed(Act.TRY, zone=deed.zone),
        )


def provable(layout: Layout, state: State, deed: Deed) -> Iterator[Refusal]:
    """R2: only a power zone, locked out and tried, can be proven."""
    kind = layout.zone(deed.zone).kind
    if kind is ZoneKind.SERVICE:
        yield Refusal("R4", f"{deed.zone} can't be turned off here: utility or electrician.")
    elif kind is ZoneKind.CONTROL:
        yield Refusal("R2", f"{deed.zone} is a control circuit: read it live, under 50 V or not.")
    else:
        yield from locked_and_tried(layout, state, deed, "R2")


def item(layout: Layout, state: State, deed: Deed) -> Iterator[Refusal]:
    """Yield what stands against putting an item on or taking it off."""
    if deed.item == "gauges":
        yield from looked_over(layout, state, deed)
    elif deed.item in ("open refrigerant", "open gas"):
        yield from locked_and_tried(layout, state, deed, "R13")
    else:
        yield from conductor(layout, state, deed, "R1")
        yield from box_open(layout, state, deed, "R4")
        yield from beside(layout, state, deed)
    if deed.item == "series meter":
        yield from _in_series(layout, state, deed)
    if deed.act is Act.PUT_ON and deed.item in ("jumper", "bypass") and _never(layout, deed.on):
        yield Refusal("R8", f"Never a {deed.item} across the {deed.on}. Find out why it is open.")


def _in_series(layout: Layout, state: State, deed: Deed) -> Iterator[Refusal]:
    if layout.zone(deed.zone).kind is not ZoneKind.CONTROL:
        yield Refusal("R6", f"Never a meter in series in {deed.zone}. Use the clamp.")
    yield from control_off(layout, state, deed, "R6")


def _never(layout: Layout, part: str) -> bool:
    known = part in layout.device_at and DEVICE_TYPES[layout.device(part).type].protects
    return known or any(word in part for word in NEVER_BRIDGED)

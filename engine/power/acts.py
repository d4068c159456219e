"""The words for what a step does to the world: acts, their outcomes, items, reports.

An author labels a step with one act. What follows for anybody's safety belongs to the *outcome*
of the act, never to the step: an outcome that does not say what it counts as counts as the worst.
What acts need and change is `engine.power`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from engine.layouts import Layout


class Act(StrEnum):
    """What kind of thing a step does to the world."""

    ASK = "ask"
    LOOK_OVER = "look over"
    LOOK = "look"
    """Inside an opened box, eyes only."""
    OPEN_UP = "open up"
    CLOSE_UP = "close up"
    SWITCH_OFF = "switch off"
    LOCK_OUT = "lock out"
    TRY = "try"
    PROVE_DEAD = "prove dead"
    DISCHARGE = "discharge"
    READ_LIVE = "read live"
    READ_DEAD = "read dead"
    CHECK = "check"
    """Ground and phase-to-phase check."""
    INSULATION_TEST = "insulation test"
    HANDS_ON = "hands on"
    REPAIR = "repair"
    HANDS_IN = "hands in"
    PUT_ON = "put on"
    TAKE_OFF = "take off"
    ALL_CLEAR = "all clear"
    UNLOCK = "unlock"
    SWITCH_ON = "switch on"
    RUN = "run"
    VERIFY = "verify"
    TAG_OUT = "tag out"
    TELL = "tell"
    AWAY = "away"
    END = "end"


FOR_TEST, FOR_SERVICE = "for test", "for service"
IN_SERVICE, MADE_SAFE, WITHDRAWN = "in service", "made safe", "withdrawn"
MODES: Mapping[Act, tuple[str, ...]] = MappingProxyType(
    {
        Act.SWITCH_ON: (FOR_TEST, FOR_SERVICE),
        Act.RUN: (FOR_TEST, FOR_SERVICE),
        Act.END: (IN_SERVICE, MADE_SAFE, WITHDRAWN),
    }
)
"""The ways of an act that has more than one; the end of a walk is its way, too."""

DONE = "done"
LEFT_OFF = "left off, capped and labelled"
OUTCOMES: Mapping[Act, tuple[str, ...]] = MappingProxyType(
    dict.fromkeys(Act, ())
    | {
        Act.LOOK_OVER: ("fit", "not fit"),
        Act.OPEN_UP: ("barrier in place", "barrier missing"),
        Act.TRY: ("stopped", "not stopped"),
        Act.PROVE_DEAD: ("dead", "not dead"),
        Act.DISCHARGE: ("below limit", "above limit"),
        Act.READ_LIVE: ("under 50", "50 or more"),
        Act.CHECK: ("clear", "fault", "not clear"),
        Act.INSULATION_TEST: ("clear", "fault", "not clear"),
        Act.TAKE_OFF: ("leak-tested", LEFT_OFF, "off"),
        Act.SWITCH_ON: ("holds", "trips"),
        Act.VERIFY: ("good", "not good"),
    }
)
"""What an outcome may count as, best first; an act without words here has one effect only."""

STOPS = (
    "gas",
    "smoke",
    "hurt",
    "service",
    "water",
    "storm",
    "weather",
    "unfit",
    "unknown source",
    "their lock",
)
"""Reasons to stop, gravest first: the closed list without which no walk is withdrawn."""

REPORTS = (
    "tripped",
    "found tripped",
    "tripped and reset",
    "found tripped but on now",
    "found open",
    "found closed",
    "their lock gone",
    "damaged",
    "found jumper",
    *STOPS,
)
"""What somebody saw or was told. Any act's outcome may count as one of these: the act then has
its worst effect, and the report its own."""


HOW_IT_STANDS = ("found open", "found closed", "their lock", "damaged")
"""What can be answered when it is asked how a device stands."""


def pessimistic(act: Act) -> str:
    """Return the outcome that an unlabelled one counts as."""
    return OUTCOMES[act][-1] if OUTCOMES[act] else DONE


def may_count_as(act: Act) -> tuple[str, ...]:
    """Return every word that an outcome of the act may count as."""
    return (*(OUTCOMES[act] or (DONE,)), *REPORTS)


@dataclass(frozen=True, slots=True)
class ItemType:
    """With what kind of item on something may be switched on, run and verified."""

    for_test: bool
    for_service: bool


ITEMS: Mapping[str, ItemType] = MappingProxyType(
    {
        "jumper": ItemType(for_test=True, for_service=False),
        "bypass": ItemType(for_test=True, for_service=False),
        "lead": ItemType(for_test=True, for_service=False),
        "series meter": ItemType(for_test=True, for_service=True),
        "gauges": ItemType(for_test=True, for_service=True),
        "grounds": ItemType(for_test=False, for_service=False),
        "open refrigerant": ItemType(for_test=False, for_service=False),
        "open gas": ItemType(for_test=False, for_service=False),
    }
)
"""What can be on and must come off before the end. A *lead* is one that was lifted."""

NEVER_BRIDGED = ("fuse", "breaker", "overload", "relief", "flame", "rollout", "limit")
"""Across these no jumper and no bypass, ever."""


@dataclass(frozen=True, slots=True)
class Deed:
    """An act with what it is done to; empty where the act needs none."""

    act: Act
    zone: str = ""
    device: str = ""
    box: str = ""
    item: str = ""
    mode: str = ""
    """For test or for service; of an end, which."""
    unread: tuple[str, ...] = ()
    """What of the act is not read, or not judged: such a reading proves and clears nothing."""
    on: str = ""
    """What the outcome is about: the device that tripped, the part that a jumper bridges."""

    @property
    def part(self) -> bool:
        """Whether only a part of the act is read: neither proof nor a clear check."""
        return bool(self.unread)


KNOWN_BEFORE = "a source known to be live, first"
EVERY_PAIR = "every pair of legs"
EVERY_LEG = "every leg to ground"
KNOWN_AFTER = "the source known to be live, again"
DC_VOLTS = "DC volts at every place that is bled"
UNDER_50 = "whether it is under 50 V"
OTHER_SIDE = "the other side of the contactor"
READ_FOR: Mapping[Act, tuple[str, ...]] = MappingProxyType(
    {
        Act.PROVE_DEAD: (KNOWN_BEFORE, EVERY_PAIR, EVERY_LEG, KNOWN_AFTER),
        Act.DISCHARGE: (DC_VOLTS,),
        Act.READ_LIVE: (UNDER_50,),
        Act.CHECK: (EVERY_PAIR, EVERY_LEG),
        Act.INSULATION_TEST: (EVERY_PAIR, EVERY_LEG),
    }
)
"""What has to be read and judged, in this order, for an act whose outcome lets hands in. That the
tester is tried on a known source before and after, at every voltage: NFPA 70E-2024, 120.6(7)."""

LIVE_FROM = 10
"""Volts from which nothing counts as dead, and under which no known source as live (judgement)."""
CHARGED_FROM = NOT_LOW_FROM = 50
"""Volts DC from which nothing counts as bled, and volts from which no control circuit counts as
low (29 CFR 1910.333(a)(1): 50 volts, from memory)."""


_TOUCHES = (Act.READ_DEAD, Act.CHECK, Act.INSULATION_TEST, Act.HANDS_ON, Act.REPAIR, Act.HANDS_IN)
_NEEDS: Mapping[str, frozenset[Act]] = MappingProxyType(
    {
        "zone": frozenset(
            {Act.TRY, Act.PROVE_DEAD, Act.DISCHARGE, Act.PUT_ON, Act.TAKE_OFF, Act.RUN, Act.VERIFY}
            | {*_TOUCHES}
        ),
        "box": frozenset(
            {Act.LOOK, Act.OPEN_UP, Act.CLOSE_UP, Act.PROVE_DEAD, Act.DISCHARGE} | {*_TOUCHES}
        ),
        "device": frozenset({Act.SWITCH_OFF, Act.LOCK_OUT, Act.UNLOCK, Act.SWITCH_ON, Act.TAG_OUT}),
        "item": frozenset({Act.PUT_ON, Act.TAKE_OFF}),
        "mode": frozenset(MODES),
    }
)
FROM_OUTSIDE = ("gauges", "open refrigerant", "open gas")
"""Items that go on at a service port or a pipe: no box of conductors is meant."""


def misfit(layout: Layout, deed: Deed) -> str:
    """Return why a deed makes no sense in a layout, in a sentence; empty where it does."""
    for field, acts in _NEEDS.items():
        if deed.act in acts and not getattr(deed, field):
            return f"{deed.act} needs a {field}."
    if deed.act is Act.READ_LIVE and deed.zone and not deed.box:
        return f"{deed.act} of a zone needs the box in which it is read."
    if deed.item and deed.item not in ITEMS:
        return f"{deed.item} is no item; the items are {', '.join(ITEMS)}."
    if deed.act in (Act.PUT_ON, Act.TAKE_OFF) and not deed.box and deed.item not in FROM_OUTSIDE:
        return f"{deed.act} {deed.item} needs the box in which it is done."
    if deed.mode and deed.act in MODES and deed.mode not in MODES[deed.act]:
        return f"{deed.act} is {' or '.join(MODES[deed.act])}, not {deed.mode}."
    return _unknown(layout, deed)


def _unknown(layout: Layout, deed: Deed) -> str:
    for field, names in (
        ("zone", layout.zone_at),
        ("device", layout.device_at),
        ("box", layout.box_at),
    ):
        name = getattr(deed, field)
        if name and name not in names:
            return f"{layout.name} has no {field} {name}; it has {', '.join(names)}."
    if deed.zone and deed.box:
        box = layout.box(deed.box)
        if deed.zone not in (*box.exposes, *box.behind):
            return f"{deed.zone} can't be reached in the {deed.box}."
    return ""

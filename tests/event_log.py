"""A second judge of walks, told only what happened: it walks back through the log.

Written without a function of `engine.power`: it knows the layout's plain facts (what a device
joins, what a box shows) and the words of acts and outcomes. Every question is answered by going
back through the log: where was it locked, tried, proven, discharged, and what came since?
`tests.safety_officer` asks the questions.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property

from engine.layouts import DEVICE_TYPES, Layout
from engine.power import REPORTS, STOPS, Act, Deed
from engine.power.acts import LEFT_OFF

Event = tuple[Deed, str]

TRIPS = ("trips", "tripped", "found tripped")
IN_THE_BOX = frozenset(
    {
        Act.PROVE_DEAD, Act.DISCHARGE, Act.READ_DEAD, Act.CHECK, Act.INSULATION_TEST,
        Act.HANDS_ON, Act.REPAIR, Act.HANDS_IN, Act.PUT_ON, Act.TAKE_OFF,
    }
)  # fmt: skip


class Log:
    """What happened on one walk, in order, with what the devices were before each event."""

    def __init__(self, layout: Layout, events: Sequence[Event]) -> None:
        self.layout = layout
        self.events = events
        self.closed: list[frozenset[str]] = []
        self.locked: list[frozenset[str]] = []
        self._follow_the_devices()

    # The devices

    def _follow_the_devices(self) -> None:
        closed = {device.name for device in self.layout.devices}
        locked: set[str] = set()
        broken: set[str] = set()
        for deed, outcome in self.events:
            self.closed.append(frozenset(closed | broken))
            self.locked.append(frozenset(locked - broken))
            name = deed.device
            if deed.act is Act.SWITCH_OFF:
                closed.discard(name)
            elif deed.act is Act.LOCK_OUT:
                locked.add(name)
            elif deed.act in (Act.UNLOCK, Act.TAG_OUT):
                locked.discard(name)
            elif deed.act is Act.SWITCH_ON:
                closed.add(name)
            elif deed.act is Act.REPAIR and name in broken:
                broken.discard(name)
                closed.discard(name)
            about = deed.on or name
            if outcome in TRIPS:
                closed -= set(self.tripped(deed))
            elif outcome in ("their lock", "found open"):
                closed.discard(about)
            elif outcome == "found closed":
                closed.add(about)
                # A lock that did not hold its device open isolates nothing.
                broken |= {about} & locked
            elif outcome == "damaged" and about:
                broken.add(about)
        self.closed.append(frozenset(closed | broken))
        self.locked.append(frozenset(locked - broken))

    def tripped(self, deed: Deed) -> list[str]:
        """Return the devices that tripped: the one named, else the nearest on the line side."""
        if deed.on:
            return [deed.on]
        device = self.layout.device(deed.device)
        if DEVICE_TYPES[device.type].protects:
            return [device.name]
        ahead = [one for one in self.layout.devices if one.load == device.line]
        return [name for one in ahead for name in self.tripped(Deed(deed.act, device=one.name))]

    def fed(self, through: Iterable[str]) -> set[str]:
        """Return the zones that a source reaches through the devices named."""
        zones = {source.zone for source in self.layout.sources}
        joins = [self.layout.device(name) for name in through]
        while True:
            more = {j.line for j in joins if j.load in zones} | {
                j.load for j in joins if j.line in zones
            }
            if more <= zones:
                return zones
            zones |= more

    def left_cut(self, at: int, zone: str) -> bool:
        """Return whether tags and other people's locks alone cut a zone off for good."""
        tags: set[str] = set()
        theirs: set[str] = set()
        for deed, outcome in self.events[:at]:
            if deed.act is Act.TAG_OUT:
                tags.add(deed.device)
            elif deed.act in (Act.UNLOCK, Act.LOCK_OUT):
                tags.discard(deed.device)
            if outcome == "their lock":
                theirs.add(deed.device)
                tags.discard(deed.device)
            elif outcome in ("their lock gone", "damaged"):
                theirs.discard(deed.device)
                tags.discard(deed.device)
        every = {device.name for device in self.layout.devices}
        return zone not in self.fed(every - tags - theirs)

    def on(self, at: int, zone: str) -> bool:
        """Return whether a zone was on before event ``at``."""
        return zone in self.fed(self.closed[at])

    def cut(self, at: int, zone: str) -> bool:
        """Return whether my own locks alone cut a zone off before event ``at``."""
        every = {device.name for device in self.layout.devices}
        return zone not in self.fed(every - self.locked[at])

    def feeds(self, name: str) -> set[str]:
        """Return the zones on a device's load side that are of the kind of its load."""
        device = self.layout.device(name)
        seen, kind = {device.load}, self.layout.zone(device.load).kind
        while True:
            more = {one.load for one in self.layout.devices if one.line in seen} - seen
            if not more:
                return {zone for zone in seen if self.layout.zone(zone).kind is kind}
            seen |= more

    # Looking back

    def last(
        self,
        before: int,
        *acts: Act,
        zone: str = "",
        box: str = "",
        outcomes: Sequence[str] = (),
        part: bool = True,
    ) -> int:
        """Return the last event before one that fits; -1 for none."""
        for at in range(before - 1, -1, -1):
            deed, outcome = self.events[at]
            if (
                deed.act in acts
                and zone in ("", deed.zone)
                and box in ("", deed.box)
                and (not outcomes or outcome in outcomes)
                and (part or not deed.part)
            ):
                return at
        return -1

    def looked_over(self, at: int) -> bool:
        """Return whether the job was found fit since the last coming."""
        last = self.last(at, Act.LOOK_OVER, Act.AWAY)
        return last >= 0 and self.events[last][1] == "fit"

    def open(self, at: int, box: str) -> bool:
        """Return whether a box stood open."""
        last = self.last(at, Act.OPEN_UP, Act.CLOSE_UP, box=box)
        return last >= 0 and self.events[last][0].act is Act.OPEN_UP

    def in_reach(self, at: int, box: str) -> list[str]:
        """Return the zones that hands met in an open box."""
        one = self.layout.box(box)
        seen = self.last(at, Act.OPEN_UP, box=box)
        barrier = self.events[seen][1] == "barrier in place"
        return [*one.exposes, *(() if barrier else one.behind)]

    def tried(self, at: int, zone: str) -> bool:
        """Return whether starting was tried while the zone was cut off, and it stayed so."""
        tried = self.last(at, Act.TRY, outcomes=("stopped",))
        if tried < 0 or self.last(at, Act.AWAY) > tried:
            return False
        if any(
            (deed.act is Act.TRY and outcome != "stopped")
            or (deed.act is Act.PROVE_DEAD and deed.zone == zone and outcome != "dead")
            or (deed.act is Act.READ_LIVE and deed.zone == zone and outcome != "under 50")
            for deed, outcome in self.events[tried:at]
        ):
            return False
        return all(self.cut(then, zone) for then in range(tried, at + 1))

    def proven(self, at: int, zone: str) -> bool:
        """Return whether the three readings were made after trying, and nothing undid them."""
        proof = self.last(at, Act.PROVE_DEAD, zone=zone, outcomes=("dead",), part=False)
        if proof < 0 or not self.open(proof, self.events[proof][0].box):
            return False
        if not self.tried(proof, zone):
            return False
        undone = any(
            deed.act is Act.AWAY
            or (deed.act is Act.TRY and outcome != "stopped")
            or (deed.act is Act.PROVE_DEAD and deed.zone == zone and outcome != "dead")
            or (deed.act is Act.READ_LIVE and deed.zone == zone and outcome != "under 50")
            for deed, outcome in self.events[proof + 1 : at]
        )
        return not undone and all(self.cut(then, zone) for then in range(proof, at + 1))

    def drained(self, at: int, zone: str) -> bool:
        """Return whether what a zone can hold was bled and read since it was last charged."""
        bled = self.last(at, Act.DISCHARGE, zone=zone)
        if bled >= 0 and (self.events[bled][1] != "below limit" or self.events[bled][0].part):
            return False
        if self.last(at, Act.INSULATION_TEST, zone=zone) > bled:
            return False
        if not self.layout.zone(zone).stores:
            return True
        return bled >= 0 and not any(self._charged(then, zone) for then in range(bled + 1, at + 1))

    def _charged(self, at: int, zone: str) -> bool:
        if self.on(at, zone):
            return True
        deed = self.events[at - 1][0]
        return deed.act is Act.SWITCH_ON and zone in self.fed(self.closed[at - 1] | {deed.device})

    def low(self, at: int, zone: str) -> bool:
        """Return whether the last reading of a control circuit, made since coming, was low."""
        read = self.last(at, Act.READ_LIVE, zone=zone)
        back = self.last(at, Act.AWAY)
        deed, outcome = self.events[read]
        return read > back and outcome == "under 50" and not deed.part

    def items(self, at: int) -> set[tuple[str, str]]:
        """Return what was put on or found on and not taken off."""
        on: set[tuple[str, str]] = set()
        for deed, outcome in self.events[:at]:
            item = (deed.item, deed.zone)
            if deed.act is Act.PUT_ON:
                on.add(item)
            elif deed.act is Act.TAKE_OFF and (item[0] != "open gas" or outcome == "leak-tested"):
                on.discard(item)
            if outcome == "found jumper":
                on.add(("jumper", deed.zone or self.layout.unit))
        return on

    def people_clear(self, at: int) -> bool:
        """Return whether people and tools were told clear since somebody last was in a box."""
        return self.last(at, Act.ALL_CLEAR) >= self.last(at, *IN_THE_BOX)

    def stop(self, at: int) -> set[str]:
        """Return the reasons to stop told so far."""
        told = {outcome for _, outcome in self.events[:at]} & set(STOPS)
        if any(deed.act is Act.LOOK_OVER and out != "fit" for deed, out in self.events[:at]):
            told.add("unfit")
        return told

    # Trips and faults

    @cached_property
    def trips(self) -> list[tuple[int, str]]:
        """Every trip: the event and the device."""
        return [
            (at, name)
            for at, (deed, outcome) in enumerate(self.events)
            if outcome in TRIPS
            for name in self.tripped(deed)
        ]

    def spent(self, at: int, name: str) -> int:
        """Return how many trips of a device are neither mended nor proved under load."""
        count, cause, feeds = 0, False, self.feeds(name)
        for then, (deed, outcome) in enumerate(self.events[:at]):
            if deed.act in (Act.CHECK, Act.INSULATION_TEST) and outcome == "fault":
                cause = True
            mends = deed.act is Act.REPAIR or (
                (deed.act, deed.item) == (Act.PUT_ON, "lead") and self.fault(then, deed.zone)
            )
            if mends and cause and deed.zone in feeds:
                count = min(count, 1)
            if deed.act is Act.VERIFY and outcome == "good" and deed.zone in feeds:
                count = 0
            if any(one == then for one, _ in self.trips):
                cause = False
            if (then, name) in self.trips:
                closing = deed.act is Act.SWITCH_ON and deed.device == name
                count = max(count + (closing or name in self.closed[then]), 1)
        return min(count, 2)

    def fault(self, at: int, zone: str) -> bool:
        """Return whether a fault was found, or brought back, that nothing has mended since."""
        found = self.last(
            at, Act.CHECK, Act.INSULATION_TEST, zone=zone, outcomes=("fault", "not clear", *REPORTS)
        )
        landed = self.last(at, Act.TAKE_OFF, zone=zone)
        while landed > found and not self._brought_back(landed, zone):
            landed = self.last(landed, Act.TAKE_OFF, zone=zone)
        found = max(found, landed)
        return found >= 0 and not any(
            deed.zone == zone
            and (deed.act is Act.REPAIR or (deed.act, deed.item) == (Act.PUT_ON, "lead"))
            for deed, _ in self.events[found + 1 : at]
        )

    def _brought_back(self, landed: int, zone: str) -> bool:
        """Return whether a lead was landed that had been lifted off a fault."""
        deed, outcome = self.events[landed]
        if deed.item != "lead" or outcome == LEFT_OFF:
            return False
        for then in range(landed - 1, -1, -1):
            deed, _ = self.events[then]
            if (deed.item, deed.zone) == ("lead", zone):
                if deed.act is Act.TAKE_OFF:
                    return False
                if self.fault(then, zone):
                    return True
        return False

    def clear_since(self, at: int, zone: str, start: int) -> bool:
        """Return whether a whole check read clear after an event, and no work undid it."""
        check = self.last(
            at, Act.CHECK, Act.INSULATION_TEST, zone=zone, outcomes=("clear",), part=False
        )
        if check <= start or self.fault(check, zone):
            return False
        return not any(
            deed.zone == zone
            and (
                deed.act is Act.REPAIR
                or (deed.act is Act.TAKE_OFF and deed.item == "lead")
                or (deed.act in (Act.CHECK, Act.INSULATION_TEST) and outcome != "clear")
            )
            for deed, outcome in self.events[check + 1 : at]
        )

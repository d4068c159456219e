"""The power model cut into slices: a rule speaks of one zone, one device, one box or one item.

A slice keeps the variables that one rule reads, and every variable that can change those; the
others stand at a value that nothing is held against. So a slice is moved and judged by
`engine.power` itself, on its own few states, and what is proved on every slice is proved of the
whole. Two laws make that true, and the tests hold `engine.power` to them in states of every kind:

* *closed*: what an act does to the variables of a slice follows from those variables alone;
* *complete*: whatever stands against an act stands against it in some slice, and nothing else.

A refusal belongs to a slice if it stands whatever the rest may be. The rest is tried at each of
`REST`: for every refusal about something else there is one among them that silences it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TypeVar

from engine import power
from engine.layouts import Box, Device, Layout, Zone, ZoneKind
from engine.power import REPORTS, Act, Cover, Deed, Insulation, Position, Proof, State

LEADS = ("lead", "lead lifted off a fault")
"""Items that stand between a fault and its zone."""
QUIET_STOP = "their lock"
"""A reason to stop that stops nothing else, and for which a walk can be withdrawn."""
REST = (
    (Cover.SHUT, Position.CLOSED),
    (Cover.OPEN, Position.OPEN),
    (Cover.BARRIER_SEEN, Position.LOCKED),
    (Cover.SHUT, Position.TAGGED),
)
"""How boxes and devices outside a slice may stand."""

Stands = tuple[str, str]
"""The rule and the sentence of a refusal."""


@dataclass(frozen=True)
class Slice:
    """A few variables of the power model; those that go by position are named by position."""

    name: str
    layout: Layout
    position: frozenset[int] = frozenset()
    trips: frozenset[int] = frozenset()
    proof: frozenset[int] = frozenset()
    charged: frozenset[int] = frozenset()
    insulation: frozenset[int] = frozenset()
    cover: frozenset[int] = frozenset()
    leads: frozenset[str] = frozenset()
    """The zones whose lifted leads are kept."""
    cause: bool = False
    """Whether a cause was found."""
    items: frozenset[str] = frozenset()
    """The zones of which every other item is kept."""
    visit: bool = False
    """Look-over, people clear, told, verified, the reason to stop."""
    anywhere: frozenset[Act] = frozenset(Act)
    """The acts that can matter to the slice wherever they are done."""
    about: frozenset[str] = frozenset()
    """Zones, devices and boxes of which `here` can matter to it."""
    here: frozenset[Act] = frozenset(Act)
    finer: tuple[Slice, ...] = ()
    """Slices with fewer variables that between them hold all that this one holds."""
    exact: Slice | None = None
    """The slice that clears or confirms what this one finds; None where this one is exact."""

    @cached_property
    def quiet(self) -> State:
        """A state in which nothing is held against any act, but for boxes and devices."""
        zones = self.layout.zones
        return power.begin(self.layout)._replace(
            proof=tuple(
                Proof.LOW if zone.kind is ZoneKind.CONTROL else Proof.DEAD for zone in zones
            ),
            charged=(False,) * len(zones),
            insulation=(Insulation.CLEAR,) * len(zones),
            verified=(True,) * len(zones),
            looked_over=True,
            told=True,
            stop=QUIET_STOP,
        )

    @cached_property
    def rest(self) -> tuple[State, ...]:
        """The quiet state with boxes and devices standing in each way that there is."""
        boxes, devices = len(self.layout.boxes), len(self.layout.devices)
        return tuple(
            self.quiet._replace(cover=(cover,) * boxes, position=(position,) * devices)
            for cover, position in REST
        )

    def of(self, state: State) -> State:
        """Return a state with everything outside the slice quiet."""
        return self.put_into(self.quiet, state)

    def put_into(self, rest: State, state: State) -> State:
        """Return ``rest`` with the variables of the slice as they are in ``state``."""
        seen = state if self.visit else rest
        return State(
            _kept(self.position, state.position, rest.position),
            _kept(self.trips, state.trips, rest.trips),
            _kept(self.proof, state.proof, rest.proof),
            _kept(self.charged, state.charged, rest.charged),
            _kept(self.insulation, state.insulation, rest.insulation),
            seen.verified,
            _kept(self.cover, state.cover, rest.cover),
            frozenset(one for one in state.items if self._keeps(*one)) if state.items else _NONE,
            seen.looked_over,
            seen.clear,
            seen.told,
            state.cause_found if self.cause else rest.cause_found,
            seen.stop,
        )

    def _keeps(self, item: str, zone: str) -> bool:
        return zone in (self.leads if item in LEADS else self.items)

    def concerned_by(self, deed: Deed, counts_as: str = "") -> bool:
        """Return whether a deed can be held against by the slice, or move it."""
        if deed.act in self.anywhere or counts_as in REPORTS:
            return True
        if deed.act not in self.here:
            return False
        return not self.about.isdisjoint((deed.zone, deed.device, deed.box))

    def against(self, state: State, deed: Deed) -> tuple[Stands, ...]:
        """Return what stands against a deed in a state of the slice, whatever the rest may be."""
        if not self.concerned_by(deed):
            return ()
        found: dict[Stands, None] | None = None
        for rest in self.rest:
            refused = power.refusals(self.layout, self.put_into(rest, state), deed)
            now = dict.fromkeys((one.rule, one.sentence) for one in refused)
            found = now if found is None else {one: None for one in found if one in now}
            if not found:
                return ()
        return tuple(found or ())

    def after(self, state: State, deed: Deed, counts_as: str) -> State:
        """Return the state of the slice after a deed that counts as a word."""
        if not self.concerned_by(deed, counts_as):
            return state
        return self.of(power.apply(self.layout, state, deed, counts_as))

    def cause_found(self, state: State) -> State:
        """Return the state of the slice once a finding names the cause."""
        if not self.cause:
            return state
        return self.of(power.cause_found(self.layout, state))


_NONE: frozenset[tuple[str, str]] = frozenset()


T = TypeVar("T")


def _kept(kept: frozenset[int], values: tuple[T, ...], rest: tuple[T, ...]) -> tuple[T, ...]:
    if not kept:
        return rest
    return tuple(values[at] if at in kept else rest[at] for at in range(len(rest)))


def slices(layout: Layout) -> tuple[Slice, ...]:
    """Return the slices of a layout: together they hold every rule."""
    return tuple(_slices(layout))


def _slices(layout: Layout) -> Iterator[Slice]:
    yield Slice("the visit", layout, visit=True)
    for at, device in enumerate(layout.devices):
        yield _device(layout, at, device)
    for at, box in enumerate(layout.boxes):
        yield _box(layout, at, box)
    for at, zone in enumerate(layout.zones):
        ahead = devices_ahead(layout, at)
        yield _zone(layout, at, zone, ahead)
        yield _faults(layout, at, ahead)
        yield _items(layout, zone)


def _device(layout: Layout, at: int, device: Device) -> Slice:
    return Slice(
        f"how the {device.name} stands",
        layout,
        position=frozenset({at}),
        anywhere=frozenset({Act.SWITCH_ON, Act.END}),
        about=frozenset({device.name}),
    )


def _box(layout: Layout, at: int, box: Box) -> Slice:
    reached = (device.name for device in layout.devices if device.box == box.name)
    return Slice(
        f"the cover of the {box.name}",
        layout,
        cover=frozenset({at}),
        anywhere=frozenset({Act.SWITCH_ON, Act.RUN, Act.END}),
        about=frozenset({box.name, *reached}),
    )


def _zone(layout: Layout, at: int, zone: Zone, ahead: frozenset[int]) -> Slice:
    """Return the slice of a zone's proof and charge, with the barriers that may be before it."""
    shown = [box.name for box in layout.boxes if zone.name in (*box.exposes, *box.behind)]
    reached = (device.name for device in layout.devices if device.box in shown)
    return Slice(
        f"proof and charge of {zone.name}",
        layout,
        position=ahead,
        proof=frozenset({at}),
        charged=frozenset({at}),
        cover=frozenset(n for n, box in enumerate(layout.boxes) if zone.name in box.behind),
        anywhere=frozenset({Act.TRY, Act.AWAY, Act.SWITCH_ON, Act.END}),
        about=frozenset({zone.name, *shown, *reached, *_names(layout, ahead)}),
    )


def _names(layout: Layout, devices: Iterable[int]) -> Iterator[str]:
    return (layout.devices[at].name for at in devices)


def _faults(layout: Layout, zone: int, ahead: frozenset[int]) -> Slice:
    """Return the slice of one zone's faults and of every trip ahead of it."""
    name = layout.zones[zone].name
    devices = [device for device, fed in enumerate(layout.feeds) if zone in fed]
    known = frozenset({zone})
    fault = Slice(
        f"a fault of {name}",
        layout,
        position=ahead,
        insulation=known,
        leads=frozenset({name}),
        anywhere=_WITH_ITEMS,
        about=frozenset({name, *_names(layout, ahead)}),
        here=_OF_FAULTS,
    )
    fed = frozenset({zone}).union(*(layout.feeds[device] for device in devices))
    return replace(
        fault,
        name=f"faults of {name}",
        trips=frozenset(devices),
        cause=True,
        anywhere=_WITH_ITEMS | _FINDING,
        about=fault.about.union(_names(layout, devices), (layout.zones[at].name for at in fed)),
        finer=(
            fault,
            *(_trips(layout, device, frozenset()) for device in devices),
            *(_trips(layout, device, known) for device in devices),
        ),
    )


def _trips(layout: Layout, device: int, zone: frozenset[int]) -> Slice:
    """Return the slice of a device's trips, with the insulation of a zone that it feeds, or none.

    A lead lifted off a fault in another zone spares the device the count of a trip, too. The slice
    does not see that and leaves the count as it was, which is worse; the exact one sees it.
    """
    fed = layout.feeds[device]
    names = frozenset(layout.zones[at].name for at in fed)
    position = frozenset({device}).union(*(devices_ahead(layout, at) for at in fed))
    faults = "".join(f", faults of {layout.zones[at].name}" for at in zone)
    alone = Slice(
        f"trips of the {layout.devices[device].name}{faults}",
        layout,
        position=position,
        trips=frozenset({device}),
        insulation=zone,
        leads=frozenset(layout.zones[at].name for at in zone),
        cause=True,
        anywhere=_FINDING | {Act.SWITCH_ON},
        about=names.union(_names(layout, position)),
        here=_OF_FAULTS,
    )
    return replace(alone, exact=replace(alone, insulation=frozenset(fed), leads=names))


_FINDING = frozenset({Act.CHECK, Act.INSULATION_TEST})
"""Acts that find a cause wherever they are done."""
_OF_DEVICES = frozenset({Act.SWITCH_OFF, Act.LOCK_OUT, Act.UNLOCK, Act.TAG_OUT})
_OF_ITEMS = frozenset({Act.PUT_ON, Act.TAKE_OFF})
_WITH_ITEMS = frozenset({Act.SWITCH_ON, Act.RUN, Act.VERIFY, Act.END})
"""Acts that some item on anywhere stands against."""
_OF_FAULTS = (
    _OF_DEVICES | _OF_ITEMS | {Act.CHECK, Act.INSULATION_TEST, Act.REPAIR, Act.VERIFY, Act.END}
)


def _items(layout: Layout, zone: Zone) -> Slice:
    return Slice(
        f"items on {zone.name}",
        layout,
        items=frozenset({zone.name}),
        anywhere=_WITH_ITEMS,
        about=frozenset({zone.name}),
        here=_OF_ITEMS,
    )


def way_alone(layout: Layout) -> Slice:
    """Return the slice that keeps nothing: every act is permitted and changes nothing."""
    return Slice("the way alone", layout, anywhere=frozenset(), here=frozenset())


def whole(layout: Layout) -> Slice:
    """Return the slice that keeps everything: the power model itself."""
    devices, zones = frozenset(range(len(layout.devices))), frozenset(range(len(layout.zones)))
    return Slice(
        "everything",
        layout,
        position=devices,
        trips=devices,
        proof=zones,
        charged=zones,
        insulation=zones,
        cover=frozenset(range(len(layout.boxes))),
        leads=frozenset(layout.zone_at),
        cause=True,
        items=frozenset(layout.zone_at),
        visit=True,
    )


def devices_ahead(layout: Layout, zone: int) -> frozenset[int]:
    """Return the devices that lie between a zone and some source, on any way without a loop."""
    links = [
        (layout.zone_at[device.line], layout.zone_at[device.load]) for device in layout.devices
    ]
    sources = {layout.zone_at[source.zone] for source in layout.sources}
    found: set[int] = set()

    def follow(at: int, passed: tuple[int, ...], seen: frozenset[int]) -> None:
        if at in sources:
            found.update(passed)
        for device, ends in enumerate(links):
            if at in ends:
                other = ends[0] if ends[1] == at else ends[1]
                if other not in seen:
                    follow(other, (*passed, device), seen | {other})

    follow(zone, (), frozenset({zone}))
    return frozenset(found)

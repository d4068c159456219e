"""Where the electricity goes: zones joined by devices, the boxes that show them, the sources.

A tree names a layout; it can add nothing to one and take nothing away, so a tree cannot vouch
for itself. What a kind of device or box may be used for is the engine's, in the two tables here.

Sources: 29 CFR 1910.147(b) for what isolates (a push-button, selector switch or other control
circuit device does not), 1910.147(a)(2)(iii)(A) for the plug of cord-connected equipment. How a
rooftop unit is fed and which box shows what is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from types import MappingProxyType


class ZoneKind(StrEnum):
    """What a stretch of circuit is to the hands."""

    SERVICE = "service"
    """Ahead of the main: nobody's hands."""
    POWER = "power"
    """50 V and more."""
    CONTROL = "control"
    """Under 50 V once a reading has shown it."""


@dataclass(frozen=True, slots=True)
class DeviceType:
    """What a kind of device is good for."""

    isolates: bool
    """A lock on it counts."""
    protects: bool
    """It trips or blows by itself, so what it feeds may hold a fault."""
    needs_check: bool = True
    """After a trip, what it feeds is checked to ground and phase to phase before it is reset."""


DEVICE_TYPES: Mapping[str, DeviceType] = MappingProxyType(
    {
        "main": DeviceType(isolates=True, protects=True),
        "breaker": DeviceType(isolates=True, protects=True),
        "fused disconnect": DeviceType(isolates=True, protects=True),
        "disconnect": DeviceType(isolates=True, protects=False),
        "plug": DeviceType(isolates=True, protects=False),
        "fuse": DeviceType(isolates=False, protects=True),
        "limit": DeviceType(isolates=False, protects=True, needs_check=False),
        "not isolating": DeviceType(isolates=False, protects=False),
    }
)
"""Contactor, relay, thermostat, float, push-button and a drive's stop are *not isolating*."""


class Opened(StrEnum):
    """In which state of its zones a box may be opened."""

    LIVE = "live or dead"
    STOPPED = "locked out, tried and stopped"
    PROVEN = "proven dead"


@dataclass(frozen=True, slots=True)
class BoxType:
    """When a kind of box may be opened, and whether its cover is a guard."""

    opened: Opened
    guard: bool
    """It must be shut whenever something is switched on or run."""


BOX_TYPES: Mapping[str, BoxType] = MappingProxyType(
    {
        "panel": BoxType(Opened.LIVE, guard=True),
        "disconnect box": BoxType(Opened.LIVE, guard=True),
        "control box": BoxType(Opened.LIVE, guard=False),
        "thermostat": BoxType(Opened.LIVE, guard=False),
        "burner": BoxType(Opened.LIVE, guard=False),
        "heat box": BoxType(Opened.LIVE, guard=False),
        "compressor terminals": BoxType(Opened.PROVEN, guard=True),
        "moving parts": BoxType(Opened.STOPPED, guard=True),
        "drive": BoxType(Opened.STOPPED, guard=True),
    }
)


@dataclass(frozen=True, slots=True)
class Zone:
    """A stretch of circuit between devices."""

    name: str
    kind: ZoneKind
    stores: bool = False
    """Capacitors there hold a charge after it is off."""


@dataclass(frozen=True, slots=True)
class Device:
    """What joins two zones; energy passes both ways, whichever side is called the line."""

    name: str
    type: str
    """A key of `DEVICE_TYPES`."""
    line: str
    load: str
    box: str = ""
    """The box in which it is reached; empty where its handle is outside."""


@dataclass(frozen=True, slots=True)
class Box:
    """A place where hands go, and which zones they meet there."""

    name: str
    type: str
    """A key of `BOX_TYPES`."""
    exposes: tuple[str, ...]
    behind: tuple[str, ...] = ()
    """Zones behind a fixed barrier; as exposed as the others until the barrier was seen."""


@dataclass(frozen=True, slots=True)
class Source:
    """Something that can make a zone live."""

    name: str
    zone: str


@dataclass(frozen=True)
class Layout:
    """How one kind of unit is fed. Names are unique within zones, devices and boxes."""

    name: str
    zones: tuple[Zone, ...]
    devices: tuple[Device, ...]
    boxes: tuple[Box, ...]
    sources: tuple[Source, ...]
    unit: str = "unit"
    """The zone of the machine itself: what runs, and what is left made safe."""

    @cached_property
    def zone_at(self) -> Mapping[str, int]:
        """Position of each zone by name."""
        return {zone.name: at for at, zone in enumerate(self.zones)}

    @cached_property
    def device_at(self) -> Mapping[str, int]:
        """Position of each device by name."""
        return {device.name: at for at, device in enumerate(self.devices)}

    @cached_property
    def box_at(self) -> Mapping[str, int]:
        """Position of each box by name."""
        return {box.name: at for at, box in enumerate(self.boxes)}

    def zone(self, name: str) -> Zone:
        """Return the zone of that name; raises KeyError."""
        return self.zones[self.zone_at[name]]

    def device(self, name: str) -> Device:
        """Return the device of that name; raises KeyError."""
        return self.devices[self.device_at[name]]

    def box(self, name: str) -> Box:
        """Return the box of that name; raises KeyError."""
        return self.boxes[self.box_at[name]]

    @cached_property
    def _links(self) -> tuple[int, ...]:
        return tuple(
            1 << self.zone_at[device.line] | 1 << self.zone_at[device.load]
            for device in self.devices
        )

    @cached_property
    def _fed(self) -> int:
        return sum(1 << at for at in {self.zone_at[source.zone] for source in self.sources})

    def reached(self, passes: Callable[[int], bool], start: int | None = None) -> int:
        """Return the zones that a source reaches, as a set of bits by position in `zones`.

        ``passes`` says of a device, by position, whether energy passes it; ``start`` is a set of
        zones to begin at instead of the sources.
        """
        links = [link for at, link in enumerate(self._links) if passes(at)]
        reached, before = self._fed if start is None else start, 0
        while reached != before:
            before = reached
            for link in links:
                if reached & link:
                    reached |= link
        return reached

    @cached_property
    def feeds(self) -> tuple[tuple[int, ...], ...]:
        """By position of a device: the zones on its load side, near and far, by position.

        A device answers for zones of its own load side's kind: a breaker for the power it feeds
        (a transformer's primary is power), a control fuse for the control circuit.
        """
        return tuple(self._load_side(device) for device in self.devices)

    def _load_side(self, device: Device) -> tuple[int, ...]:
        kind = self.zone(device.load).kind
        seen = [device.load]
        for name in seen:
            seen += [d.load for d in self.devices if d.line == name and d.load not in seen]
        return tuple(
            at for at, zone in enumerate(self.zones) if zone.name in seen and zone.kind is kind
        )


_SERVICE, _POWER, _CONTROL = ZoneKind

_ZONES = (
    Zone("service", _SERVICE),
    Zone("bus", _POWER),
    Zone("feeder", _POWER),
    Zone("unit", _POWER, stores=True),
    Zone("control", _CONTROL),
)
_DEVICES = (
    Device("main", "main", "service", "bus"),
    Device("breaker", "breaker", "bus", "feeder"),
    Device("disconnect", "disconnect", "feeder", "unit"),
    Device("control fuse", "fuse", "unit", "control", box="control box"),
)
_UNIT_BOXES = (
    Box("compressor terminals", "compressor terminals", ("unit",)),
    Box("fan", "moving parts", ("unit",)),
    Box("thermostat", "thermostat", ("control",)),
    Box("burner", "burner", ("control",)),
)
_BOXES = (
    Box("panel", "panel", ("bus", "feeder"), behind=("service",)),
    Box("disconnect box", "disconnect box", ("unit",), behind=("feeder",)),
    Box("control box", "control box", ("unit", "control")),
    *_UNIT_BOXES,
)
_UTILITY = Source("utility", "service")

_SINGLE_FEED = Layout("single feed", _ZONES, _DEVICES, _BOXES, (_UTILITY,))
"""One supply, one disconnect at the unit, its own control transformer."""

_TWO_FEEDS = Layout(
    "two feeds and outlet",
    (
        *_ZONES,
        Zone("house", _POWER),
        Zone("outlet", _POWER),
        Zone("heat", _POWER),
    ),
    (
        *_DEVICES,
        Device("outlet breaker", "breaker", "house", "outlet"),
        Device("heat disconnect", "disconnect", "feeder", "heat"),
    ),
    (
        *(box for box in _BOXES if box.name != "control box"),
        Box("control box", "control box", ("unit", "outlet", "control")),
        Box("heat box", "heat box", ("heat",)),
    ),
    (_UTILITY, Source("house feed", "house")),
)
"""A convenience outlet with its own feed in the control box; heat behind its own disconnect."""

_BUILDING_CONTROLS = Layout(
    "building controls",
    (*_ZONES, Zone("building controls", _CONTROL)),
    (*_DEVICES, Device("bas plug", "plug", "building controls", "control")),
    _BOXES,
    (_UTILITY, Source("building controls", "building controls")),
)
"""Foreign 24 V on the control side, which can drive the control transformer backwards."""

_CORD_CONNECTED = Layout(
    "cord-connected",
    (Zone("house", _POWER), Zone("outlet", _POWER), *_ZONES[3:]),
    (
        Device("outlet breaker", "breaker", "house", "outlet"),
        Device("plug", "plug", "outlet", "unit"),
        _DEVICES[3],
    ),
    (_BOXES[2], *_UNIT_BOXES[:3]),
    (Source("house feed", "house"),),
)
"""Plugged in: the plug in the technician's sole control counts as the lock."""

_WITH_DRIVE = Layout(
    "with drive",
    (*_ZONES, Zone("motor", _POWER, stores=True)),
    (*_DEVICES, Device("drive", "not isolating", "unit", "motor", box="drive")),
    (
        *(box for box in _BOXES if box.name != "fan"),
        Box("drive", "drive", ("unit", "motor")),
        Box("fan", "moving parts", ("motor",)),
    ),
    (_UTILITY,),
)
"""A fan motor behind a drive whose bus capacitors hold a charge."""

LAYOUTS: Mapping[str, Layout] = MappingProxyType(
    {
        layout.name: layout
        for layout in (_SINGLE_FEED, _TWO_FEEDS, _BUILDING_CONTROLS, _CORD_CONNECTED, _WITH_DRIVE)
    }
)
"""The shipped layouts by name; `Layout` objects are compared by value."""

"""Parts that turn: compressors and fans, single-phase and three-phase, with their protection."""

from __future__ import annotations

from engine.quantity import Kind
from engine.unit.machines import (
    COMPRESSOR_3,
    COMPRESSORS,
    FAN_3,
    FANS,
    WINDINGS,
    Use,
    nearest,
    single_phase,
    three_phase,
)
from engine.unit.netlist import OPEN, Draft, Protection
from engine.unit.part import PartKind, Placed, Setting
from engine.unit.parts_supply import CAPACITOR

OVERLOAD_K = 150.0
OVERLOAD = 1.15
"""Times its rated load amps at which an internal overload begins to count; fitted to seven seconds
with a locked rotor, common practice, no source."""
FAN_OVERLOAD = 1.3
LEAD = 0.005
"""Ohms of a motor's lead."""


def _overload(draft: Draft, name: str, watches: tuple[str, ...], amps: float) -> None:
    rated = draft.param(f"{name}.amps", amps)
    draft.protections.append(Protection(name, watches, rated, OVERLOAD_K))


def _star_overload(draft: Draft, name: str, watches: tuple[str, ...], amps: float) -> None:
    _overload(draft, name, watches, amps)
    draft.param(f"{name} ohms", 0.0)
    draft.param(f"{name} weld", 0.0)


def _compressor(draft: Draft, part: Placed) -> None:
    name = part.name
    for post in ("C", "R", "S"):
        ends = f"{name}.lead.{post}", f"{name}.{post}"
        lead = draft.branch(f"{name}.lead.{post}", *ends, LEAD, lifts=(ends[1],))
        draft.clamps[ends[1]] = lead
    overload, common = f"{name}.overload", f"{name}.common"
    draft.branch(overload, f"{name}.C", common, switches=(f"whole:{overload}",))
    _overload(draft, overload, (overload,), OVERLOAD * part.number("rla"))
    size = part.number("tons"), part.number("volts")
    use = Use(False, part.word("cooled by"), tapped=part.tapped)
    ends_ = common, f"{name}.R", f"{name}.S"
    single_phase(draft, name, ends_, nearest(COMPRESSORS, size[0]), size, use)


def _compressor_3(draft: Draft, part: Placed) -> None:
    name, posts = part.name, ("T1", "T2", "T3")
    for post in posts:
        ends = f"{name}.lead.{post}", f"{name}.{post}"
        lead = draft.branch(f"{name}.lead.{post}", *ends, LEAD, lifts=(ends[1],))
        draft.clamps[ends[1]] = lead
    overload = f"{name}.overload"
    watches = tuple(f"{name}.lead.{post}" for post in posts)
    _star_overload(draft, overload, watches, OVERLOAD * part.number("rla"))
    size = part.number("tons"), part.number("volts")
    use = Use(False, part.word("cooled by"), overload, part.tapped)
    three_phase(draft, name, (f"{name}.T1", f"{name}.T2", f"{name}.T3"), COMPRESSOR_3, size, use)


def _fan(draft: Draft, part: Placed) -> None:
    name = part.name
    overload, common = f"{name}.overload", f"{name}.common"
    draft.branch(overload, f"{name}.lead.1", common, LEAD, switches=(f"whole:{overload}",))
    _overload(draft, overload, (overload,), FAN_OVERLOAD * part.number("fla"))
    start, uf = f"{name}.lead.3", part.number("capacitor")
    draft.node(f"{name}.lead.2", start)
    if uf:
        capacitor, ends = f"{name}.capacitor", (f"{name}.lead.2", start)
        draft.branch(capacitor, *ends, 0.05, uf=uf, tolerance=CAPACITOR)
        draft.branch(f"{capacitor}.short", *ends, OPEN)
    size = part.number("hp"), part.number("volts")
    ends_ = common, f"{name}.lead.2", start
    single_phase(draft, name, ends_, nearest(FANS, size[0]), size, Use(True, tapped=part.tapped))


def _fan_3(draft: Draft, part: Placed) -> None:
    name = part.name
    inside = []
    for leg in (1, 2, 3):
        inside.append(f"{name}.inside.{leg}")
        draft.branch(f"{name}.lead.{leg}", f"{name}.lead.{leg}", inside[-1], LEAD)
    overload = f"{name}.overload"
    watches = tuple(f"{name}.lead.{leg}" for leg in (1, 2, 3))
    _star_overload(draft, overload, watches, FAN_OVERLOAD * part.number("fla"))
    size = part.number("hp"), part.number("volts")
    use = Use(True, "", overload, part.tapped)
    three_phase(draft, name, (inside[0], inside[1], inside[2]), FAN_3, size, use)


_COMPRESSOR = {
    "tons": Setting(Kind.HEAT),
    "volts": Setting(Kind.VOLTAGE),
    "rla": Setting(Kind.CURRENT),
    "cooled by": Setting(default=""),
}
_FAN = {
    "hp": Setting(Kind.COUNT),
    "volts": Setting(Kind.VOLTAGE),
    "fla": Setting(Kind.CURRENT),
}

SINGLE = {"single-phase compressor", "single-phase fan"}
COMPRESSOR = PartKind("single-phase compressor", _COMPRESSOR, _compressor)
COMPRESSOR_KIND_3 = PartKind("three-phase compressor", _COMPRESSOR, _compressor_3)
FAN = PartKind("single-phase fan", {**_FAN, "capacitor": Setting(Kind.CAPACITANCE, 0.0)}, _fan)
FAN_KIND_3 = PartKind("three-phase fan", _FAN, _fan_3)
KINDS = (COMPRESSOR, COMPRESSOR_KIND_3, FAN, FAN_KIND_3)


def windings_of(name: str, kind: str) -> tuple[str, ...]:
    """Return the names of a part's windings; none for a part that does not turn."""
    if kind not in {one.name for one in KINDS}:
        return ()
    return tuple(f"{name}.{winding}" for winding in WINDINGS[1 if kind in SINGLE else 3])

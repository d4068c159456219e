"""Parts of the power side: breaker, disconnect, capacitors, heater, a separately fed outlet."""

from __future__ import annotations

from engine.quantity import Kind
from engine.unit.netlist import EARTH, OPEN, Draft, Protection
from engine.unit.part import PartKind, Placed, Setting

BREAKER_K = 180.0
INSTANT = 10.0
"""Times its rating from which a breaker's magnet opens it; common practice, no source."""
FUSE_K = 240.0
LUG_WATTS = 60.0
"""Heat of a lug that a breaker's bimetal feels like its rated current; judgement."""
CAPACITOR = 0.05
"""Share by which a capacitor as made differs: inside the 6 % usual on the can; judgement."""
HEATER = 0.05

POLES = Setting(words=("2", "3"))


def _breaker(draft: Draft, part: Placed) -> None:
    name = part.name
    poles = range(1, int(part.word("poles")) + 1)
    switches = (f"device:{name}", f"whole:{name}")
    for leg in poles:
        line, load, end = (f"{name}.{side}.L{leg}" for side in ("line", "load", "conductor"))
        pole = draft.branch(f"{name}.pole.L{leg}", line, load, switches=switches)
        lug = draft.branch(f"{name}.lug.L{leg}", load, end)
        draft.clamps |= {line: pole, load: pole, end: lug}
    draft.protections.append(
        Protection(
            name,
            tuple(f"{name}.pole.L{leg}" for leg in poles),
            draft.param(f"{name}.amps", part.number("amps")),
            BREAKER_K,
            INSTANT,
            tuple(f"{name}.lug.L{leg}" for leg in poles),
            LUG_WATTS,
        )
    )


def _disconnect(draft: Draft, part: Placed) -> None:
    name, amps = part.name, part.number("fuses")
    for leg in range(1, int(part.word("poles")) + 1):
        line, load = f"{name}.line.L{leg}", f"{name}.load.L{leg}"
        switch = (f"device:{name}",)
        if not amps:
            draft.branch(f"{name}.blade.L{leg}", line, load, switches=switch)
            continue
        fuse = f"{name}.fuse.L{leg}"
        draft.branch(f"{name}.blade.L{leg}", line, f"{name}.clip.L{leg}", switches=switch)
        draft.branch(fuse, f"{name}.clip.L{leg}", load, switches=(f"whole:{fuse}",))
        rated = draft.param(f"{fuse}.amps", amps)
        draft.protections.append(Protection(fuse, (fuse,), rated, FUSE_K))


def _capacitor(draft: Draft, part: Placed) -> None:
    for section in ("HERM", "FAN"):
        uf = part.number(section)
        if uf:
            name = f"{part.name}.{section}"
            ends = f"{part.name}.C", name
            draft.branch(name, *ends, 0.05, uf=uf, tolerance=CAPACITOR)
            draft.branch(f"{name}.short", *ends, OPEN)


def _heater(draft: Draft, part: Placed) -> None:
    ohms = part.number("volts") ** 2 / part.number("watts")
    ends = f"{part.name}.lead.1", f"{part.name}.lead.2"
    draft.branch(f"{part.name}.element", *ends, ohms, tolerance=HEATER)


def _outlet(draft: Draft, part: Placed) -> None:
    hot, other = f"{part.name}.1", f"{part.name}.2"
    draft.branch(f"{part.name}.hot", hot, EARTH, 0.2)
    draft.source(f"{part.name}.hot", f"{part.name}.volts", part.number("volts"))
    draft.branch(f"{part.name}.neutral", other, EARTH, 0.2)


BREAKER = PartKind("breaker", {"poles": POLES, "amps": Setting(Kind.CURRENT)}, _breaker)
DISCONNECT = PartKind(
    "disconnect", {"poles": POLES, "fuses": Setting(Kind.CURRENT, 0.0)}, _disconnect
)
CAPACITOR_KIND = PartKind(
    "run capacitor",
    {"HERM": Setting(Kind.CAPACITANCE, 0.0), "FAN": Setting(Kind.CAPACITANCE, 0.0)},
    _capacitor,
)
HEATER_KIND = PartKind(
    "heater",
    {"watts": Setting(Kind.POWER), "volts": Setting(Kind.VOLTAGE)},
    _heater,
    {"": ("lead.1", "lead.2")},
)
OUTLET = PartKind("separately fed outlet", {"volts": Setting(Kind.VOLTAGE, 120.0)}, _outlet)
KINDS = (BREAKER, DISCONNECT, CAPACITOR_KIND, HEATER_KIND, OUTLET)

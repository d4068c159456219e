"""What is said about safe work: cautions, what was reported, what is left.

The form is that of ANSI Z535.6 (*from memory*): signal word, hazard, consequence, avoidance; at
most 120 characters, one hazard each, at most two on a step. DANGER will kill or maim if not
avoided, WARNING could, CAUTION could injure lightly, NOTICE is about damage and never about
people. Nothing here claims anything about a circuit: it says what was reported, by whom, when.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from engine.layouts import Layout, ZoneKind
from engine.power import Act, Cover, Deed, State, ZoneWord, zone_words
from engine.power.acts import FOR_TEST
from engine.power.state import MINE

LONGEST = 120
MOST = 2
"""Characters in one caution, and cautions on one step."""

DEFERENCE = (
    "For people trained and authorised for this work; local code, the equipment's instructions "
    "and your employer's procedure win over this tool."
)
"""Said once when a job begins, kept with name and date, and once in the report's foot."""

LIMITS = (
    "What is said here of zones and locks is only as true as labels, layout and what was reported. "
    "It knows no voltage, arc energy or protective gear, no mislabelled breaker, no lock on the "
    "wrong switch."
)
"""Said once in the report and in the author's guide."""


class Signal(StrEnum):
    """The signal words, gravest first."""

    DANGER = "DANGER"
    WARNING = "WARNING"
    CAUTION = "CAUTION"
    NOTICE = "NOTICE"


@dataclass(frozen=True, slots=True)
class Caution:
    """One hazard, placed before the instruction."""

    signal: Signal
    text: str

    def __str__(self) -> str:
        return f"{self.signal} {self.text}"


def _warning(text: str) -> Caution:
    return Caution(Signal.WARNING, text)


def _notice(text: str) -> Caution:
    return Caution(Signal.NOTICE, text)


_SERVICE = Caution(
    Signal.DANGER,
    "Live ahead of the main; you cannot turn it off. Do not touch. Utility or licensed "
    "electrician.",
)
_HANDLE = _warning(
    "Arc at the handle. Load off first; stand to the hinge side, face away; one motion, no re-try."
)
_TERMINALS = _warning(
    "Terminals can blow out under pressure: burns, eyes. Stand aside, glasses on."
)
"""Of a hermetic compressor's terminals; common practice, no source."""
_OPEN_GOES_LIVE = _warning('Open box goes live: shock, arc. Meter placed, hands out, say "live".')
_RESET = _warning("May fault again: arc, fire. Stand aside, face away; once only.")
_STARTS = _warning("Starts the unit: caught, cut. People clear, guards on.")
_DRIVE = _warning(
    "Drive holds a charge: shock. Wait the time on its label, then read the bus in DC."
)
_OHMS = _notice("Meter and reading ruined if live. Disconnect parallel paths.")

_ALWAYS: Mapping[Act, tuple[Caution, ...]] = MappingProxyType(
    {
        Act.LOOK_OVER: (
            _warning(
                "Roof edge, hatch, weather, other trades: falls. Stop if footing, light or weather "
                "is not fit."
            ),
        ),
        Act.SWITCH_OFF: (_HANDLE,),
        Act.DISCHARGE: (
            _warning(
                "Stored charge: shock. Treat as live. Insulated bleeder 15-20 kohm, 10 s a "
                "section, then read DC. No screwdriver."
            ),
        ),
        Act.READ_DEAD: (_OHMS,),
        Act.CHECK: (_OHMS,),
        Act.INSULATION_TEST: (
            _warning(
                "500 V on the conductors: shock. Far end clear of people. Discharge afterwards."
            ),
            _notice("Electronics off the circuit first; never in a vacuum."),
        ),
        Act.HANDS_IN: (
            _warning("Can turn or start: crushed, cut. Your lock on, stopped, blocked."),
            Caution(Signal.CAUTION, "Sharp fins, hot line: cuts, burns. Gloves."),
        ),
        Act.RUN: (_STARTS,),
    }
)
_WITH_ITEM: Mapping[str, tuple[Caution, ...]] = MappingProxyType(
    {
        "jumper": (
            _STARTS,
            _notice("R to C blows the fuse. Look at both ends before you land it."),
        ),
        "bypass": (_STARTS,),
        "gauges": (
            _warning(
                "Pressure: frostbite, eyes. Goggles, gloves. Certified person only; recover, never "
                "vent."
            ),
        ),
        "open refrigerant": (
            _warning(
                "Pressure: frostbite, eyes. Goggles, gloves. Certified person only; recover, never "
                "vent."
            ),
            _warning("Nameplate says A2L, A2 or A3: fire. No ignition source; ventilate."),
        ),
        "open gas": (
            _warning("Leak or rollout can burn or kill. Shut the valve; leak-test before firing."),
            _warning("Smell of gas: fire. Leave, touch no switch, call from outside."),
        ),
    }
)

REMINDERS: Mapping[Act, str] = MappingProxyType(
    {
        Act.LOCK_OUT: "Your lock, your tag, your key. Each device on the list ticked by position.",
        Act.TRY: "Put the controls back to off afterwards.",
        Act.PROVE_DEAD: (
            "Treat as live until all three readings are in: known live, all pairs and to ground, "
            "known live. Same meter, same range, contact tester. Enter the readings."
        ),
        Act.DISCHARGE: (
            "Both sections of a dual capacitor. It counts as live until the DC reading is in."
        ),
        Act.TAG_OUT: "Your out-of-service tag, your name, the date. Then take your own lock home.",
    }
)
"""Lines that go with an act and need no signal word."""

STOP_FIRST: Mapping[str, str] = MappingProxyType(
    {
        "gas": "Leave. Touch no switch. Warn people. Call from outside.",
        "smoke": "Leave. Warn people. Call the fire department. Touch no switch.",
        "hurt": "Call for help. Do not touch a person who may still be in contact with a circuit.",
        "service": "Stay away from it. Warn people. Call the utility or a licensed electrician.",
        "water": "Stay out of the water and off the equipment. Warn people.",
        "storm": "Leave the roof. Touch no metal on the way.",
        "weather": "Stop. Leave the roof if the footing goes.",
        "unfit": "Stop. Say so; nobody has to go on.",
        "unknown source": "Hands out. Everything counts as live until every source is known.",
        "their lock": "Leave their lock alone. Find the person whose name is on it.",
    }
)
"""What to do at once for each reason to stop; the record comes after."""


def cautions(layout: Layout, state: State, deed: Deed, volts: int = 0) -> tuple[Caution, ...]:
    """Return at most two cautions for a deed, the gravest first.

    ``volts`` is the supply's line-to-line voltage as surveyed or on the nameplate; 0 if not known.
    """
    found = [*_of_place(layout, state, deed, volts), *_of_act(layout, state, deed)]
    order = list(Signal)
    return tuple(sorted(dict.fromkeys(found), key=lambda one: order.index(one.signal))[:MOST])


def _of_act(layout: Layout, state: State, deed: Deed) -> Iterator[Caution]:
    if deed.act is Act.SWITCH_ON:
        tripped = state.trips[layout.device_at[deed.device]]
        opened = any(cover is not Cover.SHUT for cover in state.cover)
        yield _RESET if tripped else _HANDLE
        if deed.mode == FOR_TEST and opened:
            yield _OPEN_GOES_LIVE
    if deed.act is Act.DISCHARGE and deed.box and layout.box(deed.box).type == "drive":
        yield _DRIVE
    if deed.act is Act.PUT_ON or deed.item in ("open refrigerant", "open gas", "gauges"):
        yield from _WITH_ITEM.get(deed.item, ())
    yield from _ALWAYS.get(deed.act, ())


def _of_place(layout: Layout, state: State, deed: Deed, volts: int) -> Iterator[Caution]:
    if deed.zone and layout.zone(deed.zone).kind is ZoneKind.SERVICE:
        yield _SERVICE
    if deed.act not in (Act.OPEN_UP, Act.READ_LIVE, Act.LOOK, Act.PROVE_DEAD) or not deed.box:
        return
    box = layout.box(deed.box)
    shown = (*box.exposes, *box.behind)
    if any(layout.zone(zone).kind is ZoneKind.SERVICE for zone in shown):
        yield _SERVICE
    if deed.act is Act.OPEN_UP and box.type == "compressor terminals":
        yield _TERMINALS
    if not any(_may_be_live(layout, state, zone) for zone in box.exposes):
        return
    supply = f"{volts} V" if volts else "Voltage not known,"
    if deed.act is Act.OPEN_UP and box.type == "panel" and (volts > 250 or not volts):
        yield _warning(
            f"{supply} exposed inside: shock, arc flash. Read the label first; no label: your "
            "employer's assessment first."
        )
    elif deed.act is Act.OPEN_UP:
        yield _warning(
            f"{supply} exposed inside: shock, arc. Only what the reading needs; stay out of the "
            "opening."
        )
    elif deed.act is Act.READ_LIVE:
        yield from _reading_live(supply, volts)


def _reading_live(supply: str, volts: int) -> Iterator[Caution]:
    """Yield the cautions on the meter and on the distance.

    Distances are the shock boundaries of NFPA 70E for AC and fixed parts: limited approach 3 ft
    6 in; restricted 1 ft for 151 to 750 V; avoid contact for 50 to 150 V (that row from memory).
    """
    yield _warning(
        f"{supply} live: shock, arc. Meter and leads CAT III 600 V, CAT IV at the service; gloves, "
        "eyes, face."
    )
    near = "1 ft from bare parts" if volts > 150 or not volts else "off bare parts"
    yield _warning(
        f"Shock within reach: probes only, one hand, stay {near}; others 3 ft 6 in away."
    )


def _may_be_live(layout: Layout, state: State, zone: str) -> bool:
    power = layout.zone(zone).kind is not ZoneKind.CONTROL
    return power and zone_words(layout, state, zone) is not ZoneWord.REPORTED_DEAD


def before_hands(layout: Layout, state: State, box: str, time: str) -> str:
    """Return the line before work in a box: what was reported dead and when, what may be live.

    ``time`` is that of the last proof, as the record has it.
    """
    words = {zone.name: zone_words(layout, state, zone.name) for zone in layout.zones}
    dead = [name for name, word in words.items() if word is ZoneWord.REPORTED_DEAD]
    live = [name for name, word in words.items() if word in (ZoneWord.LIVE, ZoneWord.UNKNOWN)]
    here = [name for name in live if name in (*layout.box(box).exposes, *layout.box(box).behind)]
    said = f"Reported dead at {time}: {', '.join(dead)}." if dead else "Nothing reported dead."
    if live:
        said += f" Still live: {', '.join(live)}."
    if here:
        said += f" In this box: {', '.join(here)}."
    return said


def left_behind(layout: Layout, state: State) -> tuple[str, ...]:
    """Return what is on, open or locked as the walk stands, for leaving and for the report."""
    return (
        *(f"{item} on {zone}" for item, zone in sorted(state.items)),
        *(
            f"{box.name} open"
            for at, box in enumerate(layout.boxes)
            if state.cover[at] is not Cover.SHUT
        ),
        *(
            f"own lock on {device.name}"
            for at, device in enumerate(layout.devices)
            if state.position[at] in MINE
        ),
    )

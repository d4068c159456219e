"""Random walks that only do what is permitted: recipes with steps left out, swapped and added."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from engine.layouts import DEVICE_TYPES, LAYOUTS, Layout, ZoneKind
from engine.power import (
    ITEMS,
    MODES,
    OUTCOMES,
    Act,
    Cover,
    Deed,
    Position,
    State,
    apply,
    begin,
    may_count_as,
    misfit,
    refusals,
)
from tests.event_log import Event
from tests.sequences import TOLD_ON

EVERY_LAYOUT = (*LAYOUTS.values(), *TOLD_ON.values())
LEFT_OUT = 0.1
"""Chance that a step of a recipe is left out."""
ADDED = 0.12
"""Chance that any other permitted deed comes in between."""
WORST = 0.15
"""Chance that an outcome is any but the best."""
REPORTED = 0.02
"""Chance that something is reported."""

_SEEN = (
    "tripped",
    "found tripped",
    "their lock",
    "their lock gone",
    "damaged",
    "found jumper",
    "storm",
    "gas",
)


def walk(random: Random, layout: Layout, length: int = 60) -> tuple[list[Event], list[State]]:
    """Return the events of one walk, each permitted, and the state before each and at the end."""
    events: list[Event] = []
    states = [begin(layout)]
    for deed in _wanted(random, layout):
        if len(events) >= length:
            break
        if random.random() < REPORTED:
            _do(layout, events, states, *_report(random, layout))
        if random.random() < ADDED:
            _do(layout, events, states, *_anything(random, layout))
        if random.random() >= LEFT_OUT:
            _do(layout, events, states, deed, _outcome(random, deed.act))
    return events, states


def _do(layout: Layout, events: list[Event], states: list[State], deed: Deed, outcome: str) -> None:
    state = states[-1]
    if misfit(layout, deed) or refusals(layout, state, deed):
        return
    if deed.act is Act.CLOSE_UP and state.cover[layout.box_at[deed.box]] is Cover.SHUT:
        return
    if outcome == "their lock gone" and state.position[layout.device_at[deed.device]] not in (
        Position.THEIRS,
        Position.BOTH,
    ):
        return
    events.append((deed, outcome))
    states.append(apply(layout, state, deed, outcome))


def _outcome(random: Random, act: Act) -> str:
    words = OUTCOMES[act] or ("done",)
    if act is Act.TAKE_OFF:
        return random.choice(words)
    worst = WORST / 10 if act is Act.LOOK_OVER else WORST
    return words[0] if random.random() >= worst else random.choice(words)


def _report(random: Random, layout: Layout) -> Event:
    word = random.choices(_SEEN, weights=(4, 4, 3, 3, 1, 3, 1, 1))[0]
    if "tripped" in word:
        protects = [one for one in layout.devices if DEVICE_TYPES[one.type].protects]
        return Deed(Act.ASK, device=random.choice(protects).name), word
    if word == "found jumper":
        return Deed(Act.ASK, zone=layout.unit), word
    device = random.choice(layout.devices).name if word not in ("storm", "gas") else ""
    return Deed(Act.ASK, device=device), word


def _anything(random: Random, layout: Layout) -> Event:
    act = random.choice(list(Act))
    box = random.choice(layout.boxes)
    deed = Deed(
        act,
        zone=random.choice((*box.exposes, *box.behind)),
        device=random.choice(layout.devices).name if act in _OF_DEVICES else "",
        box=box.name,
        item=random.choice(list(ITEMS)) if act in (Act.PUT_ON, Act.TAKE_OFF) else "",
        mode=random.choice(MODES[act]) if act in MODES else "",
        unread=_PART if random.random() < 0.2 and act in _READ_IN_PART else (),
    )
    return deed, random.choice(may_count_as(act)[: max(1, len(OUTCOMES[act]))])


_PART = ("some of the points",)
_READ_IN_PART = (Act.CHECK, Act.PROVE_DEAD, Act.DISCHARGE, Act.READ_LIVE)
_OF_DEVICES = (Act.SWITCH_OFF, Act.LOCK_OUT, Act.UNLOCK, Act.SWITCH_ON, Act.TAG_OUT)
_WORK = (
    Act.READ_DEAD, Act.CHECK, Act.CHECK, Act.HANDS_ON, Act.REPAIR, Act.HANDS_IN, Act.PUT_ON,
    Act.TAKE_OFF, Act.INSULATION_TEST, Act.DISCHARGE, Act.READ_LIVE, Act.LOOK,
)  # fmt: skip


def _wanted(random: Random, layout: Layout) -> Iterator[Deed]:
    while True:
        box = random.choice(layout.boxes)
        handles = [one.name for one in layout.devices if DEVICE_TYPES[one.type].isolates]
        devices = random.sample(handles, random.randint(1, min(3, len(handles))))
        if random.random() < 0.6:
            yield from _isolate(layout, box.name, devices)
        else:
            yield from (Deed(Act.LOOK_OVER), Deed(Act.OPEN_UP, box=box.name))
        for _ in range(random.randint(1, 5)):
            yield _work(random, layout, box.name)
        yield from _back(random, layout, devices)


def _isolate(layout: Layout, box: str, devices: list[str]) -> Iterator[Deed]:
    shown = layout.box(box)
    zones = [
        zone for zone in (*shown.exposes, *shown.behind) if layout.zone(zone).kind is ZoneKind.POWER
    ] or [layout.unit]
    yield Deed(Act.LOOK_OVER)
    for device in devices:
        yield Deed(Act.SWITCH_OFF, device=device)
        yield Deed(Act.LOCK_OUT, device=device)
    yield Deed(Act.TRY, zone=zones[0])
    yield Deed(Act.OPEN_UP, box=box)
    for act in (Act.PROVE_DEAD, Act.DISCHARGE):
        for zone in zones:
            yield Deed(act, zone=zone, box=box)


def _work(random: Random, layout: Layout, box: str) -> Deed:
    act = random.choice(_WORK)
    shown = layout.box(box)
    return Deed(
        act,
        zone=random.choice((*shown.exposes, *shown.behind)),
        box=box,
        item=random.choice(list(ITEMS)) if act in (Act.PUT_ON, Act.TAKE_OFF) else "",
    )


def _back(random: Random, layout: Layout, devices: list[str]) -> Iterator[Deed]:
    mode = random.choice(MODES[Act.SWITCH_ON])
    if mode == "for service":
        for box in layout.boxes:
            yield Deed(Act.CLOSE_UP, box=box.name)
    yield Deed(Act.ALL_CLEAR)
    for device in devices:
        yield Deed(Act.UNLOCK, device=device)
    for one in layout.devices:
        yield Deed(Act.SWITCH_ON, device=one.name, mode=mode)
    yield Deed(Act.RUN, zone=layout.unit, mode=mode)
    yield Deed(Act.VERIFY, zone=layout.unit)
    yield Deed(Act.TELL)
    yield Deed(Act.END, mode=random.choice(MODES[Act.END]))

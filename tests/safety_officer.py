"""What a safety officer asks of every act in a log; see `tests.event_log`."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from engine.layouts import BOX_TYPES, DEVICE_TYPES, Layout, Opened, ZoneKind
from engine.power import Act, Deed
from tests.event_log import Event, Log

OUTSIDE = ("gauges", "open refrigerant", "open gas")
HARMLESS = ("series meter", "gauges")
MEASURES = (Act.READ_DEAD, Act.CHECK, Act.INSULATION_TEST)
LEAVING = (Act.ASK, Act.TELL, Act.AWAY)
MAKING_SAFE = (
    *LEAVING, Act.SWITCH_OFF, Act.LOCK_OUT, Act.TAKE_OFF, Act.CLOSE_UP, Act.ALL_CLEAR, Act.UNLOCK,
    Act.TAG_OUT,
)  # fmt: skip


def complaints(layout: Layout, events: Sequence[Event]) -> Iterator[tuple[int, str]]:
    """Yield every event that should not have happened, by number from 1, with why."""
    log = Log(layout, events)
    for at, (deed, _) in enumerate(events):
        for why in (*_any_act(log, at, deed), *_QUESTIONS.get(deed.act, _nothing)(log, at, deed)):
            yield at + 1, why


def _nothing(log: Log, at: int, deed: Deed) -> Iterator[str]:
    yield from ()


def _any_act(log: Log, at: int, deed: Deed) -> Iterator[str]:
    stop = log.stop(at) - {"their lock"}
    withdrawn = (deed.act, deed.mode) == (Act.END, "withdrawn")
    if stop & {"gas", "smoke"} and deed.act not in LEAVING and not withdrawn:
        yield "something other than leaving after gas or smoke"
    made_safe = deed.act is Act.END and deed.mode != "in service"
    if stop and deed.act not in MAKING_SAFE and not made_safe:
        yield "work went on after a stop"
    if deed.device and deed.act in (Act.SWITCH_OFF, Act.SWITCH_ON) and _theirs(log, at, deed):
        yield "somebody else's lock"


def _theirs(log: Log, at: int, deed: Deed) -> bool:
    said = [
        outcome
        for one, outcome in log.events[:at]
        if (one.on or one.device) == deed.device and outcome.startswith("their lock")
    ]
    return bool(said) and said[-1] == "their lock"


def _visit(log: Log, at: int, deed: Deed) -> Iterator[str]:
    if not log.looked_over(at):
        yield "not looked over"


def _read(log: Log, at: int, deed: Deed) -> Iterator[str]:
    yield from _visit(log, at, deed)
    if deed.box and not log.open(at, deed.box):
        yield "the box was not open"
    if deed.act is Act.READ_LIVE and deed.part:
        yield "called low and not read, or whatever it reads"


def _prove(log: Log, at: int, deed: Deed) -> Iterator[str]:
    yield from _read(log, at, deed)
    if not log.tried(at, deed.zone):
        yield "not locked out and tried"
    if deed.part:
        yield "not every reading of the proof"
    if deed.zone not in log.in_reach(at, deed.box):
        yield "not in reach"


def _touch(log: Log, at: int, deed: Deed) -> Iterator[str]:
    zone = log.layout.zone(deed.zone)
    if deed.item in OUTSIDE:
        if deed.item != "gauges" and not log.tried(at, deed.zone):
            yield "a line opened on a machine not locked out and tried"
        return
    if zone.kind is ZoneKind.CONTROL:
        yield from _control(log, at, deed)
    elif not log.proven(at, deed.zone):
        yield "not proven dead"
    elif deed.act is not Act.DISCHARGE and not log.drained(at, deed.zone):
        yield "stored charge"
    yield from _hands(log, at, deed)
    if deed.act is Act.DISCHARGE and deed.part:
        yield "what was bled not read in DC"
    if deed.act in MEASURES:
        yield from _visit(log, at, deed)
    if (deed.item, zone.kind) == ("series meter", ZoneKind.POWER):
        yield "a meter in series in a power circuit"


def _control(log: Log, at: int, deed: Deed) -> Iterator[str]:
    if deed.act not in MEASURES and not log.low(at, deed.zone):
        yield "a control circuit not read low"
    worked_on = deed.act is Act.REPAIR or deed.act in MEASURES or deed.item == "series meter"
    if worked_on and log.on(at, deed.zone):
        yield "a control circuit worked on while it was on"


def _hands(log: Log, at: int, deed: Deed) -> Iterator[str]:
    if not log.open(at, deed.box):
        yield "the box was not open"
        return
    reach = log.in_reach(at, deed.box)
    if deed.zone not in reach:
        yield "behind the barrier"
    for other in reach:
        kind = log.layout.zone(other).kind
        if other == deed.zone or kind is ZoneKind.CONTROL:
            continue
        if kind is ZoneKind.SERVICE or not log.proven(at, other):
            yield f"{other} beside it may be live"
        elif not log.drained(at, other):
            yield f"{other} beside it holds a charge"


def _hands_in(log: Log, at: int, deed: Deed) -> Iterator[str]:
    power = log.layout.zone(deed.zone).kind is ZoneKind.POWER
    if not power or not log.tried(at, deed.zone):
        yield "hands in a machine not locked out and tried"
    yield from _hands(log, at, deed)


def _open_up(log: Log, at: int, deed: Deed) -> Iterator[str]:
    yield from _visit(log, at, deed)
    box = log.layout.box(deed.box)
    opened = BOX_TYPES[box.type].opened
    for zone in box.exposes:
        if opened is Opened.STOPPED and not log.tried(at, zone):
            yield "a guard opened on a machine not locked out and tried"
        if opened is Opened.PROVEN and not log.proven(at, zone):
            yield "terminals opened on a zone not proven dead"


def _lock_out(log: Log, at: int, deed: Deed) -> Iterator[str]:
    if deed.device in log.closed[at]:
        yield "a lock on a device that is on"
    if not DEVICE_TYPES[log.layout.device(deed.device).type].isolates:
        yield "a lock on a device that does not isolate"


def _unlock(log: Log, at: int, deed: Deed) -> Iterator[str]:
    if not log.people_clear(at):
        yield "people or tools not clear"


def _start(log: Log, at: int, deed: Deed) -> Iterator[str]:
    yield from _visit(log, at, deed)
    if not log.people_clear(at):
        yield "people or tools not clear"
    test = deed.mode == "for test"
    for box in log.layout.boxes:
        if log.open(at, box.name) and (not test or BOX_TYPES[box.type].guard):
            yield f"{box.name} open"
    for item, _ in log.items(at):
        if item in ("grounds", "open refrigerant", "open gas") or not (test or item in HARMLESS):
            yield f"{item} on"


def _switch_on(log: Log, at: int, deed: Deed) -> Iterator[str]:
    yield from _start(log, at, deed)
    if deed.device in log.locked[at]:
        yield "my own lock is on it"
    newly = log.fed(log.closed[at] | {deed.device}) - log.fed(log.closed[at])
    for zone in newly:
        check = log.last(at, Act.CHECK, Act.INSULATION_TEST, zone=zone, outcomes=("fault",))
        if log.fault(at, zone) or (check >= 0 and _unchecked(log, at, zone, check)):
            yield f"{zone} has a fault not checked clear"
    for device in log.layout.devices:
        spent = log.spent(at, device.name)
        energised = newly & log.feeds(device.name)
        if spent > 1 and (energised or device.name == deed.device):
            yield f"{device.name} tripped twice"
        if spent == 1 and DEVICE_TYPES[device.type].needs_check:
            last = max(then for then, name in log.trips if name == device.name and then < at)
            for zone in energised:
                if not log.clear_since(at, zone, last):
                    yield f"{device.name} tripped and {zone} was not checked clear since"


def _unchecked(log: Log, at: int, zone: str, fault: int) -> bool:
    """Return whether a fault found was never followed by a clear check."""
    after = log.last(at, Act.CHECK, Act.INSULATION_TEST, zone=zone, outcomes=("clear",), part=False)
    return after < fault


def _run(log: Log, at: int, deed: Deed) -> Iterator[str]:
    yield from _start(log, at, deed)
    if not log.on(at, deed.zone):
        yield "not on"


def _verify(log: Log, at: int, deed: Deed) -> Iterator[str]:
    if not log.on(at, deed.zone):
        yield "not on"
    if deed.box and not log.open(at, deed.box):
        yield "the box was not open"
    if any(item not in HARMLESS for item, _ in log.items(at)):
        yield "bridged, lifted or open"


def _end(log: Log, at: int, deed: Deed) -> Iterator[str]:
    unit = log.layout.unit
    if log.last(at, Act.TELL) <= log.last(at, Act.SWITCH_ON):
        yield "not told"
    if deed.mode == "withdrawn":
        if not log.stop(at):
            yield "withdrawn for no reason"
        return
    if log.items(at) or log.locked[at] or any(log.open(at, b.name) for b in log.layout.boxes):
        yield "something left on, open or locked"
    if deed.mode == "made safe" and (log.on(at, unit) or not log.left_cut(at, unit)):
        yield "left on, or off without a tag on every way in"
    if deed.mode == "in service":
        proved = log.last(at, Act.VERIFY, zone=unit)
        worked = log.last(at, Act.HANDS_ON, Act.REPAIR, Act.HANDS_IN, Act.PUT_ON)
        good = proved > worked and log.events[proved][1] == "good"
        if not good or not log.on(at, unit):
            yield "not on and verified since the last work"


Question = Callable[[Log, int, Deed], Iterator[str]]
_QUESTIONS: Mapping[Act, Question] = {
    Act.LOOK: _read,
    Act.OPEN_UP: _open_up,
    Act.LOCK_OUT: _lock_out,
    Act.PROVE_DEAD: _prove,
    Act.READ_LIVE: _read,
    **dict.fromkeys(
        (
            *MEASURES,
            Act.DISCHARGE,
            Act.HANDS_ON,
            Act.REPAIR,
            Act.PUT_ON,
            Act.TAKE_OFF,
        ),
        _touch,
    ),
    Act.HANDS_IN: _hands_in,
    Act.UNLOCK: _unlock,
    Act.TAG_OUT: _unlock,
    Act.SWITCH_ON: _switch_on,
    Act.RUN: _run,
    Act.VERIFY: _verify,
    Act.END: _end,
}

"""What was found before anything was judged: nameplate and supply."""

from __future__ import annotations

from collections.abc import Iterator

from engine.entries import Entry, EntryKind
from engine.layouts import ZoneKind
from engine.power import Act
from engine.quantity import Kind
from engine.report.readings import in_words
from engine.report.walked import WalkDone
from engine.report.when import clock, named
from engine.session.moving import layout_of, phases_of
from engine.tree import ActHead, ReadingSpec, Spread


def nameplate(done: WalkDone) -> Iterator[tuple[str, str]]:
    """Yield the nameplate's questions and answers; one taken for want of a plate is said to be."""
    for one in done.live:
        if one.kind is EntryKind.NAMEPLATE:
            field = done.walk.fields.get(one.outcome)
            usual = " (taken as usual)" if field and field.default == one.typed else ""
            yield (field.ask if field else one.title or one.outcome), f"{one.typed}{usual}"


def supply(done: WalkDone) -> tuple[str, ...]:
    """Return the volts between the legs ahead of the unit, as last read in each state.

    Where none were read there, those at the unit itself.
    """
    found: dict[tuple[bool, str], str] = {}
    for one in done.reported(Act.READ_LIVE, Act.VERIFY):
        head = done.head(one)
        if head is None:
            continue
        for spec in head.readings:
            zone = _power_zone(done, spec)
            said = [part for part in one.said if part.name == spec.name]
            if zone and said and said[0].kind == Kind.VOLTAGE:
                at_unit = zone == layout_of(done.walk).unit
                found[at_unit, spec.when] = _line(one, head, spec, in_words(said))
    ahead = tuple(line for (at_unit, _), line in found.items() if not at_unit)
    return ahead or tuple(found.values())


def _line(entry: Entry, head: ActHead, spec: ReadingSpec, read: str) -> str:
    when = f", {spec.when}" if spec.when else ""
    return f"{entry.title or head.act}{when}: {read} ({named(clock(entry), entry.by)})"


def _power_zone(done: WalkDone, spec: ReadingSpec) -> str:
    """Return the power zone that a reading lies in from leg to leg; empty for any other reading."""
    if spec.spread not in (Spread.PAIRS, Spread.BETWEEN):
        return ""
    names = [
        name
        for point in spec.points
        for name in done.walk.vocabulary.sets.get(point, {}).get(phases_of(done.state), (point,))
    ]
    points = [done.walk.vocabulary.points.get(name) for name in names]
    zones = {point.zone if point else "" for point in points}
    zone = zones.pop() if len(zones) == 1 else ""
    power = [one.name for one in layout_of(done.walk).zones if one.kind is ZoneKind.POWER]
    return zone if zone in power else ""

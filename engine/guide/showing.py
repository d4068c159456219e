"""The parts of a prompt: zones and boxes in words, cautions, windows, choices, what is wanted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from engine import power, safe_words
from engine.formula import Measured
from engine.guide.about import about
from engine.guide.choices import Choice, numbered
from engine.guide.filling import fill, label, leads, place
from engine.layouts import Layout
from engine.power import Act, ZoneWord
from engine.reading import Asked
from engine.safe_words import Caution, Signal
from engine.session.judging import Spot, holds, windows
from engine.session.moving import given_values, layout_of, lookup
from engine.session.state import State
from engine.session.steps import deed_of
from engine.tree import DONE, ActHead, Step, WalkTree


@dataclass(frozen=True, slots=True)
class ZoneLine:
    """A stretch of circuit in words: ``UNIT``, ``REPORTED DEAD 10:42``."""

    zone: str
    words: str
    here: bool
    """The hands are in it at this step."""
    live: bool
    """It has to be taken as live."""


def zone_lines(walk: WalkTree, state: State, head: ActHead | None) -> tuple[ZoneLine, ...]:
    """Return every zone from source to load, in words, with the time of a report."""
    layout = layout_of(walk)
    here = _here(layout, head)
    lines = []
    for zone in layout.zones:
        said = power.zone_words(layout, state.power, zone.name)
        at = state.proved.get(zone.name, "")
        clock = f" {at[11:16]}" if at and said is ZoneWord.REPORTED_DEAD else ""
        live = power.is_on(layout, state.power, zone.name)
        lines.append(ZoneLine(zone.name, said + clock, zone.name in here, live))
    return tuple(lines)


def _here(layout: Layout, head: ActHead | None) -> frozenset[str]:
    if head is None:
        return frozenset()
    if head.zone:
        return frozenset({head.zone})
    return frozenset(layout.box(head.box).exposes) if head.box else frozenset()


def box_line(walk: WalkTree, head: ActHead) -> str:
    """Return what else is in the box where the hands are; empty where nothing is."""
    if not head.box:
        return ""
    box = layout_of(walk).box(head.box)
    others = [zone for zone in (*box.exposes, *box.behind) if zone != head.zone]
    here = "Also in" if head.zone else "In"
    return f"{here} the {head.box}: {', '.join(others)}" if others else ""


def cautions(walk: WalkTree, state: State, step: Step) -> tuple[Caution, ...]:
    """Return the act's own cautions and the author's: two at most, the gravest first."""
    own = safe_words.cautions(layout_of(walk), state.power, deed_of(step), _volts(state))
    written = [
        Caution(Signal(signal), fill(walk, state, step, text)) for signal, text in step.cautions
    ]
    every = dict.fromkeys((*own, *written))
    return tuple(sorted(every, key=lambda one: list(Signal).index(one.signal))[: safe_words.MOST])


def _volts(state: State) -> int:
    """Return the highest voltage the nameplate tells of; 0 while it is not known."""
    rated = state.numbers.get("rated_volts")
    several = rated if isinstance(rated, tuple) else (rated,)
    return max((int(one.quantity.value) for one in several if isinstance(one, Measured)), default=0)


def before_hands(walk: WalkTree, state: State, head: ActHead) -> str:
    """Return what was reported of the zones and when, before hands go in; else empty."""
    if head.act not in (Act.HANDS_ON, Act.REPAIR, Act.HANDS_IN) or not head.box:
        return ""
    time = max(state.proved.values(), default="")[11:16]
    return safe_words.before_hands(layout_of(walk), state.power, head.box, time)


def window_lines(walk: WalkTree, state: State, step: Step) -> tuple[str, ...]:
    """Return the windows of a step with this unit's numbers, one line a band.

    Where it could be about one of several readings, the first line of a judgement names it.
    """
    if not isinstance(step.head, ActHead):
        return ()
    given, known = given_values(state.gathered), lookup(walk, state)
    lines: list[str] = []
    for one in step.head.judgements:
        alone = replace(step, head=replace(step.head, judgements=(one,)))
        first, *others = windows(alone, given, known, walk.degrees) or ("",)
        named = about(step.head, one)
        if first:
            lines += [f"{named}: {first}" if named else first, *others]
    return tuple(lines)


def so_far(walk: WalkTree, state: State, step: Step) -> str:
    """Return what has been read at this step: ``L1-L2 208 V · L2-L3 209 V``."""
    parts = [
        f"{spot or name.replace('_', ' ')} {reading.words() if reading else 'not there'}"
        for (name, spot), reading in state.gathered.items()
    ]
    return " · ".join(parts)


WITHOUT_EFFECT = frozenset({Act.ASK, Act.LOOK})
"""Acts that Enter alone may report as done: none of them changes anything for safety."""


def choices(walk: WalkTree, state: State, step: Step) -> tuple[Choice, ...]:
    """Return the answers that a step offers, numbered in the author's order.

    What is only done has *done* for its one answer, so that no Enter too many reports a lock.
    """
    head = step.head
    if not isinstance(head, ActHead) or head.readings:
        return ()
    if not head.judgements:
        return () if head.act in WITHOUT_EFFECT else numbered([DONE])
    answers = head.judgements[0].answers
    return numbered([key for key, one in answers.items() if holds(one.condition, state.words)])


def wanted(walk: WalkTree, asked: Sequence[tuple[Spot, Asked]], taken: int) -> str:
    """Return what stands before the entry line: the unit, and where it is to be read.

    Where one reading stands alone in its step, the step says where; of more than three that are
    still open only the next, and how many it makes with those ``taken``.
    """
    if not asked:
        return ""
    spot, first = asked[0]
    if not taken and len(asked) == 1 and not spot.label:
        return f"{first.symbol}?"
    if len(asked) > _MOST_ON_LINE:
        return f"{taken + 1} of {taken + len(asked)}: {label(walk, spot)} {first.symbol}?"
    same = [one for one, how in asked if how.symbol == first.symbol]
    return f"{' '.join(label(walk, one) for one in same)} {first.symbol}?"


_MOST_ON_LINE = 3
"""Readings whose names have room before the entry line."""


def order(walk: WalkTree, asked: Sequence[tuple[Spot, Asked]]) -> tuple[str, ...]:
    """Return the readings still open, in the order of asking, those of one set on one line."""
    sets: dict[str, list[str]] = {}
    for spot, _ in asked:
        sets.setdefault(spot.reading, []).append(spot.label or leads(walk, spot))
    return tuple(f"{name.replace('_', ' ')}: {' '.join(spots)}" for name, spots in sets.items())


def leads_off(walk: WalkTree, head: ActHead) -> str:
    """Return which leads come off for the reading; empty where none does."""
    if not head.leads_off:
        return ""
    places = " and ".join(place(walk, point) for point in head.leads_off)
    return f"Lead off: {places}. Back on after the reading."


def leads_line(walk: WalkTree, asked: Sequence[tuple[Spot, Asked]]) -> str:
    """Return where the leads go for the next reading, for a step whose author wrote nothing."""
    return f"Read {leads(walk, asked[0][0])}." if asked else ""

"""What a door shows now: one thing to do, everything needed to do it, and nothing else.

A `Prompt` is made from a walk's state and the time, for the screen, the line by line walk and
practice alike. A door only lays it out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum

from engine import power
from engine.guide.asking import open_spots, unit_of_field
from engine.guide.choices import Choice, numbered
from engine.guide.customer import person, words_for
from engine.guide.filling import fill
from engine.guide.gauge import Gauge, gauges
from engine.guide.meter import meter_line
from engine.guide.showing import (
    ZoneLine,
    before_hands,
    box_line,
    cautions,
    choices,
    leads_line,
    leads_off,
    order,
    so_far,
    wanted,
    window_lines,
    zone_lines,
)
from engine.power import Act
from engine.quantity import words
from engine.reading import Asked
from engine.safe_words import REMINDERS, Caution
from engine.session.first import is_first
from engine.session.judging import Spot
from engine.session.moving import given_values, layout_of
from engine.session.state import State
from engine.session.steps import deed_of, is_repair, step_named
from engine.tree import DONE, REPAIR, ActHead, Step, WalkTree
from engine.vocabulary import Field

HANDS_OUT = "Hands and leads out first."
"""Before a question while a box stands open on what may be live."""
WHICH = "which?"
WHICH_ONES = "which ones, 0 for none?"
DONE_QUESTION = "1 when done"
"""What stands before the entry line where an answer is picked by its number."""


class Now(StrEnum):
    """What is wanted of the person at the entry line."""

    STEP = "step"
    NAMEPLATE = "nameplate"
    WAIT = "wait"
    REFUSED = "refused"
    ENDED = "ended"


@dataclass(frozen=True, slots=True)
class Prompt:
    """One thing to do, as a door shows it from top to bottom."""

    now: Now
    number: int
    """How many steps have been answered before, plus one."""
    step: str = ""
    title: str = ""
    zones: tuple[ZoneLine, ...] = ()
    box: str = ""
    """What else is in the box that is open here; before hands go in, what was reported of it."""
    cautions: tuple[Caution, ...] = ()
    who: str = ""
    leads_off: str = ""
    """Which leads come off for the reading, and go back on after it."""
    do: str = ""
    say: tuple[str, ...] = ()
    """What to tell the customer, where that is what is to be done."""
    reminder: str = ""
    """What goes with the act, whatever the tree says."""
    why: str = ""
    source: str = ""
    meter: str = ""
    window: tuple[str, ...] = ()
    gauges: tuple[Gauge, ...] = ()
    """The same as scales, one for each judgement whose cuts are known."""
    allowed: str = ""
    """What a nameplate can say, for a question that is answered by a number."""
    last: str = ""
    """What has been read so far at this step."""
    before: str = ""
    """What the unit's last visit read here."""
    choices: tuple[Choice, ...] = ()
    wanted: str = ""
    """What stands before the entry line's ``>``: ``uF?``."""
    asked: tuple[tuple[Spot, Asked], ...] = ()
    """The readings still open, in order."""
    order: tuple[str, ...] = ()
    """Their names, where there are several: ``pairs: L1-L2 L2-L3 L3-L1``."""
    towards: str = ""
    """The title of the step that a change of stage, or what comes first, is made for."""
    field: Field | None = None
    enter: str = ""
    """What Enter alone does, where nothing is asked that counts; empty where it does nothing."""
    refusals: tuple[str, ...] = ()
    wait_left: int = 0
    """Seconds of a wait still to go."""
    meanwhile: str = ""
    """What can be done while waiting, and why to wait."""
    photo: str = ""
    tools: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    """What a repair takes."""
    minutes: float = 0.0
    stuck: bool = True
    """True where *can't* is an answer."""


def prompt(walk: WalkTree, state: State, now: datetime) -> Prompt:
    """Return what to show for a state at a moment."""
    asks = question(walk, state, now)
    if not state.step:
        return replace(asks, zones=zone_lines(walk, state, None))
    step = step_named(walk, state.step)
    head = step.head if isinstance(step.head, ActHead) else None
    if head is None or state.needs:
        return replace(asks, zones=zone_lines(walk, state, head))
    return replace(
        asks,
        zones=zone_lines(walk, state, head),
        box=before_hands(walk, state, head) or box_line(walk, head),
        cautions=cautions(walk, state, step),
        who=person(step.who).removeprefix("a ") if step.who else "",
        do=fill(walk, state, step, step.do) or leads_line(walk, asks.asked),
        say=words_for(walk, state) if head.act is Act.TELL else (),
        leads_off=leads_off(walk, head),
        reminder=REMINDERS.get(head.act, ""),
        why=fill(walk, state, step, step.why),
        meter=meter_line(tuple(spot.function for spot, _ in asks.asked)),
        window=window_lines(walk, state, step),
        gauges=gauges(walk, state, step, given_values(state.gathered)),
        last=_so_far(walk, state, step, len(asks.asked)),
        order=order(walk, asks.asked) if len(asks.asked) > 1 else (),
        towards=_towards(walk, state),
        meanwhile=_meanwhile(walk, state, step) if asks.wait_left else "",
        photo=fill(walk, state, step, step.photo),
        tools=step.tools,
        parts=_parts(walk, state, step),
        minutes=step.minutes,
    )


def question(walk: WalkTree, state: State, now: datetime) -> Prompt:
    """Return of a prompt what is asked, and nothing that is only shown: enough to answer it."""
    number = 1 + sum(1 for one in state.passed if not one.silent)
    if not state.step:
        return Prompt(Now.ENDED, number, stuck=False)
    if state.needs:
        return _nameplate(walk, state, number)
    step = step_named(walk, state.step)
    refused = power.refusals(layout_of(walk), state.power, deed_of(step))
    left = wait_left(step, state, now)
    asked = open_spots(walk, state, step)
    offered = () if left or refused else choices(walk, state, step)
    return Prompt(
        now=Now.REFUSED if refused else Now.WAIT if left else Now.STEP,
        number=number,
        step=step.name,
        title=fill(walk, state, step, step.title),
        source=step.source,
        choices=offered,
        wanted="" if refused else _wanted(walk, state, asked, offered, left),
        asked=asked,
        enter="" if left or refused or asked or offered else DONE,
        refusals=tuple(f"{one.rule}: {one.sentence}" for one in refused),
        wait_left=left,
        stuck=bool(state.first) or not is_first(step.name),
    )


def _wanted(
    walk: WalkTree,
    state: State,
    asked: Sequence[tuple[Spot, Asked]],
    offered: tuple[Choice, ...],
    left: int,
) -> str:
    if left:
        return "wait"
    which = DONE_QUESTION if [one.key for one in offered] == [DONE] else WHICH
    return wanted(walk, asked, len(state.gathered)) or (which if offered else "")


def _parts(walk: WalkTree, state: State, step: Step) -> tuple[str, ...]:
    if not is_repair(step.name):
        return ()
    finding = walk.tree.findings[step.name.removeprefix(REPAIR)]
    return tuple(fill(walk, state, None, part) for part in finding.parts)


def _towards(walk: WalkTree, state: State) -> str:
    heading = state.heading if state.changing else state.first
    step = step_named(walk, heading) if heading else None
    return fill(walk, state, step, step.title) if step else ""


def prompt_at(walk: WalkTree, state: State, name: str, now: datetime) -> Prompt:
    """Return the prompt of a step as if the walk stood there with nothing read yet."""
    return prompt(walk, state._replace(step=name, needs="", gathered={}, waited=True), now)


def _so_far(walk: WalkTree, state: State, step: Step, still: int) -> str:
    """Return ``2 of 3: L1-L2 208 V · L2-L3 209 V``; empty where nothing was read yet."""
    taken = len(state.gathered)
    return f"{taken} of {taken + still}: {so_far(walk, state, step)}" if taken else ""


def _nameplate(walk: WalkTree, state: State, number: int) -> Prompt:
    field = walk.fields[state.needs]
    reached = power.open_and_live(layout_of(walk), state.power)
    unit = unit_of_field(field, walk.degrees)
    return Prompt(
        now=Now.NAMEPLATE,
        number=number,
        step=state.step,
        title="Nameplate and site",
        do=f"{HANDS_OUT} {field.ask}" if reached else field.ask,
        choices=numbered(field.words),
        wanted=f"{unit}?" if unit else _which_words(field),
        field=field,
        enter=f"take {field.default}" if field.default else "",
        allowed=_field_range(field, walk.degrees),
    )


def _which_words(field: Field) -> str:
    return WHICH_ONES if field.many else WHICH if field.words else "?"


def _field_range(field: Field, degrees: str) -> str:
    if field.low is None or field.high is None:
        return ""
    return " to ".join(words(end, degrees=degrees) for end in (field.low, field.high))


def wait_left(step: Step, state: State, now: datetime) -> int:
    """Return how many seconds of the step's wait are still to go, from the entries' own times."""
    if step.wait is None or state.waited or not state.since:
        return 0
    over = datetime.fromisoformat(state.since) + timedelta(seconds=step.wait.seconds)
    return max(0, round((over - now).total_seconds()))


def _meanwhile(walk: WalkTree, state: State, step: Step) -> str:
    assert step.wait is not None
    texts = (fill(walk, state, step, text) for text in (step.wait.meanwhile, step.wait.why))
    return " ".join(text for text in texts if text)

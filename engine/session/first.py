"""Steps that no tree has: what the engine puts before a step, and its own way out.

Where the safety model refuses the step that is next, it may say what would put that right: look
over, shut a box, take an item off, read a control circuit before hands go in. Such a step is made
from its name alone, ``first/close up/control box``, so that a record can be folded again. It is
an ordinary step: asked, gated and recorded like any other.

The way out is for a tree that has none of its own, or whose own can't be gone: tell the customer,
withdraw. Nothing in the safety model ever stands against it.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass, replace

from engine import power
from engine.bands import read_bands
from engine.layouts import DEVICE_TYPES, Layout
from engine.power import Act, Deed, Position
from engine.power.acts import MADE_SAFE, WITHDRAWN
from engine.power.state import LEFT_CUT
from engine.reading import Function
from engine.trade.catalogue import FIGURES
from engine.tree import (
    CHANGING,
    OTHERWISE,
    ActHead,
    Judgement,
    Outcome,
    ReadingSpec,
    Spread,
    Step,
    WalkTree,
)

FIRST = "first"
"""What the names of the engine's own steps begin with."""

WAY_OUT = f"{FIRST}/withdraw"
"""Where the engine's own way out begins."""
_OUT = f"{FIRST}/withdrawn"

BEFORE_HANDS = "before hands go in"
"""When a control circuit is read for nothing but the hands; no tree reads it then."""


@dataclass(frozen=True, slots=True)
class _Kind:
    """One kind of step that may come first: what its name holds, and what it says."""

    about: tuple[str, ...]
    """The fields of its deed, in the order of its name."""
    title: str
    text: str
    answers: Mapping[str, str]
    """Answer → what it counts as; empty for a step that is only done."""
    done: str = ""
    """What being done counts as; empty where there is nothing to choose."""


_KINDS: Mapping[Act, _Kind] = {
    Act.LOOK_OVER: _Kind(
        (),
        "Look the job over",
        "Footing, weather, light, water, smell, other people's locks. Fit to work here?",
        {"fit": "fit", "not fit": "not fit", "gas or smoke": "gas"},
    ),
    Act.ASK: _Kind(
        ("device",),
        "How does the {device} stand",
        "What was entered of it does not agree. Look at it; nothing is moved.",
        {
            "it is off": "found open",
            "it is on": "found closed",
            "another's lock or tag": "their lock",
            "burnt or loose": "damaged",
        },
    ),
    Act.SWITCH_OFF: _Kind(
        ("device",),
        "Switch off the {device}",
        "Load off first. Hinge side, face away, one motion. If it is off already, leave it so.",
        {"off": "done", "will not move": "damaged"},
    ),
    Act.TAG_OUT: _Kind(
        ("device",),
        "Tag the {device} out of service",
        "Out-of-service tag in place of your lock. What is wrong, who may switch on.",
        {},
    ),
    Act.ALL_CLEAR: _Kind(
        (),
        "People and tools clear",
        "Everybody told, hands and tools out.",
        {},
    ),
    Act.CLOSE_UP: _Kind(("box",), "Shut the {box}", "Hands out. Cover on, screws in.", {}),
    Act.OPEN_UP: _Kind(
        ("box",),
        "Open the {box}",
        "Cover off. Hands stay out until the meter has been in.",
        {},
        done="barrier missing",
    ),
    Act.TAKE_OFF: _Kind(
        ("item", "zone", "box"),
        "Take off the {item}",
        "Take off what was put on, and say so.",
        {},
        done="off",
    ),
    Act.READ_LIVE: _Kind(
        ("zone", "box"),
        "Volts in the {zone} circuit first",
        "AC volts where the hands will go. Nothing is touched yet.",
        {},
    ),
    Act.TELL: _Kind((), "Tell the customer", "What was found, done and left.", {}),
}
"""Every act that may come first. None but a reading is proven by a meter, and none by a word."""

_WITH_BARRIER = {"barrier in place": "barrier in place", "no barrier": "barrier missing"}
_WITH_ITEM: Mapping[str, Mapping[str, str]] = {
    "lead": {"landed again": "off", "left off, capped": "left off, capped and labelled"},
    "open gas": {"shut and leak-tested": "leak-tested", "not leak-tested": "off"},
}


def is_first(name: str) -> bool:
    """Return whether a step is one of the engine's own."""
    return name.startswith(f"{FIRST}/")


def comes_first(
    layout: Layout, state: power.State, wanted: Deed, besides: Container[str] = ()
) -> str:
    """Return the engine's own step that a refused deed waits for and that is permitted now.

    Empty where there is none, or only those ``besides``: none is put in twice for one step.
    """
    waiting, seen = list(_wanted(layout, state, wanted)), {wanted}
    while waiting:
        deed = waiting.pop(0)
        if deed in seen or deed.act not in _KINDS or name_of(deed) in besides:
            continue
        seen.add(deed)
        if not power.refusals(layout, state, deed):
            return name_of(deed)
        waiting = [*_wanted(layout, state, deed), *waiting]
    return ""


def puts_right(layout: Layout, state: power.State, wanted: Deed) -> bool:
    """Return whether everything that stands against a deed has a step of its own to put right."""
    against = power.refusals(layout, state, wanted)
    return all(one.first is not None and one.first.act in _KINDS for one in against)


def _wanted(layout: Layout, state: power.State, deed: Deed) -> Iterator[Deed]:
    """Yield what the safety model says comes first, and what else would bring the deed nearer."""
    yield from power.comes_first(layout, state, deed)
    if deed.act is Act.SWITCH_ON and _stands(layout, state, deed.device) is Position.CLOSED:
        yield Deed(Act.ASK, device=deed.device)
        yield Deed(Act.SWITCH_OFF, device=deed.device)
    if deed.act is Act.END and deed.mode == MADE_SAFE:
        yield from _cuts(layout, state)


def _stands(layout: Layout, state: power.State, device: str) -> Position:
    return state.position[layout.device_at[device]]


def _cuts(layout: Layout, state: power.State) -> Iterator[Deed]:
    """Yield a tag for each device nearest the unit that can cut it off from a source.

    The same for whatever else has a fault.
    """
    zones = list(dict.fromkeys((layout.unit, *power.faulted(layout, state))))
    for zone in zones:
        for device in layout.devices:
            other = {device.line: device.load, device.load: device.line}.get(zone, zone)
            position = _stands(layout, state, device.name)
            if other in zones or position in LEFT_CUT:
                continue
            if DEVICE_TYPES[device.type].isolates and position is not Position.DAMAGED:
                yield Deed(Act.TAG_OUT, device=device.name)
            else:
                zones.append(other)


def name_of(deed: Deed) -> str:
    """Return the name of the engine's own step that does a deed."""
    about = (getattr(deed, field) for field in _KINDS[deed.act].about)
    return "/".join([FIRST, str(deed.act), *about])


def made(walk: WalkTree, layout: Layout, name: str) -> Step:
    """Return the step that a name stands for; raises KeyError for a name of none."""
    if name == WAY_OUT:
        return _tell_and_go(name)
    if name == _OUT:
        head = ActHead(Act.END, end=WITHDRAWN)
        return Step(name, "Withdrawn", head, CHANGING)
    _, word, *about = name.split("/")
    try:
        act = Act(word)
    except ValueError as error:
        raise KeyError(name) from error
    kind = _KINDS[act]
    named = dict(zip(kind.about, about, strict=False))
    where = Deed(
        act,
        zone=named.get("zone", ""),
        device=named.get("device", ""),
        box=named.get("box", ""),
        item=named.get("item", ""),
    )
    step = Step(name, kind.title.format(**named), _head(layout, kind, where), CHANGING)
    step = replace(step, do=kind.text)
    return _reading(walk, step) if act is Act.READ_LIVE else step


def _head(layout: Layout, kind: _Kind, deed: Deed) -> ActHead:
    answers, done = kind.answers, kind.done
    if deed.item in _WITH_ITEM:
        answers = _WITH_ITEM[deed.item]
    elif deed.act is Act.OPEN_UP and layout.box(deed.box).behind:
        answers = _WITH_BARRIER
    outcomes = {said: Outcome(counts_as=word, on=deed.device) for said, word in answers.items()}
    return ActHead(
        deed.act,
        zone=deed.zone,
        device=deed.device,
        box=deed.box,
        item=deed.item,
        judgements=(Judgement(outcomes),) if outcomes else (),
        counts_as="" if outcomes else done,
    )


def _tell_and_go(name: str) -> Step:
    head = ActHead(Act.TELL, counts_as="unfit")
    text = "Say what is wrong, that it stays as it is, and who has to come."
    return Step(name, "Tell the customer, and withdraw", head, CHANGING, do=text, then=_OUT)


_LOW = "below 50 V"
_READ_LOW = {
    _LOW: Outcome("under 50 V", counts_as="under 50"),
    OTHERWISE: Outcome("50 V or more", "Hands off. This is no control circuit now.", "50 or more"),
}


def _reading(walk: WalkTree, step: Step) -> Step:
    """Return the step with the places where the tree reads that circuit in that box.

    Where it never does, the first two points that the vocabulary has there.
    """
    head = step.head
    assert isinstance(head, ActHead)
    spec = ReadingSpec("volts", Function.VOLTS, Spread.BETWEEN, _places(walk, head), BEFORE_HANDS)
    bands, _ = read_bands(list(_READ_LOW), FIGURES)
    judgement = Judgement(_READ_LOW, bands=bands)
    return replace(step, head=replace(head, readings=(spec,), judgements=(judgement,)))


def _places(walk: WalkTree, head: ActHead) -> tuple[str, ...]:
    for step in walk.steps.values():
        other = step.head
        if isinstance(other, ActHead) and other.act is Act.READ_LIVE:
            for spec in other.readings if (other.zone, other.box) == (head.zone, head.box) else ():
                if spec.function is Function.VOLTS and spec.spread is Spread.BETWEEN:
                    return spec.points
    points = walk.vocabulary.points.values()
    here = [one.name for one in points if (one.zone, one.box) == (head.zone, head.box)]
    return (*here, "", "")[:2]

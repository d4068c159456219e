"""Reads sequences of acts from tests/data/safe_work.seq, and the layouts they are told on."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from engine.layouts import LAYOUTS, Box, Layout
from engine.power import REPORTS, Act, Deed, Refusal, State, apply, begin, pessimistic, refusals

FILE = Path(__file__).parent / "data" / "safe_work.seq"

_BARE = Box("bare disconnect", "disconnect box", ("unit", "feeder"))
_DRIVE = Box("drive", "drive", ("unit",))


def _told_on(shipped: str, *more: Box) -> Layout:
    layout = LAYOUTS[shipped]
    return replace(layout, boxes=(*layout.boxes, *more))


TOLD_ON = {
    "rtu": _told_on("single feed", _BARE, _DRIVE),
    "rtu2": _told_on("two feeds and outlet", _BARE, _DRIVE),
    "plug": _told_on("cord-connected"),
    "bas": _told_on("building controls", _BARE, _DRIVE),
}
"""The shipped layouts by the short names of the sequences, with a disconnect that lost its
barrier and a drive's box more."""

ISOLATE = (
    "look over -> fit; switch off {1}; lock out {1}; try {0} -> stopped; "
    "open up @{2} -> barrier in place; prove dead {0} @{2} -> dead; "
    "discharge {0} @{2} -> below limit"
)
BACK = (
    "all clear; unlock {1}; switch on {1}: for service -> holds; run {0}: for service; "
    "verify {0} -> good; tell; end: in service"
)
_OF_DEVICES = (Act.SWITCH_OFF, Act.LOCK_OUT, Act.UNLOCK, Act.SWITCH_ON, Act.TAG_OUT, Act.ASK)
_WITH_ITEM = (Act.PUT_ON, Act.TAKE_OFF)


@dataclass(frozen=True, slots=True)
class Stated:
    """One step of a sequence: the deed, what came of it, and the text it was read from."""

    deed: Deed
    outcome: str
    text: str


@dataclass(frozen=True, slots=True)
class Sequence:
    """A named walk with the verdict expected: the rule broken and the step, or neither."""

    name: str
    layout: Layout
    rule: str
    """Empty for one that passes."""
    step: int
    title: str
    steps: tuple[Stated, ...]

    def __str__(self) -> str:
        return self.name


def sequences() -> dict[str, Sequence]:
    """Return every sequence of the file by name."""
    lines = [
        line for line in FILE.read_text(encoding="utf-8").splitlines() if not line.startswith("#")
    ]
    found: dict[str, Sequence] = {}
    for block in re.split(r"\n(?=[A-Z]\d\d )", "\n".join(lines).strip()):
        header, _, body = block.partition("\n")
        name, layout, verdict, title = header.split(maxsplit=3)
        rule, _, step = verdict.removeprefix("PASS").partition("@")
        steps = steps_of(body)
        found[name] = Sequence(name, TOLD_ON[layout], rule, int(step or 0), title, steps)
    return found


def steps_of(text: str) -> tuple[Stated, ...]:
    """Return the steps of a text, ISOLATE and BACK written out."""
    written: list[str] = []
    for part in (part.strip() for part in text.replace("\n", " ").split(";")):
        macro = re.fullmatch(r"(ISOLATE|BACK)\((.*)\)", part)
        if macro:
            whole = ISOLATE if macro[1] == "ISOLATE" else BACK
            part = whole.format(*(name.strip() for name in macro[2].split(",")))
        written += [one.strip() for one in part.split(";") if one.strip()]
    return tuple(_stated(one) for one in written)


def _stated(text: str) -> Stated:
    before, _, outcome = (part.strip() for part in text.partition("->"))
    what, _, word = (part.strip() for part in before.partition(":"))
    what, _, box = (part.strip() for part in what.partition("@"))
    act = max((act for act in Act if what.startswith(act)), key=len)
    thing = what.removeprefix(act).strip()
    of_device = act in _OF_DEVICES
    if word in REPORTS:
        outcome, word = word, ""
    deed = Deed(
        act,
        zone="" if of_device else thing,
        device=thing if of_device else "",
        box=box,
        item=word if act in _WITH_ITEM else "",
        mode=word if act in (Act.SWITCH_ON, Act.RUN, Act.END) else "",
        unread=("some of the points",) if word == "part" else (),
    )
    return Stated(deed, outcome or pessimistic(act), text)


@dataclass(frozen=True, slots=True)
class Broken:
    """The first step that is refused: its number, what stood against it, the state before."""

    step: int
    refused: tuple[Refusal, ...]
    text: str


def first_broken(layout: Layout, steps: tuple[Stated, ...]) -> Broken | None:
    """Return the first refusal on a walk; None where every step is permitted."""
    for number, (stated, state) in enumerate(walked(layout, steps), 1):
        refused = refusals(layout, state, stated.deed)
        if refused:
            return Broken(number, refused, stated.text)
    return None


def walked(layout: Layout, steps: tuple[Stated, ...]) -> Iterator[tuple[Stated, State]]:
    """Yield every step with the state before it."""
    state = begin(layout)
    for stated in steps:
        yield stated, state
        state = apply(layout, state, stated.deed, stated.outcome)


def after(layout: Layout, text: str, state: State | None = None) -> State:
    """Return the state after the steps of a text, every one of which must be permitted."""
    state = begin(layout) if state is None else state
    for stated in steps_of(text):
        refused = refusals(layout, state, stated.deed)
        assert not refused, f"{stated.text}: {'; '.join(map(str, refused))}"
        state = apply(layout, state, stated.deed, stated.outcome)
    return state


def rules_against(layout: Layout, state: State, text: str) -> tuple[str, ...]:
    """Return the rules that stand against the one step of a text, in the order told."""
    (stated,) = steps_of(text)
    return tuple(dict.fromkeys(refusal.rule for refusal in refusals(layout, state, stated.deed)))

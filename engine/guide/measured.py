"""*Already measured*: readings given out of order. They never perform an act."""

from __future__ import annotations

from datetime import datetime

from engine.guide.prompt import Prompt, prompt_at
from engine.guide.showing import wanted
from engine.guide.talk import Mode, Reply, Talk, View
from engine.power import Act
from engine.session.known import spots_of
from engine.session.state import ReadingKey
from engine.session.steps import step_named
from engine.tree import ActHead, Step


def known(view: View, shown: Prompt, rest: str, now: datetime) -> Reply:
    """List the readings that are still open, or take the one whose number was typed."""
    steps = open_readings(view)
    if not steps:
        return Reply(lines=("Every reading that can be given now is known.",))
    talk = Talk(Mode.KNOWN_STEP, listed=steps)
    if talk.pick(rest):
        return pick(view, talk, rest, now)
    titles = [step_named(view.walk, name).title for name in steps]
    lines = ["Already measured which?", *(f"{n:2} {title}" for n, title in enumerate(titles, 1))]
    return Reply(talk=talk, lines=tuple(lines), asks="which?")


def open_readings(view: View) -> tuple[str, ...]:
    """Return the steps of the tree that take plain readings of which one is not known yet."""
    fresh = {key for key, took in view.state.taken.items() if not took.stale}

    def is_open(step: Step) -> bool:
        head = step.head
        if not isinstance(head, ActHead) or head.act not in (Act.READ_LIVE, Act.READ_DEAD):
            return False
        wanted = spots_of(view.walk, view.state, step)
        taken = all(ReadingKey.of(spot, head.leads_off) in fresh for spot in wanted)
        return bool(wanted) and not step.again and not taken

    return tuple(name for name, step in view.walk.steps.items() if is_open(step))


def pick(view: View, talk: Talk, text: str, now: datetime) -> Reply:
    """Return the question for a reading picked from the list."""
    name = talk.pick(text)
    if not name:
        return Reply.refuse(text, f"1 to {len(talk.listed)}.", talk, "which?")
    shown = prompt_at(view.walk, view.state, name, now)
    held = Talk(Mode.KNOWN_READING, name, known=True)
    # Whether the step may be done now makes no difference: the reading was taken already.
    asks = wanted(view.walk, shown.asked, 0)
    return Reply(talk=held, lines=(shown.title, shown.do), asks=asks)

"""The step that a name stands for, and the deed that a step is in the safety model.

Besides the steps of the tree there are a few that the engine puts in by itself: what has to come
first when the safety model refuses the step that is next (look over, switch off, clear people
and tools, shut a box, take an item off). They are made from their name alone.
"""

from __future__ import annotations

from engine import power
from engine.layouts import Layout
from engine.power import OUTCOMES, Act, Deed
from engine.tree import CHANGING, REPAIR, ActHead, Judgement, Outcome, Step, WalkTree

FIRST = "first"
"""What the names of the engine's own steps begin with: ``first/close up/control box``."""


def step_named(walk: WalkTree, name: str) -> Step:
    """Return a step of the tree or one of the engine's own; raises KeyError for neither."""
    if name.startswith(f"{FIRST}/"):
        return _made(name)
    return walk.steps[name]


def deed_of(step: Step) -> Deed:
    """Return what an act step does to the world; raises TypeError for a step of another kind."""
    head = step.head
    if not isinstance(head, ActHead):
        raise TypeError(f"{step.name} is not an act")
    return Deed(
        act=head.act,
        zone=head.zone,
        device=head.device,
        box=head.box,
        item=head.item,
        mode=head.end or head.mode,
        on=head.on,
    )


def is_repair(name: str) -> bool:
    """Return whether a step is the repair of a finding."""
    return name.startswith(REPAIR)


def name_of(deed: Deed) -> str:
    """Return the name of the engine's own step that does a deed."""
    about = (deed.device, deed.box, deed.zone, deed.item)
    return "/".join([FIRST, str(deed.act), *about])


def what_comes_first(layout: Layout, state: power.State, wanted: Deed) -> Deed | None:
    """Return a permitted act of the engine's own that a refused deed waits for; None if none.

    Never one that would have to be read with a meter: nothing is proven by saying so.
    """
    waiting, seen = list(power.comes_first(layout, state, wanted)), {wanted}
    while waiting:
        deed = waiting.pop(0)
        if deed in seen or deed.act not in _TITLES:
            continue
        seen.add(deed)
        if not power.refusals(layout, state, deed):
            return deed
        waiting = [*power.comes_first(layout, state, deed), *waiting]
    return None


_TITLES = {
    Act.LOOK_OVER: "Look the job over",
    Act.SWITCH_OFF: "Switch off the {device}",
    Act.ALL_CLEAR: "People and tools clear",
    Act.CLOSE_UP: "Shut the {box}",
    Act.OPEN_UP: "Open the {box}",
    Act.TAKE_OFF: "Take off the {item}",
    Act.TELL: "Tell the customer",
}

_TEXTS = {
    Act.LOOK_OVER: "Roof edge, weather, light, water, smell, other people's locks: fit to go on?",
    Act.SWITCH_OFF: "Load off first. Stand to the hinge side, face away, one motion.",
    Act.ALL_CLEAR: "Everybody told, hands and tools out.",
    Act.CLOSE_UP: "Cover on, screws in.",
    Act.OPEN_UP: "Cover off. Only what the next step needs.",
    Act.TAKE_OFF: "Take off what you put on, and say so.",
    Act.TELL: "What was found, what was done, what was left.",
}


def _made(name: str) -> Step:
    _, act_word, device, box, zone, item = name.split("/")
    act = Act(act_word)
    answers = {word: Outcome(word, counts_as=word, then="") for word in OUTCOMES.get(act, ())}
    head = ActHead(
        act,
        zone=zone,
        device=device,
        box=box,
        item=item,
        judgements=(Judgement(answers),) if answers else (),
    )
    title = _TITLES.get(act, str(act).capitalize()).format(device=device, box=box, item=item)
    return Step(name, title, head, CHANGING, do=_TEXTS.get(act, ""))

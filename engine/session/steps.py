"""The step that a name stands for, and the deed that a step is in the safety model."""

from __future__ import annotations

from functools import lru_cache

from engine import power
from engine.layouts import LAYOUTS, Layout
from engine.power import Deed
from engine.session.first import is_first, made
from engine.session.same import SameStep
from engine.tree import REPAIR, ActHead, Step, WalkTree


def layout_of(walk: WalkTree) -> Layout:
    """Return the engine's layout that the tree names."""
    return LAYOUTS[walk.tree.layout]


def step_named(walk: WalkTree, name: str) -> Step:
    """Return a step of the tree or one of the engine's own; raises KeyError for neither."""
    return made(walk, layout_of(walk), name) if is_first(name) else walk.steps[name]


def deed_of(step: Step) -> Deed:
    """Return what an act step does to the world; raises TypeError for a step of another kind."""
    return _deed(SameStep(step))


@lru_cache(maxsize=4096)
def _deed(same: SameStep) -> Deed:
    head = same.step.head
    if not isinstance(head, ActHead):
        raise TypeError(f"{same.step.name} is not an act")
    return Deed(
        act=head.act,
        zone=head.zone,
        device=head.device,
        box=head.box,
        item=head.item,
        mode=head.end or head.mode,
        unread=head.unread,
        on=head.on,
    )


def refusals(walk: WalkTree, state: power.State, step: Step) -> tuple[power.Refusal, ...]:
    """Return what stands against a step now; empty for one that is permitted."""
    return power.refusals(layout_of(walk), state, deed_of(step))


def is_repair(name: str) -> bool:
    """Return whether a step is the repair of a finding."""
    return name.startswith(REPAIR)

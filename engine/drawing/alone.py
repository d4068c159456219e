"""A procedure by itself on paper: its steps in the place of a tree's, its parameters as written.

No unit and no layout is known of it. What its acts warn of is what they would at the unit itself,
from its control box and its disconnect, wherever a parameter stands for the place.
"""

from __future__ import annotations

from dataclasses import replace

from engine.layouts import LAYOUTS, Layout
from engine.power import Deed, misfit
from engine.tree import THE, Status, Step, WalkTree

ALONE = "procedure"
"""The status of what is no tree; it has no revision."""
ELSEWHERE = "where the tree that uses it goes when it is stuck"
"""Where a procedure by itself leads when a step can't be done."""
_BOX, _DEVICE = "control box", "disconnect"


def opened(walk: WalkTree) -> WalkTree:
    """Return a procedure by itself (`Loaded.alone`) with its own steps as those of a tree."""
    user = walk.tree.start
    return replace(
        walk,
        tree=replace(walk.tree, start=walk.begins[user], revision=0, status=Status(ALONE)),
        steps={name: _by_itself(step) for name, step in walk.steps.items() if name != user},
        begins={name: first for name, first in walk.begins.items() if name != user},
        inside={name: outer for name, outer in walk.inside.items() if outer != user},
    )


def _by_itself(step: Step) -> Step:
    """Return a step without a stage, and with ``the {the box}`` as one word of it."""
    title, do, why = (text.replace("the the ", "the ") for text in (step.title, step.do, step.why))
    return replace(step, stage="", title=title, do=do, why=why)


def at_the_unit(deed: Deed) -> tuple[Layout, Deed] | None:
    """Return a deed with places for its parameters, and a layout that has them; None without."""
    device = _DEVICE if deed.device.startswith(THE) else deed.device
    box = _BOX if deed.box.startswith(THE) else deed.box
    for layout in LAYOUTS.values():
        zone = deed.zone
        if zone.startswith(THE):
            zone = layout.box(box).exposes[0] if box in layout.box_at else layout.unit
        placed = replace(deed, zone=zone, device=device, box=box)
        if not misfit(layout, placed):
            return layout, placed
    return None

"""Trees made of acts alone: no words, no files, nothing between the acts and the proof.

A step is an act whose answers lead on, or a sort by what an earlier step was answered. What cannot
be done is asked again, so that nothing but the answers leads anywhere.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import pytest

from engine.layouts import Layout
from engine.power import Act, Deed
from engine.session import steps
from engine.tree import (
    DONE,
    NOT_NOW,
    REPAIR,
    STUCK_REASONS,
    ActHead,
    Finding,
    Head,
    Judgement,
    Outcome,
    SortHead,
    Status,
    Step,
    Suspect,
    Tree,
    WalkTree,
)
from engine.unit.symptom import Complaint
from engine.vocabulary import Vocabulary
from tests.sequences import Stated

OWN = "told here"
"""The name of the layout of such trees, while `layout_is` holds."""
CAUSE, FOUND = "cause", "found"
"""The one finding of such trees, and what an answer leads to that comes to it."""


@dataclass(frozen=True, slots=True)
class Node:
    """One step: a deed whose answers, each with what it counts as, lead on; or a sort."""

    deed: Deed | None
    answers: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    """Answer → (what it counts as, the step it leads to); of a sort the former is empty."""
    by: str = ""
    """The earlier step that a sort goes by."""
    minutes: float = 0.0


Nodes = Mapping[str, Node]


def layout_is(layout: Layout, patch: pytest.MonkeyPatch) -> None:
    """Make trees of acts stand on a layout."""
    patch.setattr(steps, "LAYOUTS", {OWN: layout})


def tree_of(nodes: Nodes) -> WalkTree:
    """Return a tree that begins at the first of some nodes."""
    made = {name: _step(name, node) for name, node in nodes.items()}
    first = next(iter(made))
    finding = Finding(CAUSE, CAUSE, CAUSE, then=first, not_now=first)
    repair = Outcome(then=REPAIR + CAUSE)
    mend = ActHead(Act.ASK, judgements=(Judgement({DONE: repair, NOT_NOW: repair}),))
    stuck = dict.fromkeys(STUCK_REASONS, REPAIR + CAUSE)
    made[REPAIR + CAUSE] = Step(REPAIR + CAUSE, CAUSE, mend, cannot=stuck)
    tree = Tree(
        "acts", "Acts", Complaint(()), 1, Status("draft"), OWN, first,
        {}, {CAUSE: Suspect(CAUSE, CAUSE)}, {}, {}, first, made, {CAUSE: finding},
    )  # fmt: skip
    return WalkTree(tree, Vocabulary({}, {}, {}, {}, {}), {}, made, {}, {}, {})


def _step(name: str, node: Node) -> Step:
    answers = {
        key: Outcome(counts_as=counts_as, finds=CAUSE)
        if to == FOUND
        else Outcome(counts_as=counts_as, then=to)
        for key, (counts_as, to) in node.answers.items()
    }
    judgement = Judgement(answers)
    head: Head = SortHead(by_step=node.by, judgement=judgement)
    if node.deed:
        head = _act(node.deed, judgement)
    stuck = dict.fromkeys(STUCK_REASONS, name)
    return Step(name, name, head, minutes=node.minutes, cannot=stuck)


def _act(deed: Deed, judgement: Judgement) -> ActHead:
    end = deed.act is Act.END
    return ActHead(
        deed.act,
        zone=deed.zone,
        device=deed.device,
        box=deed.box,
        item=deed.item,
        mode="" if end else deed.mode,
        on=deed.on,
        unread=deed.unread,
        judgements=() if end else (judgement,),
        end=deed.mode if end else "",
    )


def chain(stated: Sequence[Stated], last: str = "") -> dict[str, Node]:
    """Return the nodes of a sequence, numbered from 1, that goes on at ``last``."""
    nodes: dict[str, Node] = {}
    for number, one in enumerate(stated, 1):
        to = str(number + 1) if number < len(stated) else last
        answers = {DONE: (one.outcome, to)} if to else {}
        nodes[str(number)] = Node(one.deed, answers)
    return nodes

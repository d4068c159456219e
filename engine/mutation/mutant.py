"""A mutant: a tree with one small change, as a slip of its author would be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from engine.problems import Span
from engine.tree import PassHead, Step, UseHead, WalkTree


@dataclass(frozen=True, slots=True, order=True)
class Operator:
    """A kind of slip."""

    words: str
    """What happened, for example ``lock out left out``."""
    safety: bool = False
    """It is for the proof to notice; every other is for the cases."""


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change to a tree as walked, made wherever the step that was written stands."""

    operator: Operator
    span: Span
    """Of the step, row or finding that is changed; the tree's own where it is all of it."""
    title: str
    change: str
    """What is different, in a sentence without its end."""
    steps: Mapping[str, Step] = field(default_factory=dict)
    """The changed steps by name."""
    layout: str = ""
    """The layout in the place of the tree's own; empty for no change."""

    def walk(self, of: WalkTree) -> WalkTree:
        """Return the tree with the change made; a procedure that is not used is not there."""
        tree = replace(of.tree, layout=self.layout) if self.layout else of.tree
        unused = tuple(
            f"{name}/"
            for name, step in self.steps.items()
            if isinstance(step.head, PassHead) and isinstance(of.steps[name].head, UseHead)
        )
        steps = {**of.steps, **self.steps}
        kept = {name: step for name, step in steps.items() if not name.startswith(unused)}
        return replace(of, tree=tree, steps=kept)

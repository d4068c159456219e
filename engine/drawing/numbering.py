"""The steps of a tree as paper has them, each with its number.

A step of a list stands once for every row, with the row's condition as its own; the silent step
that only tests the condition is left out, and what leads there leads on. So is a step that a
procedure never does with what it was given: the compressor's own cover, of a heater.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from engine.drawing.ways import FINDING
from engine.session.steps import is_repair
from engine.tree import ENTER, LEAVE, PassHead, Step, WalkTree
from engine.vocabulary import NEVER


@dataclass(frozen=True)
class Numbered:
    """One tree with the numbers of its steps and findings."""

    walk: WalkTree

    @cached_property
    def steps(self) -> Mapping[str, Step]:
        """Return the steps of the tree itself in file order."""
        walk = self.walk
        own = {
            name: step
            for name, step in walk.steps.items()
            if name not in walk.inside
            and not is_repair(name)
            and not name.startswith((ENTER, LEAVE))
        }
        return in_rows(own)

    @cached_property
    def numbers(self) -> Mapping[str, str]:
        """Return the number of every step and finding, by the id of its box."""
        steps = {name: str(n) for n, name in enumerate(self.steps, 1)}
        return steps | {
            FINDING + name: f"F{n}" for n, name in enumerate(self.walk.tree.findings, 1)
        }

    @cached_property
    def users(self) -> Mapping[str, str]:
        """Return the number that a step inside a procedure goes by: that of its using step."""
        found = {name: self.outermost(name) for name in self.walk.inside}
        return {name: self.numbers[one] for name, one in found.items() if one in self.numbers}

    def outermost(self, step: str) -> str:
        """Return the step of the tree itself that a step inside procedures belongs to."""
        while step in self.walk.inside:
            step = self.walk.inside[step]
        return step

    def leads_to(self, target: str) -> str:
        """Return the step that stands on paper where a target leads."""
        return leads_on(self.walk, target)


def in_rows(steps: Mapping[str, Step]) -> dict[str, Step]:
    """Return steps with the condition of each row put on the step that the row begins with."""
    rows = {step.then: step for step in steps.values() if _is_row(step, steps)}
    left_out = {step.name for step in rows.values()}
    left_out |= {name for name, step in steps.items() if NEVER in step.condition}
    return {
        name: replace(step, condition=rows[name].condition, if_not=rows[name].if_not)
        if name in rows and rows[name].condition
        else step
        for name, step in steps.items()
        if name not in left_out
    }


def leads_on(walk: WalkTree, target: str) -> str:
    """Return where a way ends on paper: past silent steps and those that are never done."""
    step = walk.steps.get(target)
    if step and NEVER in step.condition:
        return leads_on(walk, step.if_not)
    return leads_on(walk, step.then) if step and _is_row(step, walk.steps) else target


def _is_row(step: Step, steps: Mapping[str, Step]) -> bool:
    first = steps.get(step.then)
    return (
        isinstance(step.head, PassHead)
        and first is not None
        and not isinstance(first.head, PassHead)
        and not (step.condition and first.condition)
        and first.name.startswith(f"{step.name}/")
    )

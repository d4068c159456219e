"""A step as a key: for what hangs on the step alone, and would be worked out at every fold."""

from __future__ import annotations

from engine.tree import Step


class SameStep:
    """A step that is the same only as itself: comparing what two steps say would cost too much."""

    __slots__ = ("step",)

    def __init__(self, step: Step) -> None:
        self.step = step

    def __hash__(self) -> int:
        return id(self.step)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, SameStep) and other.step is self.step

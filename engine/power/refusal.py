"""Why an act is not for now: what a guard yields."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from engine.layouts import Layout
from engine.power.acts import Deed
from engine.power.state import State


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why an act is not for now."""

    rule: str
    """``R1`` to ``R13``."""
    sentence: str
    first: Deed | None = None
    """The deed that puts it right, where a single one does."""

    def __str__(self) -> str:
        return f"{self.rule}: {self.sentence}"


Guard = Callable[[Layout, State, Deed], Iterator[Refusal]]
"""A guard yields a refusal for everything that stands against a deed by its rule."""

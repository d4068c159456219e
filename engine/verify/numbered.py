"""Things by number: what is looked up often is looked up by that."""

from __future__ import annotations

from collections.abc import Hashable
from typing import Generic, TypeVar

T = TypeVar("T", bound=Hashable)


class Numbered(Generic[T]):
    """Things, each once, by the number at which they came."""

    def __init__(self) -> None:
        self.things: list[T] = []
        self._numbers: dict[T, int] = {}

    def __len__(self) -> int:
        return len(self.things)

    def __getitem__(self, number: int) -> T:
        return self.things[number]

    def number(self, thing: T) -> int:
        """Return the number of a thing, the next one if it is new."""
        known = self._numbers.get(thing)
        if known is None:
            known = self._numbers[thing] = len(self.things)
            self.things.append(thing)
        return known

"""The problem of finding the cause, as states and the checks that part them.

A state is what is known: a number, so that it can be a key. What is behind it is the affair of
`sets` (readings that are never wrong) and `odds` (readings that may be); `planning` needs only
what is here.
"""

from __future__ import annotations

from typing import NamedTuple, Protocol

State = int


class Part(NamedTuple):
    """What a check makes of a state."""

    check: int
    """The check, by its position in the matrix."""
    children: tuple[State, ...]
    """The state after each outcome that leaves something to do."""
    cut: float = 0.0
    """Of outcomes too unlikely to be looked into: the bits left, times how likely they are."""


class Task(NamedTuple):
    """What is done to learn more: minutes, where, and how it is chosen among equals."""

    minutes: float
    access: int
    risk: int
    name: str


class Splitting(Protocol):
    """The states that finding the cause goes through."""

    tasks: tuple[Task, ...]
    """The checks, by their position in the matrix."""
    changes: tuple[tuple[float, ...], ...]
    start: State
    quick: bool
    """Whether a state is parted in microseconds: there is time to look ahead everywhere."""

    def mass(self, state: State) -> float:
        """Return how likely it is to come to a state, from the suspects' weights."""

    def left(self, state: State) -> dict[str, float]:
        """Return the suspects that are left in a state with their weights; they sum to its mass."""

    def size(self, state: State) -> int:
        """Return how many suspects are left in a state."""

    def parts(self, state: State) -> list[Part]:
        """Return the checks that part a state; none where the work is finished."""

    def bits(self, state: State, part: Part) -> float:
        """Return the information of a check in a state, times the state's mass."""

    def closing(self, state: State, *, finished: bool) -> tuple[float, ...] | None:
        """Return what is still to be done where no further check is made, by access.

        Minutes times the state's mass; None where the work may not stop in this state.
        ``finished`` tells that no check parts it.
        """

    def coarser(self) -> Splitting:
        """Return the same search with what is most unlikely not looked into, for a rollout."""

    def order(self, states: list[State]) -> list[State]:
        """Return states so that what a check leads to comes before where it is made."""

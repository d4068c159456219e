"""Whether one more check is worth its minutes, or a repair is tried straight away."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from engine.matrix import Matrix, Repair
from engine.suspects.belief import Known, believe
from engine.suspects.odds import Odds
from engine.suspects.planning import MOST_STATES, Plan, plan
from engine.suspects.repairs import repair_order
from engine.suspects.sets import Sets
from engine.suspects.splitting import Part, Splitting, State, Task

NEVER_SURE = 2.0
"""No suspect is ever so likely that checking ends by itself."""

Ending = Callable[[Mapping[str, float]], float]
"""What is expected, in minutes, of ending the search with suspects of these chances."""


def by_repairs(repairs: Sequence[Repair]) -> Ending:
    """Return the ending by repairs in their best order."""
    return lambda chances: repair_order(chances, repairs).minutes


def weigh(
    matrix: Matrix, known: Known, ending: Ending, access: int = 0, most_states: int = MOST_STATES
) -> Plan:
    """Return the next check, or that none is worth it, where the search may end at any time.

    The plan's ``stop`` is what ending it now is expected to take. Raises ValueError where no
    suspect explains what is known.
    """
    belief = believe(matrix, known)
    if not belief.explained:
        raise ValueError("no suspect explains what is known")
    weights = tuple(belief.remaining.values())
    inner: Splitting
    if matrix.never_wrong:
        inner = Sets(matrix, sum(1 << at for at, one in enumerate(weights) if one), single=True)
    else:
        inner = Odds(matrix, weights, known, sure=NEVER_SURE)
    return plan(Weighed(inner, ending), access, most_states=most_states)


class Weighed:
    """A search that may end in any state, for what its ending is expected to take."""

    def __init__(self, inner: Splitting, ending: Ending) -> None:
        self._inner, self._ending = inner, ending
        self.tasks: tuple[Task, ...] = inner.tasks
        self.changes = inner.changes
        self.start = inner.start
        self.quick = inner.quick

    def mass(self, state: State) -> float:
        """Return how likely it is to come to a state."""
        return self._inner.mass(state)

    def left(self, state: State) -> dict[str, float]:
        """Return the suspects left, with their weights."""
        return self._inner.left(state)

    def size(self, state: State) -> int:
        """Return how many suspects are left."""
        return self._inner.size(state)

    def parts(self, state: State) -> list[Part]:
        """Return the checks that part a state."""
        return self._inner.parts(state)

    def bits(self, state: State, part: Part) -> float:
        """Return the information of a check, times the state's mass."""
        return self._inner.bits(state, part)

    def closing(self, state: State, *, finished: bool) -> tuple[float, ...] | None:
        """Return what ending the search here takes, wherever the work is."""
        mass = self.mass(state)
        chances = {name: weight / mass for name, weight in self.left(state).items()}
        return (mass * self._ending(chances),) * len(self.changes)

    def coarser(self) -> Weighed:
        """Return the same search with what is most unlikely not looked into."""
        return Weighed(self._inner.coarser(), self._ending)

    def order(self, states: list[State]) -> list[State]:
        """Return states so that what a check leads to comes before where it is made."""
        return self._inner.order(states)

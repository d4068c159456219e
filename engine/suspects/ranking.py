"""The next check from a matrix and what is known, with everything that can be said about it."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from engine.matrix import Matrix
from engine.suspects.belief import Belief, Known, believe
from engine.suspects.odds import Odds
from engine.suspects.planning import MOST_STATES, Choice, Method, Plan, plan
from engine.suspects.sets import Sets
from engine.suspects.splitting import Splitting


@dataclass(frozen=True, slots=True)
class Ranking:
    """What is still possible, and every check that may come next, the best first."""

    belief: Belief
    choices: tuple[Choice, ...]
    minutes: float
    """Expected minutes to finish, from here; infinite where no permitted check leads on."""
    method: Method

    @property
    def next(self) -> str | None:
        """The check to make next; None where the work is finished or nothing is permitted."""
        return self.choices[0].task.name if self.choices else None


def rank(
    matrix: Matrix,
    known: Known,
    *,
    access: int = 0,
    permitted: frozenset[str] | None = None,
    most_states: int = MOST_STATES,
) -> Ranking:
    """Return what is still possible after what is known, and the next check.

    With checks that are never wrong the work is finished when none parts the suspects left; else
    when one suspect is sure, or no check is left. ``permitted`` are the checks that may come next,
    None for all; ``most_states`` 0 forces rollout. Raises KeyError for a known check that is not
    in the matrix.
    """
    belief = believe(matrix, known)
    if not belief.explained:
        return Ranking(belief, (), inf, Method.EXACT)
    planned = plan(
        problem_of(matrix, belief, known),
        access,
        None if permitted is None else _numbers(matrix, permitted),
        most_states,
    )
    return Ranking(belief, _worth(planned), planned.minutes, planned.method)


def problem_of(matrix: Matrix, belief: Belief, known: Known) -> Splitting:
    """Return the states of finding the cause, from what is believed now."""
    weights = tuple(belief.remaining.values())
    if matrix.by_odds or not matrix.never_wrong:
        return Odds(matrix, weights, known)
    return Sets(matrix, sum(1 << at for at, one in enumerate(weights) if one))


def _numbers(matrix: Matrix, names: frozenset[str]) -> frozenset[int]:
    return frozenset(at for at, check in enumerate(matrix.checks) if check.name in names)


def _worth(planned: Plan) -> tuple[Choice, ...]:
    return planned.choices if planned.best else ()

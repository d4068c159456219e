"""The session's state in the words of `engine.suspects`: what is still possible, what to check."""

from __future__ import annotations

from engine.session.advancing import CANNOT
from engine.session.state import Bearing, State
from engine.suspects.from_tree import Moment, Said
from engine.tree import WalkTree


def moment_of(walk: WalkTree, state: State) -> Moment:
    """Return a walk at this moment as the suspects see it."""
    passed = [one for one in state.passed if one.step in walk.steps]
    return Moment(
        power=state.power,
        stage=state.stage,
        words=state.words,
        said=tuple(_said(walk, state)),
        cannot=frozenset(one.step for one in passed if one.key == CANNOT),
        stopped=bool(state.stopped or not state.step),
    )


def _said(walk: WalkTree, state: State) -> list[Said]:
    """Return the answers in order, those of shared procedures where they returned.

    What an answer said of the suspects is what the session kept: a reading taken as close clears
    nothing, whatever its band says.
    """
    bearings = list(state.bearings)
    said: list[Said] = []
    for one in state.passed:
        told = _taken(bearings, one.step, one.verdict)
        if one.step in walk.steps and one.key != CANNOT:
            said.append(_as_said(one.step, one.verdict, told))
        while bearings and bearings[0].n == one.n and bearings[0].step != one.step:
            if bearings[0].step not in walk.begins:
                break
            step, verdict = bearings[0].step, state.verdicts.get(bearings[0].step, "")
            said.append(_as_said(step, verdict, _taken(bearings, step, bearings[0].verdict)))
    return said


def _taken(bearings: list[Bearing], step: str, verdict: str) -> list[Bearing]:
    """Return the bearings of one answer that come first, taken out of the list."""
    taken: list[Bearing] = []
    while bearings and (bearings[0].step, bearings[0].verdict) == (step, verdict):
        taken.append(bearings.pop(0))
    return taken


def _as_said(step: str, verdict: str, told: list[Bearing]) -> Said:
    cleared = frozenset(one.suspect for one in told if one.cleared)
    return Said(step, verdict, cleared, frozenset(one.suspect for one in told if not one.cleared))

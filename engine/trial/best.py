"""The minutes that the best order of a tree's checks would take to each fault.

Owns `best_minutes`. The planner of `engine.suspects` is asked again after every answer, by the
outcomes that the trial itself has shown; what the trial did not come by is as the author wrote it.
It plans checks and not what is switched on in between, so a fault that shows only after that has
no such figure.

The author's order is not to be held against these minutes: the planner is told which suspects the
unit has no fault of, and it ends as soon as the others are cleared, where the author's walk goes on
until a check finds the cause.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import inf

from engine.loader.outcomes import pooled
from engine.matrix import Shows
from engine.power import State
from engine.session.advancing import begin
from engine.suspects.access import Access, Words, stage_of
from engine.suspects.from_tree import Advice, Moment, Said, TreeSearch
from engine.suspects.signature import answers_of, causes
from engine.tree import OUTSIDE, Outcome, WalkTree
from engine.trial.outcomes import shown_by_step
from engine.trial.scoring import called
from engine.trial.walked import Walked
from engine.unit.unit import Unit

MOST = 30
"""Checks after which a search is given up."""


def best_minutes(walk: WalkTree, unit: Unit, walked: Sequence[Walked]) -> Mapping[str, float]:
    """Return the minutes to each fault's finding; none for a fault that the planner can't reach.

    Goes by the nominal rows with one fault.
    """
    nominal = [one for one in walked if len(one.faults) == 1 and not one.variation]
    shown = {one.faults[0]: one for one in nominal}
    search = _Searching(walk, unit, tuple(shown), pooled([shown_by_step(walk, unit, nominal)]))
    found = {name: search.minutes(name, row) for name, row in shown.items()}
    return {name: minutes for name, minutes in found.items() if minutes < inf}


class _Searching:
    """Searches of one tree on one unit; those that begin alike are planned once."""

    def __init__(
        self, walk: WalkTree, unit: Unit, names: Sequence[str], tried: Mapping[str, Shows]
    ) -> None:
        self._walk = walk
        self._search = TreeSearch(walk, tried)
        self._finds = causes(walk)
        self._suspects = {name: called(walk, unit, name) for name in names}
        self._words: Words = {
            name: said if walk.fields[name].many else said[0]
            for name, said in unit.nameplate.items()
            if name in walk.fields and walk.fields[name].words
        }
        self._access = Access(walk, self._words)
        self._planned: dict[tuple[tuple[Said, ...], str], Advice] = {}

    def minutes(self, fault: str, row: Walked) -> float:
        """Return what the best checks take to the finding of a fault; infinity for no end."""
        suspect = self._suspects[fault]
        verdicts = {one.step: one.verdict for one in reversed(row.path) if not one.silent}
        elsewhere = frozenset(self._walk.tree.suspects) - set(self._suspects.values())
        said: tuple[Said, ...] = (Said("", "", elsewhere),)
        stage, power, spent = OUTSIDE, begin(self._walk).power, 0.0
        for _ in range(MOST):
            if self._is_alone(said, suspect):
                return spent
            advice = self._advice(said, stage, power)
            if not advice.choices:
                return inf
            choice = advice.choices[0]
            step = self._walk.steps[choice.task.name]
            outcome = self._outcome(step.name, suspect, verdicts)
            spent += choice.first
            if self._finds.get(outcome.finds) == suspect:
                return spent
            there = self._access.change(power, stage, stage_of(step))
            if there is None:
                return inf
            stage, power = stage_of(step), there.power
            clears, points = frozenset(outcome.clears), frozenset(outcome.points_to)
            said = (*said, Said(step.name, outcome.verdict, clears, points))
        return inf

    def _is_alone(self, said: tuple[Said, ...], suspect: str) -> bool:
        cleared = frozenset(name for one in said for name in one.clears)
        return cleared >= set(self._walk.tree.suspects) - {suspect}

    def _advice(self, said: tuple[Said, ...], stage: str, power: State) -> Advice:
        if (said, stage) not in self._planned:
            moment = Moment(power, stage, self._words, said)
            self._planned[said, stage] = self._search.next_check(moment)
        return self._planned[said, stage]

    def _outcome(self, step: str, suspect: str, verdicts: Mapping[str, str]) -> Outcome:
        """Return what a step answers with a fault: as the row showed, else the likeliest."""
        answers = answers_of(self._walk.steps[step])
        if (verdict := verdicts.get(step)) in answers and verdict is not None:
            return answers[verdict]
        odds = self._search.shows(step, {suspect: 1.0})[suspect]
        return answers[max(odds, key=lambda one: odds[one])]

"""The minutes that the best order known of a tree's checks would take to each fault.

Owns `best_minutes`. The work begins where the tree begins. After every answer the planner of
`engine.suspects` says which check is next, or the rest is done in the author's order without the
checks that are answered by then: whichever is quicker for the faults that answered alike so far, by
how often each is the cause. So no order is chosen by what nobody knows yet, and the best order is
for all faults together never slower than the author's: as slow means that no check done earlier
was found to save anything, not that nobody could.

Both orders pay alike: each check its author's minutes, each change of access what the tree's own
procedures take. Both see alike: a check shows what the trial has shown with this fault, and what
the trial did not come by is as the author wrote it. The planner knows what the author knows, every
suspect of the tree, also those of which the unit has no fault. Its search ends where the cause is
found, or where a check has cleared the last of all others that the unit can have.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import NamedTuple

from engine.loader.outcomes import pooled
from engine.matrix import Shows
from engine.power import State
from engine.session.advancing import begin
from engine.session.steps import step_named
from engine.suspects.access import Access, Words, stage_of
from engine.suspects.from_tree import Moment, Said, TreeSearch, clearing
from engine.suspects.planning import Choice
from engine.suspects.signature import answers_of, causes
from engine.tree import ENTER, LEAVE, OUTSIDE, Outcome, WalkTree
from engine.trial.outcomes import shown_by_step
from engine.trial.scoring import called, to_finding, weights_of
from engine.trial.walked import Walked
from engine.unit.unit import Unit

MOST = 30
"""Checks after which the rest is left to the author's order."""
MOST_STATES = 1_000
"""States up to which each moment is planned exactly: a trial has hundreds of them."""


def best_minutes(walk: WalkTree, unit: Unit, walked: Sequence[Walked]) -> Mapping[str, float]:
    """Return the minutes to each fault's finding, by the nominal rows with one fault."""
    nominal = [one for one in walked if len(one.faults) == 1 and not one.variation]
    shown = {one.faults[0]: one for one in nominal}
    search = _Searching(walk, unit, shown, pooled([shown_by_step(walk, unit, nominal)]))
    return search.minutes(tuple(shown), _At(begin(walk).power))


class _At(NamedTuple):
    """Where a search stands."""

    power: State
    stage: str = OUTSIDE
    said: tuple[Said, ...] = ()


class _Searching:
    """Searches of one tree on one unit; faults that answer alike share each moment."""

    def __init__(
        self, walk: WalkTree, unit: Unit, rows: Mapping[str, Walked], tried: Mapping[str, Shows]
    ) -> None:
        self._walk = walk
        self._search = TreeSearch(walk, tried, MOST_STATES)
        self._finds = causes(walk)
        self._rows = rows
        self._verdicts = {
            name: {one.step: one.verdict for one in reversed(row.path) if not one.silent}
            for name, row in rows.items()
        }
        self._suspects = {name: called(walk, unit, name) for name in rows}
        self._weights = weights_of(walk, unit, tuple(rows))
        self._words: Words = {
            name: said if walk.fields[name].many else said[0]
            for name, said in unit.nameplate.items()
            if name in walk.fields and walk.fields[name].words
        }
        self._possible = frozenset(self._search.suspects(self._words))
        self._access = Access(walk, self._words)

    def minutes(self, faults: Sequence[str], at: _At) -> dict[str, float]:
        """Return what each of the faults that answered alike takes from here to its finding."""
        authored = {name: self._rest(name, at) for name in faults}
        advice = self._search.next_check(Moment(at.power, at.stage, self._words, at.said))
        if not advice.choices or len(at.said) >= MOST:
            return authored
        planned = self._planned(faults, at, advice.choices[0])
        return min((authored, planned or authored), key=self._together)

    def _together(self, minutes: Mapping[str, float]) -> float:
        return sum(self._weights[name] * one for name, one in minutes.items())

    def _planned(self, faults: Sequence[str], at: _At, choice: Choice) -> dict[str, float] | None:
        """Return the minutes where a check is next; None where there is no way to it."""
        step = self._walk.steps[choice.task.name]
        there = self._access.change(at.power, at.stage, stage_of(step))
        if there is None:
            return None
        answered: dict[str, list[str]] = {}
        for name in faults:
            answered.setdefault(self._verdict(step.name, name), []).append(name)
        spent = dict.fromkeys(faults, choice.first)
        for verdict, alike in answered.items():
            one = answers_of(step)[verdict]
            told = Said(step.name, verdict, frozenset(one.clears), frozenset(one.points_to))
            then = _At(there.power, stage_of(step), (*at.said, told))
            left = [name for name in alike if not self._is_told(one, then.said, name)]
            for name, more in (self.minutes(left, then) if left else {}).items():
                spent[name] += more
        return spent

    def _rest(self, fault: str, at: _At) -> float:
        """Return what the author's order takes once some of its checks are answered.

        A stage in which nothing is left to be done is not entered.
        """
        if not at.said:
            return self._rows[fault].minutes
        answered = {one.step for one in at.said}
        back = self._access.change(at.power, at.stage, OUTSIDE)
        within, needed = [back.minutes if back else 0.0], [True]
        for name, minutes in self._stretches(fault):
            if name.startswith(ENTER):
                within.append(minutes)
                needed.append(False)
            elif name.startswith(LEAVE) and len(within) > 1:
                stay = within.pop() + minutes
                if needed.pop():
                    within[-1] += stay
                    needed[-1] = True
            elif name not in answered:
                within[-1] += minutes
                needed[-1] = True
        return sum(within)

    def _stretches(self, fault: str) -> Iterator[tuple[str, float]]:
        """Yield the author's way to a finding: steps, and whole procedures, with their minutes."""
        for name, steps in groupby(to_finding(self._rows[fault]), lambda one: self._use(one.step)):
            yield name, sum(step_named(self._walk, one.step).minutes for one in steps)

    def _use(self, step: str) -> str:
        """Return the step by which a procedure is used, or a step of the tree's own as it is."""
        while step in self._walk.inside:
            step = self._walk.inside[step]
        return step

    def _is_told(self, outcome: Outcome, said: tuple[Said, ...], fault: str) -> bool:
        suspect = self._suspects[fault]
        return self._finds.get(outcome.finds) == suspect or self._is_alone(said, suspect)

    def _is_alone(self, said: tuple[Said, ...], suspect: str) -> bool:
        cleared = {name for name in self._possible if clearing(said, name)}
        return cleared >= self._possible - {suspect}

    def _verdict(self, step: str, fault: str) -> str:
        """Return what a step answers with a fault: as the row showed, else the likeliest."""
        answers = answers_of(self._walk.steps[step])
        verdict = self._verdicts[fault].get(step, "")
        if verdict in answers:
            return verdict
        suspect = self._suspects[fault]
        odds = self._search.shows(step, {suspect: 1.0})[suspect]
        return max(odds, key=lambda one: odds[one])

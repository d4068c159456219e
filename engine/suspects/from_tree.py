"""What is still possible on a walk of a tree, and the best next check among its steps.

A walk comes in as a `Moment`: where the work stands and what was said. What is answered is how
likely each suspect is, by what each of the others was cleared, and which step is best next, with
the minutes that the author's words give for it. A suspect that nobody listed is always possible.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import inf
from typing import NamedTuple

from engine import power
from engine.layouts import LAYOUTS
from engine.matrix import Check, Matrix, Shows
from engine.power import Act
from engine.suspects.access import Access, Stands, Words, applies, stage_of
from engine.suspects.clashes import hitting_sets
from engine.suspects.odds import Odds
from engine.suspects.planning import MOST_STATES, Choice, Method, plan
from engine.suspects.route import forks
from engine.suspects.signature import answers_of, causes, found_by, hints, shows
from engine.tree import CHANGING, OUTSIDE, ActHead, Step, UseHead, WalkTree

CHECKS = frozenset(
    {Act.ASK, Act.LOOK, Act.READ_LIVE, Act.READ_DEAD, Act.CHECK, Act.INSULATION_TEST}
)
"""Acts by which something is learned and nothing is changed."""
OTHER = "something that is not listed"
"""The suspect that every tree has besides its own."""
OTHER_WEIGHT = 0.02
"""How often it is none of the listed ones, before anything is known: judgement, no source."""
OTHER_LEAST = 0.01
"""What it never falls below, however well a listed suspect fits."""
UNSAID = 2.0
"""Minutes of a check whose author gives none: judgement, no source. Nothing is learned in no time;
if it were, such a check would always come first."""
LEAST = 2e-2
"""What is less likely than this to be come to is not looked into by a rollout."""
RISKS = {Act.ASK: 0, Act.LOOK: 1, Act.READ_DEAD: 2, Act.CHECK: 2, Act.INSULATION_TEST: 3}
"""Of two checks equally good the one nearer the front is done; reading live comes last."""


class Said(NamedTuple):
    """An answer of a walk, with what it said of the suspects."""

    step: str
    verdict: str
    clears: frozenset[str] = frozenset()
    points_to: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Moment:
    """A walk at one moment, as far as the suspects are concerned."""

    power: power.State
    stage: str = OUTSIDE
    words: Words = field(default_factory=dict)
    """Nameplate answers that are words."""
    said: tuple[Said, ...] = ()
    """In the order of the walk; of what was said of a suspect the latest counts."""
    cannot: frozenset[str] = frozenset()
    """Steps that could not be done."""
    stopped: bool = False
    """A reason to stop was given: nothing is looked for any more."""


@dataclass(frozen=True)
class Possible:
    """What is still possible."""

    remaining: Mapping[str, float]
    """Every suspect that this unit can have, and `OTHER`; those that are cleared with 0."""
    cleared: Mapping[str, tuple[Said, ...]]
    """Cleared suspect → the answers that clear it."""
    clashes: tuple[tuple[str, ...], ...] = ()
    """Where no listed suspect is left: each a smallest set of steps that clear them all."""


@dataclass(frozen=True)
class Advice:
    """The best next check, and what the others would come to."""

    choices: tuple[Choice, ...]
    minutes: float
    """Expected minutes to the finding; infinite where no permitted check leads on."""
    method: Method

    @property
    def next(self) -> str | None:
        """The step to do next; None where none is permitted or none tells more."""
        return self.choices[0].task.name if self.choices else None

    def instead(self, step: str) -> float | None:
        """Return by how many minutes a step is slower than the best one; None for no choice."""
        for choice in self.choices:
            if choice.task.name == step:
                return choice.minutes - self.choices[0].minutes
        return None


UNTRIED = 0.05
"""Share of the odds that a trial leaves to every answer alike: a cause has more faults than a unit
file lists. Judgement, no source."""
NOT_TRIED: Mapping[str, Shows] = {}


class TreeSearch:
    """The search for a cause in one tree; what hangs on the tree alone is worked out once."""

    def __init__(
        self,
        walk: WalkTree,
        tried: Mapping[str, Shows] = NOT_TRIED,
        most_states: int = MOST_STATES,
    ) -> None:
        """Begin with a tree and, where it was tried on a simulated unit, what its steps showed.

        Up to ``most_states`` a moment is worked out exactly; beyond, `Advice.method` says rollout.
        """
        self._walk = walk
        self._most_states = most_states
        self._tried = tried
        self._finds = causes(walk)
        self._answers = {
            step.name: answers for step in walk.steps.values() if (answers := answers_of(step))
        }
        self._checks = [step for step in walk.steps.values() if self._speaks(step)]
        self._shows: dict[str, Shows] = {}
        """What steps show with every suspect of the tree; worked out when first asked for."""
        self._live = {name: self._read_live(name) for name in (OUTSIDE, *walk.tree.stages)}
        self._forks = forks(walk, [step.name for step in self._checks])

    def _speaks(self, step: Step) -> bool:
        """Return whether a step is a check that says anything of a suspect."""
        if step.stage == CHANGING or step.again or step.name in self._walk.inside:
            return False
        if isinstance(step.head, ActHead) and step.head.act not in CHECKS:
            return False
        answers = self._answers.get(step.name, {})
        return any(one.clears or one.points_to or one.finds for one in answers.values())

    def _read_live(self, stage: str) -> frozenset[str]:
        """Return the zones in which the checks of a stage read volts."""
        stages = self._walk.tree.stages
        heads = (step.head for step in self._checks if stage_of(step) == stage)
        zones = (
            head.zone or (stages[stage].zone if stage else "")
            for head in heads
            if isinstance(head, ActHead) and head.act is Act.READ_LIVE
        )
        return frozenset(zone for zone in zones if zone)

    # --- what is still possible -------------------------------------------------------------------

    def suspects(self, words: Words) -> dict[str, float]:
        """Return the suspects that this unit can have, with their weights."""
        every = self._walk.tree.suspects.values()
        return {one.name: one.weight for one in every if applies(one.condition, words)}

    def still_possible(self, moment: Moment) -> Possible:
        """Return how likely each suspect is after what was said, and what cleared the others."""
        weights = self.suspects(moment.words)
        weights[OTHER] = OTHER_WEIGHT * sum(weights.values())
        cleared = {name: by for name in weights if (by := clearing(moment.said, name))}
        for one in moment.said:
            answers = self._answers.get(one.step, {})
            for name in weights if one.verdict in answers else ():
                # What clears a suspect is dealt with above: there the latest counts.
                like = hints(answers, self._finds, name).get(one.verdict, 0.0)
                weights[name] *= 1 / len(answers) if name == OTHER or not like else like
        weights |= dict.fromkeys(cleared, 0.0)
        return Possible(_with_other(weights), cleared, _clashes(cleared, weights))

    # --- the next check ---------------------------------------------------------------------------

    def next_check(self, moment: Moment) -> Advice:
        """Return the best next check that is permitted, from what is still possible."""
        possible = self.still_possible(moment).remaining
        listed = {name: chance for name, chance in possible.items() if name != OTHER and chance}
        if moment.stopped or not listed:
            return NOTHING
        access = Access(self._walk, moment.words)
        stages = _stages(self._walk, moment.stage)
        steps = self._asked(moment)
        matrix = self._matrix(steps, listed, _There.of(access, stages, moment.power, self._live))
        permitted = frozenset(at for at, check in enumerate(matrix.checks) if check.minutes < inf)
        known = {one.step: one.verdict for one in moment.said}
        problem = Odds(matrix, tuple(listed.values()), known, coarse=LEAST)
        planned = plan(problem, 0, permitted, self._most_states)
        choices = planned.choices if planned.best else ()
        return Advice(choices, planned.minutes, planned.method)

    def _asked(self, moment: Moment) -> list[Step]:
        """Return the checks that this unit has and that could be done, also those answered."""
        return [
            step
            for step in self._checks
            if step.name not in moment.cannot and applies(step.condition, moment.words)
        ]

    @property
    def checks(self) -> frozenset[str]:
        """The steps that say anything of a suspect."""
        return frozenset(step.name for step in self._checks)

    def shows(self, step: str, suspects: Mapping[str, float]) -> Shows:
        """Return what a step shows with each suspect: as tried, where it was, else as written."""
        if step not in self._shows:
            answers, tried = self._answers[step], self._tried.get(step, {})
            written = shows(answers, self._finds, self._walk.tree.suspects)
            self._shows[step] = {
                name: _as_tried(tried.get(name, {}), tuple(answers), odds)
                for name, odds in written.items()
            }
        every = self._shows[step]
        return {name: every[name] for name in suspects}

    def _matrix(
        self, steps: Sequence[Step], suspects: Mapping[str, float], there: _There
    ) -> Matrix:
        checks = []
        for step in steps:
            answers = self._answers[step.name]
            fork = self._forks.get(step.name)
            checks.append(
                Check(
                    step.name,
                    there.minutes(step),
                    self.shows(step.name, suspects),
                    there.stages.index(stage_of(step)),
                    RISKS.get(step.head.act, 4) if isinstance(step.head, ActHead) else 4,
                    found_by(answers, self._finds),
                    (fork,) if fork else (),
                )
            )
        return Matrix(suspects, tuple(checks), there.changes, only_hints=True)


NOTHING = Advice((), inf, Method.EXACT)
"""No check is permitted, or none is left that tells more."""


def _stages(walk: WalkTree, present: str) -> tuple[str, ...]:
    return (present, *(one for one in (OUTSIDE, *walk.tree.stages) if one != present))


@dataclass(frozen=True)
class _There:
    """How things stand in each stage, once the work has got there, and what getting there takes."""

    access: Access
    stages: tuple[str, ...]
    """The present one first."""
    stands: tuple[Stands | None, ...]
    """None where a stage cannot be got to as things stand."""
    changes: tuple[tuple[float, ...], ...]

    @classmethod
    def of(
        cls,
        access: Access,
        stages: tuple[str, ...],
        now: power.State,
        live: Mapping[str, frozenset[str]],
    ) -> _There:
        """Return how things will stand, from how they stand now in the first stage.

        ``live`` are the zones in which volts are read in a stage: where nothing is on, a reading
        of volts says nothing of the cause, and getting there is of no use.
        """
        on = _Lit(access, live)
        stands = tuple(on.change(now, stages[0], stage) for stage in stages)
        changes = tuple(
            tuple(on.minutes(here, stage, wanted) for wanted in stages)
            for here, stage in zip(stands, stages, strict=True)
        )
        return cls(access, stages, stands, changes)

    def minutes(self, step: Step) -> float:
        """Return what a check takes by itself; infinity where it is not permitted there."""
        there = self.stands[self.stages.index(stage_of(step))]
        ready = there and self.access.permitted(there.power, step)
        if ready is None:
            return inf
        if not isinstance(step.head, UseHead):
            return (step.minutes or UNSAID) + ready.minutes
        ends = self.access.through(step.name, ready.power).values()
        return max((one.minutes for one in ends), default=step.minutes)


@dataclass(frozen=True)
class _Lit:
    """Changes of stage after which what is to be read live is on, by all reports."""

    access: Access
    live: Mapping[str, frozenset[str]]

    def change(self, now: power.State, present: str, wanted: str) -> Stands | None:
        """Return what a change takes; None where it is not permitted, or nothing is on there."""
        there = self.access.change(now, present, wanted)
        layout = LAYOUTS[self.access.walk.tree.layout]
        if there and all(power.is_on(layout, there.power, zone) for zone in self.live[wanted]):
            return there
        return None

    def minutes(self, here: Stands | None, stage: str, wanted: str) -> float:
        """Return the minutes of a change; infinity where there is none."""
        there = here and self.change(here.power, stage, wanted)
        return there.minutes if there else inf


def clearing(said: Sequence[Said], suspect: str) -> tuple[Said, ...]:
    """Return the answers that clear a suspect, those after the last that points to it."""
    by: list[Said] = []
    for one in said:
        if suspect in one.points_to:
            by = []
        elif suspect in one.clears:
            by.append(one)
    return tuple(by)


def _as_tried(
    tried: Mapping[str, float], answers: Sequence[str], written: Mapping[str, float]
) -> Mapping[str, float]:
    """Return the odds of answers as tried; by a trial alone nothing is quite impossible."""
    known = {one: tried[one] for one in answers if tried.get(one)}
    whole = sum(known.values())
    if not whole:
        return written
    spread = UNTRIED / len(answers)
    return {one: spread + (1 - UNTRIED) * known.get(one, 0.0) / whole for one in answers}


def _with_other(weights: Mapping[str, float]) -> dict[str, float]:
    """Return the chances, with what is not listed never below its least."""
    listed = sum(weight for name, weight in weights.items() if name != OTHER)
    other = max(weights[OTHER] / (listed + weights[OTHER]), OTHER_LEAST) if listed else 1.0
    chances = {name: weight / (listed or 1.0) * (1 - other) for name, weight in weights.items()}
    return chances | {OTHER: other}


def _clashes(
    cleared: Mapping[str, tuple[Said, ...]], weights: Mapping[str, float]
) -> tuple[tuple[str, ...], ...]:
    if any(weight for name, weight in weights.items() if name != OTHER):
        return ()
    sets = hitting_sets(frozenset(one.step for one in by) for by in cleared.values())
    return tuple(tuple(sorted(one)) for one in sets)

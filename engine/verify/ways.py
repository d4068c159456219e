"""What may follow from every step: the tree as a graph of places and the ways between them.

This is what `engine.session` does with one answer, done for all of them: conditions, stages, the
procedures that change them, findings, *go on*, returns and every reason why a step cannot be done.
A place is a step together with the stage the work is in when the walk comes to it; the stage is
changed by the session's own rules. A step whose readings another step takes, too, may find them
known: it is then passed before any stage is changed for it, and nothing is done. What the engine
would put in by itself is not in the graph.

Three things are taken as wider than they are, so that no walk is forgotten: a sort by a formula
may come to any of its answers, a nameplate question can be unreadable whenever a step needs it,
and a reading can have any of its outcomes.

One thing is left out. On a way out (work that ends the walk and returns nothing), and where
somebody has only to be told, a *can't* that says nothing of where to go has nowhere to go. The
session goes on at *if stuck*, puts in by itself what is missing there (a box to shut, a tag), or
withdraws; it refuses there what it refuses anywhere.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from enum import IntEnum
from typing import NamedTuple

from engine.power import Act, Deed, pessimistic
from engine.session.nameplate import names_asked
from engine.session.steps import deed_of, is_repair
from engine.tree import (
    CARRY_ON,
    CHANGING,
    DONE,
    GO_ON,
    NOT_NOW,
    OTHERWISE,
    REPAIR,
    RETURN,
    STUCK_REASONS,
    ActHead,
    Outcome,
    PassHead,
    SortHead,
    Step,
    UseHead,
    WalkTree,
)
from engine.verify.cases import ANYHOW, NOT_TAKEN, SAID, Case, Variable, both, split, word_cases
from engine.verify.stages import Stages, Where
from engine.verify.taken import Taken

WITHDRAW = "withdraw"
"""The shared procedure that a reason to stop leads to."""

SLOT: Variable = (GO_ON, "")
"""The variable that holds the latest *if still wrong*."""


Keeps = tuple[tuple[Variable, str], ...]
"""What is remembered from now on, later words over earlier ones."""


class Place(NamedTuple):
    """A step with the stage in which the walk comes to it; or `GO_ON`, on the way to a step."""

    step: str
    where: Where


class Kind(IntEnum):
    """What makes a walk go a way."""

    ANSWER = 0
    DONE = 1
    """A finding's repair was done."""
    CANNOT = 2
    UNREADABLE = 3
    """A nameplate question that the step needs cannot be read."""
    SILENT = 4
    """Nobody was asked."""
    CHANGE = 5
    """A change of stage comes first."""


class Way(NamedTuple):
    """One way on from a place."""

    to: Place | None
    """None where a procedure that changes the stage is done: back to who asked for it."""
    kind: Kind
    said: str = ""
    """The answer, as the path to a problem shows it."""
    deed: Deed | None = None
    """What the power model is told; None where nothing was done."""
    counts_as: str = ""
    finds: str = ""
    when: Case = ANYHOW
    keeps: Keeps = ()
    """What is remembered from now on: verdicts that a sort asks for, the place to go on at."""
    call: str = ""
    """The change of stage that is gone through on the way."""
    outcome: Outcome | None = None


class _Target(NamedTuple):
    """Where a target word leads, with what is found and remembered on the way there."""

    to: Place | None
    finds: str = ""
    keeps: Keeps = ()


class Ways:
    """The ways of one tree, worked out place by place."""

    def __init__(self, walk: WalkTree) -> None:
        self._walk = walk
        self._stages = Stages(walk)
        heads = (step.head for step in walk.steps.values())
        self._sorted = frozenset(
            head.by_step for head in heads if isinstance(head, SortHead) and head.by_step
        )
        self._taken = Taken(walk)
        self._deeds: dict[Deed, Deed] = {}
        self._deed_at: dict[str, Deed] = {}
        self._unread: dict[str, dict[str, str]] = {}
        """By step, where it leads that a nameplate question cannot be read, with the question."""
        self.slots = tuple(dict.fromkeys(self._still_wrong()))
        """Every place to go on at that some answer names."""

    def _still_wrong(self) -> Iterator[str]:
        for step in self._walk.steps.values():
            for _, outcome in outcomes(step):
                if outcome.if_still_wrong:
                    yield outcome.if_still_wrong

    def start(self) -> Place:
        """Return the place where every walk begins."""
        return Place(self._walk.tree.start, self._stages.outside)

    def stopped(self, step: str) -> Place:
        """Return the place of a step after a reason to stop was given: no stage changes there."""
        return Place(step, self._stages.stopped)

    def first_of(self, change: str) -> Place:
        """Return the place where a change of stage begins."""
        return Place(self._walk.begins[change], self._stages.during(change))

    def step(self, place: Place) -> Step:
        """Return the step of a place; raises KeyError for the way to *go on*."""
        return self._walk.steps[place.step]

    def deed(self, step: Step) -> Deed:
        """Return the deed of an act step; one object for all steps that do the same."""
        known = self._deed_at.get(step.name)
        if known is None:
            known = self._deed_at[step.name] = self._once(deed_of(step))
        return known

    def _once(self, deed: Deed) -> Deed:
        return self._deeds.setdefault(deed, deed)

    def from_(self, place: Place) -> list[Way]:
        """Return every way on from a place, in the order of the file."""
        if place.step == GO_ON:
            return list(self._going_on(place))
        step = self._walk.steps[place.step]
        ways = list(self._unreadable(step, place))
        here = [*self._known_before(step, place), *self._here(step, place)]
        if not step.condition:
            return ways + here
        holds, fails = split(step.condition, self._walk.fields)
        if fails:
            to = self._target(place, step.if_not)
            ways += [_way(to, Kind.SILENT, "it does not apply here", when=case) for case in fails]
        for case in holds:
            met = ((way, both(case, way.when)) for way in here)
            ways += [way._replace(when=when) for way, when in met if when is not None]
        return ways

    def _here(self, step: Step, place: Place) -> list[Way]:
        change = self._stages.change(place.where, step)
        if change.call:
            return [Way(Place(step.name, change.to), Kind.CHANGE, call=change.call)]
        place = Place(step.name, change.to)
        match step.head:
            case ActHead() as head:
                return list(self._act(step, head, place))
            case UseHead():
                return [Way(Place(self._walk.begins[step.name], place.where), Kind.SILENT)]
            case PassHead():
                return [_way(self._target(place, step.then), Kind.SILENT)]
            case SortHead() as head:
                return list(self._sort(step, head, place))
            case _:
                return []

    def _known_before(self, step: Step, place: Place) -> Iterator[Way]:
        """Yield the ways on where other steps have taken the same readings and they still count."""
        case = self._taken.known(step)
        for key, outcome in outcomes(step) if case is not None else ():
            if case is not None and outcome.then != CARRY_ON:
                to = self._follow(place, outcome, self._kept(step.name, outcome.verdict or key))
                yield _way(to, Kind.SILENT, "known", when=case, outcome=outcome)

    def _going_on(self, place: Place) -> Iterator[Way]:
        for slot in ("", *self.slots):
            to = self._arriving(slot or self._walk.tree.if_stuck, place.where)
            yield Way(to, Kind.SILENT, when=((SLOT, frozenset({slot})),))

    def _unreadable(self, step: Step, place: Place) -> Iterator[Way]:
        if place.where.stopped:
            return
        if step.name not in self._unread:
            targets: dict[str, str] = {}
            for name in names_asked(step):
                self._not_readable(name, step, targets)
            self._unread[step.name] = targets
        for target, name in self._unread[step.name].items():
            yield _way(self._target(place, target), Kind.UNREADABLE, f"{name} can't be read")

    def _not_readable(self, name: str, step: Step, targets: dict[str, str]) -> None:
        """Put where a question leads that cannot be read, and those that it hangs on."""
        field = self._walk.fields.get(name)
        if field is None:
            return
        for test in field.condition:
            self._not_readable(test.name, step, targets)
        if not (field.default and field.if_unreadable in ("", "default")):
            targets.setdefault(field.if_unreadable or step.cannot[STUCK_REASONS[-1]], name)

    # --- what is answered -------------------------------------------------------------------------

    def _act(self, step: Step, head: ActHead, place: Place) -> Iterator[Way]:
        if head.end:
            return
        deed = self.deed(step)
        if not head.judgements:
            counts_as = head.counts_as or pessimistic(head.act)
            read = self._taken.after(step, deed, counts_as)
            to = self._target(place, step.then, read)
            yield _way(to, Kind.ANSWER, DONE, deed, counts_as)
        for key, outcome in outcomes(step):
            if outcome.then != CARRY_ON:
                yield from self._answer(step, deed, place, key, outcome)
        reasons: dict[str, str] = {}
        last = head.act is Act.TELL or is_on_way_out(self._walk, step.name)
        for reason in STUCK_REASONS[:-1]:
            if not (last and step.cannot[reason] == self._walk.tree.if_stuck):
                reasons.setdefault(step.cannot[reason], reason)
        for target, reason in reasons.items():
            yield _way(self._target(place, target), Kind.CANNOT, f"can't: {reason}")

    def _answer(
        self, step: Step, deed: Deed, place: Place, key: str, outcome: Outcome
    ) -> Iterator[Way]:
        kept = self._kept(step.name, outcome.verdict or key)
        said = key if outcome.verdict in ("", key) else f"{key}, {outcome.verdict}"
        repair = is_repair(step.name)
        if repair and key == NOT_NOW:
            to = self._follow(place, outcome, kept)
            yield _way(to, Kind.ANSWER, said, outcome=outcome)
            return
        kind = Kind.DONE if repair else Kind.ANSWER
        about = self._once(replace(deed, on=outcome.on)) if outcome.on else deed
        counts_as = outcome.counts_as or pessimistic(deed.act)
        to = self._follow(place, outcome, kept + self._taken.after(step, about, counts_as))
        way = _way(to, kind, said, about, counts_as, outcome=outcome)
        chosen = isinstance(step.head, ActHead) and not step.head.readings
        if not (chosen and outcome.condition):
            yield way
            return
        for case in split(outcome.condition, self._walk.fields)[0]:
            yield way._replace(when=case)

    def _sort(self, step: Step, head: SortHead, place: Place) -> Iterator[Way]:
        answers = head.judgement.answers
        for word, case in self._sortable(head):
            key = word if word in answers else OTHERWISE
            if key not in answers:
                to = self._target(place, self._walk.tree.if_stuck)
                yield _way(to, Kind.SILENT, word, when=case)
                continue
            outcome = answers[key]
            to = self._follow(place, outcome, self._kept(step.name, outcome.verdict or key))
            said = outcome.verdict or word
            yield _way(to, Kind.SILENT, said, when=case, outcome=outcome)

    def _sortable(self, head: SortHead) -> Iterator[tuple[str, Case]]:
        """Yield every word that a sort can meet, with the case in which it does."""
        answers = head.judgement.answers
        if head.by_step:
            for word in (NOT_TAKEN, *verdicts(self._walk.steps[head.by_step])):
                yield word, (((SAID, head.by_step), frozenset({word})),)
            return
        if head.by_name:
            yield from word_cases(head.by_name, self._walk.fields)
            if (field := self._walk.fields.get(head.by_name)) is None or field.words:
                return
        for key in answers:
            yield key, ANYHOW
        if NOT_TAKEN not in answers:
            yield NOT_TAKEN, ANYHOW

    # --- where it leads ---------------------------------------------------------------------------

    def _kept(self, step: str, verdict: str) -> Keeps:
        return (((SAID, step), verdict),) if step in self._sorted else ()

    def _follow(self, place: Place, outcome: Outcome, keeps: Keeps = ()) -> _Target:
        """Return where an outcome leads; ``keeps`` is what else is remembered on the way."""
        if not outcome.finds:
            return self._target(place, outcome.then, keeps)
        if still_wrong := outcome.if_still_wrong:
            keeps += ((SLOT, still_wrong),)
        return _Target(self._arriving(REPAIR + outcome.finds, place.where), outcome.finds, keeps)

    def _target(self, place: Place, word: str, keeps: Keeps = ()) -> _Target:
        if not word.startswith(RETURN):
            return _Target(self._arriving(word, place.where), "", keeps)
        user, returned = self._walk.inside[place.step], word.removeprefix(RETURN)
        keeps += self._kept(user, returned)
        where = place.where
        if user == where.during:
            if returned == DONE:
                return _Target(None, "", keeps)
            where = self._stages.failed(where)
        head = self._walk.steps[user].head
        assert isinstance(head, UseHead)
        outcome = head.returns.get(returned) or Outcome(then=self._walk.tree.if_stuck)
        return self._follow(Place(user, where), outcome, keeps)

    def _arriving(self, step: str, where: Where) -> Place:
        """Return the place of a step; whoever leaves a change of stage for it has not made it."""
        if where.during and step != GO_ON and not self._stages.changing(self._walk.steps[step]):
            where = self._stages.failed(where)
        return Place(step, where)


def _way(
    to: _Target,
    kind: Kind,
    said: str = "",
    deed: Deed | None = None,
    counts_as: str = "",
    *,
    when: Case = ANYHOW,
    outcome: Outcome | None = None,
) -> Way:
    return Way(to.to, kind, said, deed, counts_as, to.finds, when, to.keeps, "", outcome)


def way_out(walk: WalkTree) -> str:
    """Return the step that a reason to stop leads to; empty where the tree has none for that."""
    for name, step in walk.tree.steps.items():
        if isinstance(step.head, UseHead) and step.head.procedure == WITHDRAW:
            return name
    return ""


def is_on_way_out(walk: WalkTree, name: str) -> bool:
    """Return whether a step belongs to work that ends the walk."""
    while name in walk.inside:
        name = walk.inside[name]
        step = walk.steps[name]
        if isinstance(step.head, UseHead) and not step.head.returns:
            return step.stage != CHANGING or name in walk.inside
    return False


def outcomes(step: Step) -> Iterator[tuple[str, Outcome]]:
    """Yield every answer of a step, of a sort or of a use, with its outcome."""
    head = step.head
    if isinstance(head, UseHead):
        yield from head.returns.items()
    elif isinstance(head, SortHead):
        yield from head.judgement.answers.items()
    elif isinstance(head, ActHead):
        for judgement in head.judgements:
            yield from judgement.answers.items()


def verdicts(step: Step) -> tuple[str, ...]:
    """Return every verdict that a step can leave behind."""
    if isinstance(step.head, UseHead):
        return tuple(step.head.returns)
    found = (outcome.verdict or key for key, outcome in outcomes(step) if outcome.then != CARRY_ON)
    return tuple(dict.fromkeys(found))

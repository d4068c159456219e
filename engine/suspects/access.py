"""What it takes to get from one stage of a tree to another, and whether that is permitted.

A stage is entered and left by the tree's own procedures. What such a change takes is the quickest
way through its procedures on which every act is permitted and everything goes as it should; what
the session would put in by itself (a look-over, a box shut) is put in here, too.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from heapq import heappop, heappush
from itertools import count
from typing import NamedTuple

from engine import power
from engine.layouts import LAYOUTS
from engine.power import OUTCOMES, REPORTS, Deed, pessimistic
from engine.tree import (
    ANY_STAGE,
    DONE,
    ENTER,
    LEAVE,
    OTHERWISE,
    OUTSIDE,
    RETURN,
    ActHead,
    Outcome,
    PassHead,
    SortHead,
    Step,
    UseHead,
    WalkTree,
)
from engine.vocabulary import Condition, meets

Words = Mapping[str, str | tuple[str, ...]]
"""Nameplate answers that are words."""
PUT_IN = 1.0
"""Minutes of a step that the session puts in by itself: judgement, no source."""


class Stands(NamedTuple):
    """Minutes so far, and the facts as they would be reported then."""

    minutes: float
    power: power.State


@dataclass(frozen=True)
class Access:
    """Changes of stage in one tree; what was worked out once is remembered."""

    walk: WalkTree
    words: Words
    _known: dict[tuple[str, power.State], dict[str, Stands]] = field(default_factory=dict)

    def change(self, now: power.State, present: str, wanted: str) -> Stands | None:
        """Return what getting to a stage takes, or None where there is no permitted way."""
        minutes = 0.0
        for _ in range(2 * len(self.walk.tree.stages) + 1):
            if present == wanted:
                return Stands(minutes, now)
            name, after = self._towards(present, wanted)
            if name in self.walk.steps:
                done = self.through(name, now).get(DONE)
                if done is None:
                    return None
                minutes, now = minutes + done.minutes, done.power
            present = after
        return None

    def _towards(self, present: str, wanted: str) -> tuple[str, str]:
        """Return the change that brings a stage nearer, and the stage after it."""
        stages = self.walk.tree.stages
        way = [wanted] if wanted else []
        while way and stages[way[-1]].from_:
            way.append(stages[way[-1]].from_)
        if present in way:
            after = way[way.index(present) - 1]
        elif present:
            return LEAVE + present, stages[present].back_to
        else:
            after = way[-1]
        return ENTER + after, after

    def through(self, user: str, now: power.State) -> dict[str, Stands]:
        """Return for each return word of a procedure's use the quickest permitted way to it.

        The changes of stage, whose ``done`` is no answer of the tree, come to `DONE`.
        """
        key = user, now
        if key not in self._known:
            self._known[key] = dict(_quickest(self, user, now))
        return self._known[key]

    def permitted(self, now: power.State, step: Step) -> Stands | None:
        """Return what putting right what stands against a step takes; None where nothing helps."""
        if isinstance(step.head, UseHead):
            first = self.walk.steps[self.walk.begins[step.name]]
            return self.permitted(now, first)
        if not isinstance(step.head, ActHead):
            return Stands(0.0, now)
        layout = LAYOUTS[self.walk.tree.layout]
        deed, minutes = deed_of(step.head), 0.0
        for first_deed in power.comes_first(layout, now, deed):
            if power.refusals(layout, now, first_deed):
                return None
            words = OUTCOMES[first_deed.act]
            now = power.apply(layout, now, first_deed, words[0] if words else DONE)
            minutes += PUT_IN
        return None if power.refusals(layout, now, deed) else Stands(minutes, now)


def stage_of(step: Step) -> str:
    """Return the stage that a step is done in; a step of any stage is done outside."""
    return OUTSIDE if step.stage == ANY_STAGE else step.stage


def deed_of(head: ActHead) -> Deed:
    """Return what an act does to the world."""
    mode = head.end or head.mode
    place = (head.zone, head.device, head.box, head.item)
    return Deed(head.act, *place, mode, unread=head.unread, on=head.on)


def applies(condition: Condition, words: Words) -> bool:
    """Return whether a condition holds, or may hold: what is not yet known is no objection."""
    return all(
        one.name not in words or meets(one.relation, one.words, _several(words[one.name]))
        for one in condition
    )


def _several(given: str | tuple[str, ...]) -> tuple[str, ...]:
    return (given,) if isinstance(given, str) else given


def _quickest(access: Access, user: str, now: power.State) -> Iterator[tuple[str, Stands]]:
    """Yield each return word with the quickest way to it (Dijkstra's algorithm)."""
    turn = count()
    waiting = [(0.0, next(turn), access.walk.begins[user], now)]
    seen: set[tuple[str, power.State]] = set()
    found: set[str] = set()
    while waiting:
        minutes, _, name, state = heappop(waiting)
        if name.startswith(RETURN):
            if name not in found:
                found.add(name)
                yield name.removeprefix(RETURN), Stands(minutes, state)
            continue
        if (name, state) in seen or name not in access.walk.steps:
            continue
        seen.add((name, state))
        for to, more, after in _onward(access, user, access.walk.steps[name], state):
            heappush(waiting, (minutes + more, next(turn), to, after))


def _onward(
    access: Access, user: str, step: Step, now: power.State
) -> Iterator[tuple[str, float, power.State]]:
    """Yield where a step leads when it goes as it should: the next step, minutes, the state."""
    if not applies(step.condition, access.words):
        yield step.if_not, 0.0, now
        return
    match step.head:
        case PassHead():
            targets: list[tuple[str, float, power.State]] = [(step.then, 0.0, now)]
        case UseHead():
            targets = [(access.walk.begins[step.name], 0.0, now)]
        case SortHead() as head:
            targets = [(one.then, 0.0, now) for one in _sorted(head, access.words)]
        case ActHead() as head:
            targets = list(_done(access, step, head, now))
        case _:
            targets = []
    for to, minutes, after in targets:
        yield _out_of(access.walk, user, step.name, to), minutes, after


def _sorted(head: SortHead, words: Words) -> Iterator[Outcome]:
    """Yield the answers of a sort; where what it goes by is not known, any of them."""
    answers = head.judgement.answers
    word = words.get(head.by_name)
    if isinstance(word, str):
        key = word if word in answers else OTHERWISE
        if key in answers:
            yield answers[key]
        return
    yield from answers.values()


def _done(
    access: Access, step: Step, head: ActHead, now: power.State
) -> Iterator[tuple[str, float, power.State]]:
    stands = None if head.end else access.permitted(now, step)
    if stands is None:
        return
    layout, deed = LAYOUTS[access.walk.tree.layout], deed_of(head)
    minutes = stands.minutes + step.minutes
    if not head.judgements:
        word = head.counts_as or pessimistic(head.act)
        yield step.then, minutes, power.apply(layout, stands.power, deed, word)
        return
    for judgement in head.judgements:
        for outcome in _as_it_should(head, judgement.answers):
            about = replace(deed, on=outcome.on) if outcome.on else deed
            word = outcome.counts_as or pessimistic(head.act)
            yield outcome.then, minutes, power.apply(layout, stands.power, about, word)


def _as_it_should(head: ActHead, answers: Mapping[str, Outcome]) -> Iterator[Outcome]:
    """Yield the answers whose effect is the best that the step offers, without any report."""
    ranks = OUTCOMES[head.act]

    def harm(outcome: Outcome) -> int:
        word = outcome.counts_as or pessimistic(head.act)
        if word in REPORTS:
            return len(ranks) + 1
        return ranks.index(word) if word in ranks else 0

    least = min(harm(one) for one in answers.values())
    yield from (one for one in answers.values() if harm(one) == least)


def _out_of(walk: WalkTree, user: str, step: str, target: str) -> str:
    """Return the step that a target stands for; a return of ``user`` itself stays one."""
    while target.startswith(RETURN):
        inner = walk.inside[step]
        if inner == user:
            return target
        head = walk.steps[inner].head
        assert isinstance(head, UseHead)
        outcome = head.returns.get(target.removeprefix(RETURN))
        if outcome is None:
            return ""
        step, target = inner, outcome.then
    return target

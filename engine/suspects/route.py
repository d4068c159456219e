"""Which checks of a tree make sense only after a certain answer to another.

A reading of what is at rest or dead says the same whenever it is taken. Everything else (who put
the handle off, what a motor draws as it starts) is asked by its author on one branch of the tree,
and means nothing off it: such a check needs an answer that leads to it, at the nearest fork that
every way to it passes. A fork is a check with an answer that leads to another check instead, or to
a finding.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from engine.suspects.signature import answers_of
from engine.tree import ActHead, Outcome, PassHead, SortHead, Step, UseHead, WalkTree

AT_ANY_TIME = frozenset({"", "at rest", "dead"})
"""When a reading is taken that says the same whenever it is taken."""


def taken_at_any_time(step: Step) -> bool:
    """Return whether what a step reads hangs on nothing that was answered before."""
    head = step.head
    if step.again or not isinstance(head, ActHead) or not head.readings:
        return False
    return all(spec.when in AT_ANY_TIME for spec in head.readings)


def forks(walk: WalkTree, checks: Collection[str]) -> dict[str, tuple[str, frozenset[str]]]:
    """Return check → the nearest fork before it, with the answers there that lead to it.

    Checks that are not after any fork, or are taken at any time, are not listed. One that is come
    to only after a finding waits for itself: it is never chosen.
    """
    ahead = {name: _ahead(walk, walk.steps[name]) for name in walk.steps if _outer(walk, name)}
    own = [name for name in checks if name in ahead]
    # What can still be come to without a check: all else has that check before it on every way.
    without = {one: _reached(ahead, walk.tree.start, but=one) for one in own}
    come_to = _reached(ahead, walk.tree.start)
    found: dict[str, tuple[str, frozenset[str]]] = {}
    for check in own:
        if taken_at_any_time(walk.steps[check]):
            continue
        if check not in come_to:
            found[check] = check, frozenset()
            continue
        every = [one for one in own if one != check and check not in without[one]]
        # The nearest is the one that has the most others before it.
        before = {one: sum(one not in without[other] for other in every) for one in every}
        for fork in sorted(every, key=lambda one: -before[one]):
            leading = _leading(walk, fork, check, own, ahead)
            if leading is not None:
                found[check] = fork, leading
                break
    return found


def _outer(walk: WalkTree, name: str) -> bool:
    """Return whether a step is the tree's own, not one of a shared procedure."""
    return name not in walk.inside


def _leading(
    walk: WalkTree,
    fork: str,
    check: str,
    checks: Collection[str],
    ahead: Mapping[str, tuple[str, ...]],
) -> frozenset[str] | None:
    """Return the answers of a check that lead to another; None where it is no fork for that."""
    leading, elsewhere = set(), False
    for word, outcome in answers_of(walk.steps[fork]).items():
        ways = _reached(ahead, outcome.then, but=fork)
        if check in ways:
            leading.add(word)
        elif outcome.finds or any(one in ways for one in checks):
            elsewhere = True
    return frozenset(leading) if elsewhere else None


def _ahead(walk: WalkTree, step: Step) -> tuple[str, ...]:
    """Return the steps that the answers of a step lead to; not those where something is stuck."""
    match step.head:
        case UseHead(returns=returns):
            found = list(_targets(returns))
        case SortHead(judgement=judgement):
            found = list(_targets(judgement.answers))
        case ActHead(judgements=judgements) if judgements:
            found = [to for judgement in judgements for to in _targets(judgement.answers)]
        case ActHead() | PassHead():
            found = [step.then]
        case _:
            found = []
    if step.condition:
        found.append(step.if_not)
    return tuple(to for to in dict.fromkeys(found) if to in walk.steps and _outer(walk, to))


def _targets(answers: Mapping[str, Outcome]) -> Iterator[str]:
    for outcome in answers.values():
        if not outcome.finds:
            yield outcome.then


def _reached(ahead: Mapping[str, tuple[str, ...]], start: str, but: str = "") -> frozenset[str]:
    """Return a step and every one after it, going through all but one."""
    seen = {start}
    waiting = [start]
    while waiting:
        name = waiting.pop()
        for to in ahead.get(name, ()) if name != but else ():
            if to not in seen:
                seen.add(to)
                waiting.append(to)
    return frozenset(seen)

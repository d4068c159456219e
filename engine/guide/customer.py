"""What can be told the customer at any moment: what was wrong, what was done, what is left.

Only what was reported and read: what is not mended is told as not mended, and that nothing is
switched on before the cause is known.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from engine.guide.filling import fill
from engine.power import Act
from engine.session.judging import holds
from engine.session.state import Found, State
from engine.session.steps import is_repair, step_named
from engine.tree import DONE, ActHead, WalkTree

STOPPED = "We had to stop to protect people. Nothing should be switched on."
_PROVES = (Act.READ_LIVE, Act.VERIFY)


def words_for(walk: WalkTree, state: State, *, stopped: bool = False) -> tuple[str, ...]:
    """Return the sentences to say now, the most important first.

    With ``stopped`` the work was stopped, even if only after the walk had ended.
    """
    every = _lines(walk, state, stopped=stopped or bool(state.stopped))
    return tuple(dict.fromkeys(line for line in every if line))


def _lines(walk: WalkTree, state: State, *, stopped: bool) -> Iterator[str]:
    if stopped:
        yield STOPPED
    causes = [one for one in state.found if not walk.tree.findings[one.finding].kind]
    for one in causes:
        yield from _cause(walk, state, one)
    if not causes and stopped:
        yield "The cause is not found yet; somebody has to come again."
    elif not causes:
        yield "We are still finding out why. Nothing will be switched on again before we know."
        yield from _so_far(walk, state)
    elif proved := _proved(walk, state):
        yield f"Checked after the repair: {'; '.join(proved)}."
    for one in state.found:
        finding = walk.tree.findings[one.finding]
        if finding.kind:
            yield f"We also saw: {fill(walk, state, None, finding.title)} ({finding.kind})."
            yield fill(walk, state, None, finding.tell_customer)
            if finding.kind != "mended":
                yield fill(walk, state, None, finding.left)


def _cause(walk: WalkTree, state: State, found: Found) -> Iterator[str]:
    """Yield what was wrong; what is not mended is told without the work that would mend it."""
    finding = walk.tree.findings[found.finding]
    said = fill(walk, state, None, finding.tell_customer or f"{finding.title}.")
    if found.work == DONE:
        yield said
        return
    yield said if finding.who else re.split(r"(?<=[.!?])\s", said.strip(), maxsplit=1)[0]
    yield "It is not repaired yet."
    if finding.left:
        yield f"If it stays so: {fill(walk, state, None, finding.left)}"
    if finding.who:
        yield f"Have {person(finding.who)} see to it."


_CERTIFIED = {
    "refrigerant": "somebody certified for refrigerants",
    "gas": "somebody licensed for gas",
    "utility": "the utility",
}
"""Marks of a step or finding that name the subject, not the person."""


def person(who: str) -> str:
    """Return who a mark means, in words: ``a licensed electrician``."""
    return _CERTIFIED.get(who, f"a {who}")


def _so_far(walk: WalkTree, state: State) -> Iterator[str]:
    fitting = [n for n, one in walk.tree.suspects.items() if holds(one.condition, state.words)]
    latest = {one.suspect: one.cleared for one in state.bearings}
    cleared = sum(latest.get(name, False) for name in fitting)
    read = sum(1 for one in state.passed if one.readings)
    if not read:
        return
    counted = f"{read} reading" if read == 1 else f"{read} readings"
    out = f"; {cleared} of {len(fitting)} possible causes ruled out" if cleared else ""
    yield f"Taken so far: {counted}{out}."


def _proved(walk: WalkTree, state: State) -> tuple[str, ...]:
    """Return what was read live or watched since the last repair reported done."""
    done = [at for at, one in enumerate(state.passed) if is_repair(one.step) and one.key == DONE]
    if not done:
        return ()
    proofs = []
    for one in state.passed[done[-1] + 1 :]:
        step = step_named(walk, one.step)
        if isinstance(step.head, ActHead) and step.head.act in _PROVES and not one.silent:
            proofs.append(f"{fill(walk, state, step, step.title)}: {one.verdict}")
    return tuple(proofs)

"""Every step and finding can be reached, and no step runs out of the file.

A plain search through the tree as walked, which knows nothing of readings: what it cannot reach
nothing can. Whether what it reaches is ever reached is for the proof to say.
"""

from __future__ import annotations

from collections.abc import Iterator

from engine.loader.building import Building
from engine.loader.texts import outcomes_of
from engine.problems import Span
from engine.tree import (
    ENTER,
    LEAVE,
    REPAIR,
    RETURN,
    ActHead,
    EachHead,
    Outcome,
    Step,
    UseHead,
    WalkTree,
)


def check_ways_on(file: Building) -> None:
    """Keep a problem for every step that leads nowhere: nothing is said, and nothing is below."""
    for path, step in file.steps.items():
        head = step.head
        if isinstance(head, EachHead):
            lost = not head.none
        elif isinstance(head, ActHead):
            lost = not head.judgements and not head.end and not step.then
        else:
            lost = False
        if lost:
            sentence = f"{step.name} leads nowhere: no step is below it."
            file.say_key("runs-out", path, sentence, "Say then: and where to go on.")


def check_reach(walk: WalkTree, file: Building) -> None:
    """Keep a problem for every step and finding of one file that nothing leads to."""
    search = _Search(walk)
    reached = search.from_start()
    spans = {step.span for name, step in walk.steps.items() if name in reached}
    _steps(walk, file, spans)
    for finding in walk.tree.findings.values():
        if REPAIR + finding.name not in reached and finding.name not in search.noted:
            sentence = f"Nothing finds {finding.name}."
            fix = "Lead an answer to it with finds, or also, or take it out."
            file.say_key("unreachable", ("findings", finding.name), sentence, fix)


def _steps(walk: WalkTree, file: Building, spans: set[Span]) -> None:
    inner: set[Span] = set()
    for path, step in file.steps.items():
        if step.span in spans or step.span in inner:
            continue
        if isinstance(step.head, EachHead):
            inner |= {one.span for one in step.head.steps.values()}
        sentence = f"Nothing leads to {step.name}."
        file.say_key("unreachable", path, sentence, "Lead a step to it, or take it out.")


class _Search:
    """A search from the start of a tree along everything that may be gone."""

    def __init__(self, walk: WalkTree) -> None:
        self._walk = walk
        self.noted: set[str] = set()
        """Findings that are recorded beside the way."""

    def from_start(self) -> set[str]:
        """Return every step that can be reached."""
        fields = (field.if_unreadable for field in self._walk.fields.values())
        reached: set[str] = set()
        waiting = [self._walk.tree.start, self._walk.tree.if_stuck, *fields]
        while waiting:
            name = waiting.pop()
            step = self._walk.steps.get(name)
            if step is None or name in reached:
                continue
            reached.add(name)
            for target in self._from(step):
                waiting.extend(self._steps_of(name, target))
        return reached

    def _from(self, step: Step) -> Iterator[str]:
        yield step.if_not
        yield step.then
        yield from step.cannot.values()
        yield from self._stage(step.stage)
        if isinstance(step.head, UseHead):
            yield self._walk.begins.get(step.name, "")
            return
        for _, outcome in outcomes_of(step):
            yield from self._after(outcome)

    def _after(self, outcome: Outcome) -> Iterator[str]:
        self.noted.add(outcome.also)
        yield outcome.then
        yield outcome.if_still_wrong
        if outcome.finds:
            yield REPAIR + outcome.finds

    def _stage(self, name: str) -> Iterator[str]:
        seen: set[str] = set()
        while name not in seen and (stage := self._walk.tree.stages.get(name)):
            seen.add(name)
            yield from (ENTER + name, LEAVE + name)
            name = stage.from_

    def _steps_of(self, name: str, target: str) -> Iterator[str]:
        """Yield where a target leads from a step, through the return of a procedure."""
        if not target.startswith(RETURN):
            yield target
            return
        user = self._walk.inside.get(name, "")
        head = self._walk.steps[user].head if user else None
        if isinstance(head, UseHead):
            outcome = head.returns.get(target.removeprefix(RETURN))
            if outcome:
                for further in self._after(outcome):
                    yield from self._steps_of(user, further)

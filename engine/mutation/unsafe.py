"""Slips that could hurt somebody; the proof is to notice them.

Safe work left out, an outcome that counts as its opposite, a check on one side of the contactor
only, a zone or a whole source forgotten, a caution left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial

from engine.layouts import LAYOUTS, Layout
from engine.mutation.mutant import Mutant, Operator
from engine.mutation.written import (
    Written,
    judgements,
    left_out,
    may_be_left_out,
    onward,
    rank,
    with_answers,
)
from engine.power import Act
from engine.sides import CHECKS, LINE, LOAD
from engine.tree import ActHead, PassHead, ReadingSpec, Step, UseHead, WalkTree
from engine.unread import with_unread_said
from engine.vocabulary import Vocabulary

SAFE_WORK = (
    Act.LOOK_OVER,
    Act.OPEN_UP,
    Act.SWITCH_OFF,
    Act.LOCK_OUT,
    Act.TRY,
    Act.PROVE_DEAD,
    Act.DISCHARGE,
    Act.CHECK,
    Act.INSULATION_TEST,
    Act.CLOSE_UP,
    Act.TAKE_OFF,
    Act.ALL_CLEAR,
    Act.UNLOCK,
    Act.TAG_OUT,
    Act.VERIFY,
    Act.TELL,
)
"""Acts that a walk does for somebody's safety, and not to find out or to mend."""

PROTECTING = frozenset(SAFE_WORK) - {Act.OPEN_UP, Act.CLOSE_UP, Act.TELL, Act.TAKE_OFF}
"""Acts that make a procedure one for safety. What only opens a box, looks in it and shuts it again
is there to find out."""

TWO_SIDED = (
    Act.LOOK_OVER,
    Act.TRY,
    Act.PROVE_DEAD,
    Act.DISCHARGE,
    Act.CHECK,
    Act.INSULATION_TEST,
    Act.SWITCH_ON,
    Act.VERIFY,
)
"""Acts whose good and bad outcome must not be taken for each other."""

LEFT_OUT = {act: Operator(f"{act} left out", safety=True) for act in SAFE_WORK}
PROCEDURE = Operator("safe procedure left out", safety=True)
COUNTS_AS = Operator("counts as its opposite", safety=True)
LINE_SIDE = Operator("checked line side only", safety=True)
ZONE = Operator("zone not proven", safety=True)
SOURCE = Operator("second source forgotten", safety=True)
CAUTION = Operator("caution left out", safety=True)


def is_safe_work(walk: WalkTree, step: Step) -> bool:
    """Return whether a step, or one of the procedure that it uses, is done for safety."""
    if isinstance(step.head, ActHead):
        return step.head.act in SAFE_WORK
    inside = f"{step.name}/"
    return isinstance(step.head, UseHead) and any(
        isinstance(one.head, ActHead) and one.head.act in PROTECTING
        for name, one in walk.steps.items()
        if name.startswith(inside)
    )


def unsafe(walk: WalkTree, every: Sequence[Written]) -> Iterator[Mutant]:
    """Yield every unsafe mutant of a tree."""
    for written in every:
        yield from _left_out(walk, written)
        yield from _opposite(written)
        line_side = partial(_line_side, vocabulary=walk.vocabulary)
        yield from written.mutant(LINE_SIDE, "it reads the contactor's line side only", line_side)
        yield from _zone(walk, written)
        yield from written.mutant(CAUTION, "its caution is left out", _no_caution)
    yield from _source(walk)


def _left_out(walk: WalkTree, written: Written) -> Iterator[Mutant]:
    step = written.first
    if may_be_left_out(walk, step) and is_safe_work(walk, step):
        operator = LEFT_OUT[step.head.act] if isinstance(step.head, ActHead) else PROCEDURE
        change = f"it is left out, on to {onward(step)}"
        yield from written.mutant(operator, change, left_out)


def _opposite(written: Written) -> Iterator[Mutant]:
    step = written.first
    if not isinstance(step.head, ActHead) or step.head.act not in TWO_SIDED:
        return
    for at, judgement in enumerate(judgements(step)):
        ranked = {key: rank(step, outcome) for key, outcome in judgement.answers.items()}
        good = [key for key, how in ranked.items() if how == 0]
        bad = [key for key, how in ranked.items() if how]
        if good and bad:
            one, other = good[0], max(bad, key=lambda key: ranked[key])
            words = (judgement.answers[key].counts_as for key in (one, other))
            change = f'"{one}" counts as {{1}}, "{other}" as {{0}}'.format(*words)
            exchanged = partial(_exchanged, at=at, keys=(one, other))
            yield from written.mutant(COUNTS_AS, change, exchanged)


def _exchanged(step: Step, at: int, keys: tuple[str, str]) -> Step:
    """Return a step in which two answers count as each other."""
    answers = judgements(step)[at].answers
    one, other = keys
    first, second = answers[one], answers[other]
    exchanged = (
        (one, replace(first, counts_as=second.counts_as)),
        (other, replace(second, counts_as=first.counts_as)),
    )
    return with_answers(step, at, exchanged)


def _line_side(step: Step, vocabulary: Vocabulary) -> Step | None:
    """Return a check whose readings behind a contactor are made ahead of it."""
    head = step.head
    if not isinstance(head, ActHead) or head.act not in CHECKS:
        return None
    moved = tuple(_ahead(spec) for spec in head.readings)
    return replace(step, head=with_unread_said(replace(head, readings=moved), vocabulary))


def _ahead(spec: ReadingSpec) -> ReadingSpec:
    points = tuple(
        point.removesuffix(LOAD) + LINE if point.endswith(LOAD) else point for point in spec.points
    )
    return replace(spec, points=points)


def _no_caution(step: Step) -> Step | None:
    return replace(step, cautions=()) if step.cautions else None


# --- zones and sources --------------------------------------------------------------------------


def _zone(walk: WalkTree, written: Written) -> Iterator[Mutant]:
    """Yield the mutant in which a row of a list of zones is passed over wherever one is proven."""
    row = written.first
    if not isinstance(row.head, PassHead) or not row.if_not:
        return
    head = walk.steps[row.then].head if row.then in walk.steps else None
    if isinstance(head, ActHead) and head.act in (Act.PROVE_DEAD, Act.DISCHARGE):
        change = f"the {head.zone} is left out of the zones that are proven"
        yield from written.mutant(ZONE, change, lambda step: replace(step, then=step.if_not))


def _source(walk: WalkTree) -> Iterator[Mutant]:
    """Yield a mutant for each layout that is the tree's own with another source."""
    own = LAYOUTS[walk.tree.layout]
    for name, layout in LAYOUTS.items():
        if _has_more_sources(layout, own):
            added = [one.name for one in layout.sources if one not in own.sources]
            change = f"it is {name}: {', '.join(added)} feeds it, too, and no step knows"
            yield Mutant(SOURCE, walk.tree.span, walk.tree.title, change, layout=name)


def _has_more_sources(layout: Layout, than: Layout) -> bool:
    return (
        set(than.sources) < set(layout.sources)
        and set(than.zones) <= set(layout.zones)
        and {box.name for box in than.boxes} <= {box.name for box in layout.boxes}
    )

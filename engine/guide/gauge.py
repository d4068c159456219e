"""The bands of a step as a scale with this unit's numbers, and where a reading fell on it.

A door draws it: each band is a cell with its verdict, each cut the border between two cells.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from engine.formula import FormulaError, Measured, Value, evaluate
from engine.guide.about import about
from engine.quantity import words
from engine.session.judging import Judged, Names, classify, names_of
from engine.session.moving import given_values, lookup
from engine.session.state import Passed, State
from engine.session.steps import step_named
from engine.trade.catalogue import FIGURES
from engine.tree import ActHead, Judgement, Step, WalkTree


@dataclass(frozen=True, slots=True)
class Mark:
    """Where a reading fell."""

    cell: int
    share: float
    """How far into its cell, from 0 to 1; the outer cells have no far end and are no scale."""
    words: str


@dataclass(frozen=True, slots=True)
class Gauge:
    """Bands from low to high."""

    verdicts: tuple[str, ...]
    """A word for each cell; there is one more than there are cuts."""
    cuts: tuple[str, ...]
    """The borders between them: ``42.3 uF``."""
    mark: Mark | None = None
    about: str = ""
    """Which of several readings it is for; empty where there is one only."""


def gauges(
    walk: WalkTree, state: State, step: Step, given: Mapping[str, Value] | None = None
) -> tuple[Gauge, ...]:
    """Return a gauge for each judgement of a step whose cuts are numbers by now."""
    head = step.head
    if not isinstance(head, ActHead):
        return ()
    names = names_of(step, given or {}, lookup(walk, state))
    found = ((one, _gauge(one, names, walk.degrees)[0]) for one in head.judgements)
    return tuple(replace(gauge, about=about(head, one)) for one, gauge in found if gauge)


def fallen(walk: WalkTree, state: State, passed: Passed) -> Gauge | None:
    """Return the gauge that decided a step just passed, with its reading marked on it.

    None where a word decided, or where the reading was no number.
    """
    step = step_named(walk, passed.step)
    given = given_values({(name, spot): reading for name, spot, reading in passed.readings})
    if not given or not isinstance(step.head, ActHead):
        return None
    known = lookup(walk, state)
    judged = classify(step, given, known)
    if not isinstance(judged, Judged) or not isinstance(judged.value, Measured):
        return None
    decided = step.head.judgements[judged.judgement]
    gauge, ends = _gauge(decided, names_of(step, given, known), walk.degrees)
    if gauge is None or decided.bands is None:
        return None
    value = judged.value.quantity.value
    keys = decided.bands.keys
    cell = keys.index(judged.key)
    share = _share(value, ends, cell)
    only = passed.readings[0][2] if len(passed.readings) == 1 and decided.judge is None else None
    # A reading shows as it was typed; what was worked out from readings, as everything does.
    read = only.words() if only else words(judged.value.quantity, degrees=walk.degrees)
    return replace(gauge, mark=Mark(cell, share, read), about=about(step.head, decided))


def _gauge(
    judgement: Judgement, names: Names, degrees: str
) -> tuple[Gauge | None, tuple[Fraction, ...]]:
    """Return the gauge of a judgement and its cuts; none where it has no cut, or one not known."""
    bands = judgement.bands
    if bands is None or not bands.cuts:
        return None, ()
    try:
        ends = [evaluate(cut.at, names.of(cut.at), FIGURES) for cut in bands.cuts]
    except (KeyError, FormulaError):
        return None, ()
    sizes = [end.quantity for end in ends if isinstance(end, Measured)]
    if len(sizes) < len(ends):
        return None, ()
    cells = bands.keys[: len(ends) + 1]
    verdicts = tuple(judgement.answers[key].verdict or key for key in cells)
    cuts = tuple(words(one, degrees=degrees) for one in sizes)
    return Gauge(verdicts, cuts), tuple(one.value for one in sizes)


def _share(value: Fraction, ends: tuple[Fraction, ...], cell: int) -> float:
    low = ends[cell - 1] if cell else Fraction(0)
    if cell < len(ends):
        wide = ends[cell] - low
        return float(min(max((value - low) / wide, Fraction(0)), Fraction(1))) if wide > 0 else 0.5
    # Nothing says how far up the last band goes: twice its beginning is drawn at its far end.
    return float(min((value - low) / abs(low), Fraction(1))) if low else 1.0

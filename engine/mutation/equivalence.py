"""Whether a mutant changes anything: worked out over every nameplate and every reading.

A step answers as before where each of its answers ends as it did: for every corner of the
nameplate that the cuts rest on, for every reading between two cuts and exactly at one, for OL and
for what cannot be read, in every word that can be answered. A sort may be left out where all its
answers lead to the same. What cannot be worked out counts as a change, so that nothing is called
the same by mistake.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import zip_longest

from engine.bands import Bands
from engine.bands import place as placed
from engine.formula import Formula, FormulaError, UnprovableError
from engine.loader.kinds import judgements_of, nameplate_box, worked_out
from engine.mutation.mutant import Mutant
from engine.reading import Special
from engine.revision.cells import Keys, ranges
from engine.revision.ending import ending_of
from engine.trade.catalogue import FIGURES
from engine.tree import ActHead, Judgement, Outcome, PassHead, SortHead, Step, UseHead, WalkTree
from engine.verify.graph import Graph


class Equivalence:
    """Holds mutants of one tree against it."""

    def __init__(self, walk: WalkTree) -> None:
        self._walk = walk
        self._box = nameplate_box(walk.fields)
        self._met = _met(walk)
        heads = (step.head for step in walk.steps.values())
        self._sorted = {head.by_step for head in heads if isinstance(head, SortHead)}

    def holds(self, mutant: Mutant) -> bool:
        """Return whether every step that a walk can meet answers as before in every cell."""
        if mutant.layout:
            return False
        return all(
            self._alike(self._walk.steps[name], step)
            for name, step in mutant.steps.items()
            if name in self._met
        )

    def _alike(self, old: Step, new: Step) -> bool:
        if isinstance(new.head, PassHead):
            return self._only_leads_to(old, new.then)
        if _asked(old) != _asked(new):
            return False
        pairs = zip_longest(_judgements(old), _judgements(new), fillvalue=Judgement({}))
        return all(self._judged_alike(old, new, one, other) for one, other in pairs)

    def _only_leads_to(self, old: Step, target: str) -> bool:
        """Return whether a step asks nobody, and nothing follows from it but where it leads."""
        if isinstance(old.head, PassHead):
            return old.then == target
        if not isinstance(old.head, SortHead) or old.name in self._sorted:
            return False
        return all(
            outcome == Outcome(outcome.verdict, outcome.means, then=target, span=outcome.span)
            for outcome in old.head.judgement.answers.values()
        )

    def _judged_alike(self, old: Step, new: Step, before: Judgement, after: Judgement) -> bool:
        """Return whether a judgement ends alike in every cell."""
        if _filled(old, before.judge) != _filled(new, after.judge):
            return False

        def differs(keys: Keys) -> bool | None:
            was, now = self._ends(old, before, keys[0]), self._ends(new, after, keys[1])
            return True if was != now else None

        answers = dict.fromkeys((*before.answers, *after.answers))
        if before.bands is None or after.bands is None:
            return not any(differs((key, key)) for key in answers)
        return self._cells_alike(
            _bands(old, before.bands), _bands(new, after.bands), differs, tuple(answers)
        )

    def _cells_alike(
        self,
        old: Bands,
        new: Bands,
        differs: Callable[[Keys], bool | None],
        answers: tuple[str, ...],
    ) -> bool:
        if old == new:
            return not any(differs((key, key)) for key in answers)
        try:
            if next(ranges(old, new, (self._box,), differs, str), None):
                return False
            return not any(differs(keys) for keys in self._not_numbers(old, new))
        except (UnprovableError, FormulaError):
            return False

    def _not_numbers(self, old: Bands, new: Bands) -> Iterator[Keys]:
        """Yield the bands, before and now, of what a meter shows instead of a number."""
        values = next(iter(self._box.corners(sorted(old.names() | new.names()))))
        for special in Special:
            before, after = (placed(bands, special, values, FIGURES).key for bands in (old, new))
            yield before, after

    def _ends(self, step: Step, judgement: Judgement, key: str) -> object:
        """Return everything that follows from an answer."""
        outcome = judgement.answers.get(key)
        said = (outcome.points_to, outcome.clears, outcome.on) if outcome else ()
        return ending_of(outcome, step, key, self._walk.tree.if_stuck), said


def _met(walk: WalkTree) -> frozenset[str]:
    """Return every step that a walk can come to, and every use of a procedure around those."""
    met: set[str] = set()
    for place in Graph(walk).places:
        name = place.step
        while name and name not in met:
            met.add(name)
            name = walk.inside.get(name, "")
    return frozenset(met)


def _judgements(step: Step) -> tuple[Judgement, ...]:
    if isinstance(step.head, UseHead):
        return (Judgement(step.head.returns),)
    return judgements_of(step)


def _asked(step: Step) -> Step:
    """Return a step with nothing but what it asks, says and goes by."""
    head = step.head
    if isinstance(head, ActHead):
        return replace(step, head=replace(head, judgements=(), work_out=()))
    if isinstance(head, SortHead):
        return replace(step, head=replace(head, judgement=Judgement({})))
    return replace(step, head=replace(head, returns={})) if isinstance(head, UseHead) else step


def _filled(step: Step, formula: Formula | None) -> Formula | None:
    """Return a formula with what the step works out put in."""
    try:
        return worked_out(step, formula) if formula else None
    except FormulaError:
        return formula


def _bands(step: Step, bands: Bands) -> Bands:
    """Return bands with what the step works out put in, and nothing of how they are written."""
    cuts = (replace(cut, at=_filled(step, cut.at) or cut.at) for cut in bands.cuts)
    return replace(bands, cuts=tuple(cuts))

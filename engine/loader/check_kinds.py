"""Names and kinds in formulas, bands and texts, and whether the cuts rise for every nameplate.

Done on the tree as walked: there every parameter stands for what it was given and every result
of a procedure is known. A procedure that is checked by itself has parameters still standing;
formulas with one in them are passed over.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from engine.bands import Bands, check_kinds, unsaid
from engine.formula import Box, Formula, FormulaError, Known, Words, kind_of
from engine.formula.node import End, Name, every
from engine.loader.building import offer
from engine.loader.check_shown import overstated
from engine.loader.document import Path
from engine.loader.kinds import KnownNames, is_sure, judgements_of, nameplate_box
from engine.loader.origin import Origins
from engine.loader.wording import listed, shown
from engine.quantity import Kind
from engine.reading import FUNCTION_KIND
from engine.rising import Crossing, rises
from engine.trade.catalogue import FIGURES
from engine.tree import OTHERWISE, ActHead, Judgement, SortHead, Spread, Step, WalkTree


def check_walk_kinds(walk: WalkTree, names: KnownNames, origins: Origins) -> None:
    """Keep a problem for every name that means nothing and every pair of kinds that don't meet."""
    check = _KindCheck(walk, names, origins)
    seen: set[object] = set()
    for step in walk.steps.values():
        formulas = list(_formulas(step))
        key = (step.span, tuple(formulas))
        if formulas and key not in seen:
            seen.add(key)
            check.step(step)


def _formulas(step: Step) -> Iterator[Formula | None]:
    """Yield what makes one use of a step different from another, for the kinds of its values."""
    head = step.head
    if isinstance(head, ActHead):
        yield from (formula for _, formula in head.work_out)
    judgements = judgements_of(step)
    if isinstance(head, SortHead):
        yield head.by_formula
    for judgement in judgements:
        yield judgement.judge
        if judgement.bands:
            yield from (cut.at for cut in judgement.bands.cuts)


class _KindCheck:
    """Checks the formulas of one tree as walked, step by step."""

    def __init__(self, walk: WalkTree, names: KnownNames, origins: Origins) -> None:
        self._walk = walk
        self._origins = origins
        self._names = names
        self._box = nameplate_box(walk.fields)
        self._risen: set[object] = set()
        """Cuts that were proved to rise; the same cuts are proved once."""

    def step(self, step: Step) -> None:
        """Check every formula of a step, its bands and its choices."""
        head = step.head
        if isinstance(head, ActHead):
            own = self._names.own(step.name)
            for name, formula in head.work_out:
                if not is_sure(own.get(name)):
                    self._formula(step, formula, ("work out", name))
        several = judgements_of(step)
        for at, judgement in enumerate(several):
            below: Path = ("judge in turn", at) if len(several) > 1 else ()
            judged = self._judged(step, judgement, below)
            if judgement.bands is None:
                self._choices(step, judgement, judged, below)
            else:
                self._bands(step, judgement, judgement.bands, judged, (*below, "bands"))

    def _formula(
        self, step: Step, formula: Formula, below: Path, column: int = 0, *, is_key: bool = False
    ) -> Kind | Words | None:
        """Return what a formula gives; None, and a problem kept, where it gives nothing."""
        sure = self._sure(step, formula, below, column, is_key=is_key)
        if sure is None:
            return None
        try:
            return kind_of(formula, sure, FIGURES)
        except FormulaError as error:
            say = self._origins.say_key if is_key else self._origins.say
            say("wrong-kind", step, error.sentence, error.fix, below, column + error.column - 1)
            return None

    def _sure(
        self, step: Step, formula: Formula, below: Path, column: int, *, is_key: bool
    ) -> dict[str, Known] | None:
        """Return what each name of a formula stands for; None where one is not known."""
        known = self._names.at(step.name)
        sure: dict[str, Known] = {}
        for name in formula.names():
            kind = known.get(name)
            if kind is None:
                place = column + _column_of(formula, name) - 1
                self._unknown(step, name, below, place, is_key=is_key)
            elif is_sure(kind):
                sure[name] = kind
        return sure if len(sure) == len(formula.names()) else None

    def _unknown(
        self, step: Step, name: str, below: Path, column: int, *, is_key: bool = False
    ) -> None:
        say = self._origins.say_key if is_key else self._origins.say
        written = name.rsplit("/", 1)[-1]
        sentence = f"Nothing is called {shown(written)} here."
        otherwise = "Read it, ask it on the nameplate, or work it out first."
        fix = offer(name, list(self._names.at(step.name)), otherwise)
        say("unknown-name", step, sentence, fix, below, column)

    # --- what is judged -----------------------------------------------------------------------

    def _judged(self, step: Step, judgement: Judgement, below: Path) -> Kind | Words | None:
        """Return what is judged; None where it is not known, or nobody says."""
        head = step.head
        if isinstance(head, SortHead):
            return self._formula(step, head.by_formula, ("sort",)) if head.by_formula else None
        if judgement.judge:
            return self._formula(step, judgement.judge, (*below, "judge"))
        readings = head.readings if isinstance(head, ActHead) else ()
        if judgement.bands is None:
            if readings:
                sentence = "Nothing says how its readings lead to one of these choices."
                fix = "Judge the readings by bands, or write judge: with a figure that gives words."
                self._origins.say_key("no-judge", step, sentence, fix, (*below, "choices"))
            return None
        names = [spec.name for spec in readings]
        if len(names) == 1 and readings[0].spread is Spread.BETWEEN:
            return FUNCTION_KIND[readings[0].function]
        sentence = "There is nothing to judge."
        if names:
            several = f"{names[0]} is several values; one is judged."
            sentence = f"Nothing says which of {listed(names)} is judged." if names[1:] else several
        fix = f"Write for example judge: max({names[0]})." if names else "Add the reading."
        self._origins.say_key("no-judge", step, sentence, fix, (*below, "bands"))
        return None

    def _choices(
        self, step: Step, judgement: Judgement, judged: Kind | Words | None, below: Path
    ) -> None:
        """Check that choices are exactly the words that a figure can give."""
        where = (*below, "choices")
        if isinstance(judged, Kind):
            sentence = f"What is judged is a {judged}, and choices are words."
            self._origins.say_key("wrong-kind", step, sentence, "Write bands.", where)
        if not isinstance(judged, Words) or not judged.words:
            return
        for answer in judgement.answers:
            if answer not in (*judged.words, OTHERWISE):
                sentence = f"{shown(answer)} can never be the answer here."
                fix = offer(answer, judged.words, f"It can be {listed(judged.words)}.")
                self._origins.say_key("wrong-choices", step, sentence, fix, (*where, answer))
        missing = [word for word in judged.words if word not in judgement.answers]
        if missing and OTHERWISE not in judgement.answers:
            sentence = f"Nothing is said of {listed(missing, 'and')}."
            fix = "Add a choice for each, or otherwise."
            self._origins.say_key("wrong-choices", step, sentence, fix, where)

    # --- bands --------------------------------------------------------------------------------

    def _bands(
        self,
        step: Step,
        judgement: Judgement,
        bands: Bands,
        judged: Kind | Words | None,
        below: Path,
    ) -> None:
        known: dict[str, Known] = {}
        complete = True
        for cut in bands.cuts:
            start = len(cut.words) + 1
            sure = self._sure(step, cut.at, (*below, cut.key), start, is_key=True)
            complete = complete and sure is not None
            known |= sure or {}
        if judged is None or not complete:
            return
        misfits = check_kinds(bands, judged, known, FIGURES)
        for misfit in misfits:
            self._origins.say_key(
                "wrong-kind",
                step,
                misfit.sentence,
                misfit.fix,
                (*below, misfit.key),
                misfit.column - 1,
            )
        if misfits or isinstance(judged, Words):
            return
        for special in unsaid(bands, judged):
            sentence = f"Nothing is said of {special.value}: an over-range and a short look alike."
            fix = f"Add {special.value}: with what follows from it."
            self._origins.say_key("no-ol", step, sentence, fix, below)
        try:
            filled = _worked_out(step, bands)
        except FormulaError:
            return
        self._rise(step, filled, below)
        for one in overstated(step, judgement, filled, judged, self._box_of(step, filled.names())):
            where = (*below, one.answer)
            self._origins.say_key("counts-too-much", step, one.sentence, one.fix, where)

    def _rise(self, step: Step, filled: Bands, below: Path) -> None:
        """Check that each cut lies above the one before it, for every nameplate there may be."""
        if len(filled.cuts) < 2:
            return
        names = filled.names()
        if self._without_range(step, names):
            return
        key = tuple((cut.words, cut.at) for cut in filled.cuts)
        if key in self._risen:
            return
        result = rises(filled, self._box_of(step, names), FIGURES)
        if result is None:
            self._risen.add(key)
            return
        code = "cuts-cross" if isinstance(result, Crossing) else "cuts-not-proved"
        fix = "Exchange the cuts, or write a smaller one first." if code == "cuts-cross" else ""
        self._origins.say_key(code, step, result.sentence, fix, (*below, result.upper))

    def _box_of(self, step: Step, names: Iterable[str]) -> Box:
        """Return the nameplate box of these names, with what is known of names without a range."""
        box = self._box
        needed = {one for name in names for one in box.tied(name)}
        known = {name: self._names.at(step.name).get(name) for name in needed - set(box.allowed)}
        return Box(
            allowed={name: box.allowed[name] for name in needed if name in box.allowed},
            at_least=tuple(tie for tie in box.at_least if tie.name in needed),
            others={name: kind for name, kind in known.items() if is_sure(kind)},
        )

    def _without_range(self, step: Step, names: Iterable[str]) -> bool:
        """Keep a problem for every field that a cut rests on and that has no allowed range."""
        bare = [
            field
            for name in names
            if (field := self._walk.fields.get(name))
            and field.kind
            and not (field.low and field.high)
        ]
        for field in bare:
            sentence = f"{field.name} is used in a cut and may be anything."
            self._origins.say_at(
                "no-range", field.span, sentence, "Say from: and to: what it lies between."
            )
        return bool(bare)


def _worked_out(step: Step, bands: Bands) -> Bands:
    """Return bands with what the step works out put in the place of its name."""
    if not isinstance(step.head, ActHead) or not step.head.work_out:
        return bands
    filling: dict[str, Formula] = {}
    for name, formula in step.head.work_out:
        filling[name] = formula.filled(filling)
    cuts = tuple(replace(cut, at=cut.at.filled(filling)) for cut in bands.cuts)
    return replace(bands, cuts=cuts)


def _column_of(formula: Formula, name: str) -> int:
    return next(
        node.column
        for node in every(formula.node)
        if isinstance(node, Name | End) and node.name == name
    )

"""What a tree says, in the words of a page that knows no unit: formulas in the place of numbers.

On a screen a window has the numbers of the unit at hand; on paper it has the formula, and where
that rests on nothing, its value. A name in braces becomes a name in brackets.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.bands import OTHERWISE
from engine.formula import Formula, FormulaError, evaluate, in_words
from engine.formula.node import Literal
from engine.formula.writing import in_text
from engine.loader.kinds import worked_out
from engine.session.nameplate import BRACES
from engine.trade.catalogue import FIGURES
from engine.tree import THE, ActHead, Judgement, Step, WalkTree
from engine.vocabulary import Condition


class Words:
    """The words of one tree, with the numbers that its steps have on the page."""

    def __init__(self, walk: WalkTree, numbers: Mapping[str, str]) -> None:
        self._walk = walk
        self._numbers = numbers

    def name(self, name: str) -> str:
        """Return what a name of a formula or text is called: ``pairs of step 15``."""
        name = self._walk.gives.get(name, name)
        step, dot, own = name.partition(".")
        if not dot:
            return name.replace("_", " ")
        where = self._numbers.get(step, "")
        return f"{own.replace('_', ' ')} of step {where}" if where else own.replace("_", " ")

    def text(self, text: str, step: Step | None = None) -> str:
        """Return a text with ``[rated volts]`` for ``{rated_volts}``.

        What the ``step`` works out is there as its formula.
        """
        head = step.head if step else None
        worked = dict(head.work_out) if isinstance(head, ActHead) else {}

        def said(name: str) -> str:
            if step and name in worked:
                return self.formula(step, worked[name])
            return self.name(name.removeprefix(THE))

        return BRACES.sub(lambda found: f"[{said(found[1])}]", text)

    def formula(self, step: Step, formula: Formula) -> str:
        """Return a formula of a step, what the step works out put in."""
        return in_text(_filled(step, formula), FIGURES, self.name)

    def windows(self, step: Step, judgement: Judgement, *, short: bool) -> Iterator[str]:
        """Yield a line for each answer in order: ``below 20.4 V: low``, ``tripped``.

        A cut that rests on nothing is its value; unless ``short``, its formula stands before it.
        """
        cuts = {cut.key: cut for cut in judgement.bands.cuts} if judgement.bands else {}
        for key, outcome in judgement.answers.items():
            said = key
            if key in cuts:
                said = f"{cuts[key].words} {self._cut(step, cuts[key].at, short=short)}"
            elif key == OTHERWISE and cuts:
                said = "above"
            yield f"{said}: {outcome.verdict}" if outcome.verdict not in ("", key) else said

    def _cut(self, step: Step, formula: Formula, *, short: bool) -> str:
        filled = _filled(step, formula)
        said = in_text(filled, FIGURES, self.name)
        if filled.names() or isinstance(filled.node, Literal):
            return said
        try:
            value = in_words(evaluate(filled, {}, FIGURES))
        except FormulaError:
            return said
        return value if short else f"{said} ({value})"


def _filled(step: Step, formula: Formula) -> Formula:
    """Return a formula with what the step works out in it, as far as that can be put in."""
    try:
        return worked_out(step, formula)
    except FormulaError:
        # An end of what is worked out has no formula; its name says as much.
        return formula


def condition_in_words(condition: Condition) -> str:
    """Return ``fitted has drain float and phases is 3``; empty for what always holds."""
    return " and ".join(
        f"{one.name.replace('_', ' ')} {one.relation} {', '.join(one.words)}"
        for one in condition
        if one.name
    )

"""The proof that the cuts of a step rise for every nameplate that is allowed.

Two cuts that follow each other are compared by their difference. It is proved positive at the
corners of the nameplate box, or by the order that a figure declares for its outputs; where that
fails, the corners are tried one by one for a nameplate at which the cuts cross. What is neither
proved nor refuted is said to be so, with the reason.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from engine.bands import Bands, Cut, in_order
from engine.figure import Figure
from engine.formula import Box, FormulaError, Measured, UnprovableError, evaluate, in_words
from engine.formula.box import Corner, extremes, form_over
from engine.formula.node import Call
from engine.formula.polynomial import ONE, Choice, Form, Polynomial, Ratio, difference


@dataclass(frozen=True, slots=True)
class Crossing:
    """A nameplate at which a cut is not above the one before it."""

    lower: str
    upper: str
    nameplate: tuple[tuple[str, str], ...]
    """(name, value in words) of everything the two cuts rest on."""
    lower_at: str
    upper_at: str

    @property
    def sentence(self) -> str:
        """Return the counter-example as one sentence."""
        given = ", ".join(f"{name} {value}" for name, value in self.nameplate)
        where = f"With {given}, " if given else ""
        return (
            f"{where}'{self.lower}' ends at {self.lower_at} and the next, "
            f"'{self.upper}', at {self.upper_at}: the cuts do not rise."
        )


@dataclass(frozen=True, slots=True)
class NotProved:
    """Two cuts of which nobody knows whether they always rise, and why."""

    lower: str
    upper: str
    why: str

    @property
    def sentence(self) -> str:
        """Return what is not proved as one sentence."""
        return f"That '{self.upper}' lies above '{self.lower}' is not proved. {self.why}"


def rises(bands: Bands, box: Box, figures: Mapping[str, Figure]) -> Crossing | NotProved | None:
    """Return None when every cut lies above the one before it for every nameplate in the box.

    Otherwise the first crossing, or else the first pair that is not proved. The cuts have passed
    `check_kinds`, and what is worked out in the step has been put in (`Formula.filled`).
    """
    found = [_pair(lower, upper, box, figures) for lower, upper in pairwise(bands.cuts)]
    crossings = [one for one in found if isinstance(one, Crossing)]
    return next(iter([*crossings, *(one for one in found if one)]), None)


def _pair(
    lower: Cut, upper: Cut, box: Box, figures: Mapping[str, Figure]
) -> Crossing | NotProved | None:
    try:
        low, high = (form_over(cut.at, box, figures) for cut in (lower, upper))
        may_meet = in_order(lower, upper, Fraction(0), Fraction(0))
        why = _Proof(box, figures, may_meet).why_not(low, high)
    except UnprovableError as reason:
        why = str(reason)
    return _refuted(lower, upper, box, figures, why) if why else None


def _refuted(
    lower: Cut, upper: Cut, box: Box, figures: Mapping[str, Figure], why: str
) -> Crossing | NotProved | None:
    """Try every corner; where each name is one of a list the corners are all there is."""
    names = lower.at.names() | upper.at.names()
    tried_all = box.listed(names)
    try:
        for corner in box.corners(names):
            try:
                if crossing := _crossing(lower, upper, corner, figures):
                    return crossing
            except FormulaError:
                tried_all = False
    except UnprovableError:
        tried_all = False
    return None if tried_all else NotProved(lower.key, upper.key, why)


def _crossing(
    lower: Cut, upper: Cut, corner: Corner, figures: Mapping[str, Figure]
) -> Crossing | None:
    low, high = (evaluate(cut.at, corner, figures) for cut in (lower, upper))
    if not isinstance(low, Measured) or not isinstance(high, Measured):
        raise FormulaError("A cut is not one number.")
    if in_order(lower, upper, low.quantity.value, high.quantity.value):
        return None
    names = sorted(lower.at.names() | upper.at.names())
    nameplate = tuple((name, in_words(corner[name])) for name in names)
    return Crossing(lower.key, upper.key, nameplate, in_words(low), in_words(high))


@dataclass(frozen=True, slots=True)
class _Proof:
    """A proof that one form lies below another all over the box."""

    box: Box
    figures: Mapping[str, Figure]
    may_meet: bool

    def why_not(self, low: Form, high: Form) -> str:
        """Return why ``low`` is not proved to lie below ``high``; empty where it is.

        What has to hold for every part is taken apart first: *max* below, *min* above. That
        leaves a choice on the easy side, where one part for the whole box is enough.
        """
        if isinstance(low, Choice) and low.word == "max":
            return self._first_of([self.why_not(part, high) for part in low.parts])
        if isinstance(high, Choice) and high.word == "min":
            return self._first_of([self.why_not(low, part) for part in high.parts])
        if isinstance(low, Choice):
            return min((self.why_not(part, high) for part in low.parts), key=bool)
        if isinstance(high, Choice):
            return min((self.why_not(low, part) for part in high.parts), key=bool)
        try:
            return self._ratios(low, high)
        except UnprovableError as reason:
            return str(reason)

    @staticmethod
    def _first_of(reasons: list[str]) -> str:
        return next((reason for reason in reasons if reason), "")

    def _ratios(self, low: Ratio, high: Ratio) -> str:
        gap = difference(high, low)
        outputs = [atom for atom in gap.top.atoms() if isinstance(atom, Call)]
        rest = self._without_outputs(gap) if outputs else gap
        fixed = rest.top.fixed() if rest.bottom == ONE else None
        least = extremes(rest, self.box)[0] if fixed is None else fixed
        if least > 0 or (least == 0 and (self.may_meet or outputs)):
            return ""
        return "They are not apart at every corner of the nameplate values."

    def _without_outputs(self, gap: Ratio) -> Ratio:
        """Return the gap without two outputs of one figure that are declared to rise."""
        with_output = {
            product: factor
            for product, factor in gap.top.terms.items()
            if any(isinstance(atom, Call) for atom in product)
        }
        # The greater factor belongs to the output that has to be the higher one.
        products = sorted(with_output, key=lambda product: with_output[product])
        singles = [product[0] for product in products if len(product) == 1]
        bottom = gap.bottom.fixed() or Fraction(0)
        calls = [atom for atom in singles if isinstance(atom, Call)]
        if (
            bottom > 0
            and len(calls) == len(products) == 2
            and not sum(with_output.values())
            and self._declared(*calls)
        ):
            rest = {one: gap.top.terms[one] for one in gap.top.terms if one not in with_output}
            return Ratio(Polynomial(rest), gap.bottom)
        names = " and ".join(
            sorted({atom.figure for atom in gap.top.atoms() if isinstance(atom, Call)})
        )
        raise UnprovableError(f"It rests on {names}, which declares no such order of its outputs.")

    def _declared(self, lower: Call, upper: Call) -> bool:
        order = self.figures[lower.figure].rises
        return (
            (lower.figure, lower.arguments) == (upper.figure, upper.arguments)
            and {lower.output, upper.output} <= set(order)
            and order.index(lower.output) < order.index(upper.output)
        )

"""The nameplate box: every combination of nameplate values that a unit may have.

A name lies between two values or is one of a list; some are never below another (`AtLeast`).
`corners` are the combinations at which a polynomial that holds every name at most once in each
product is least and greatest: it is straight along each name alone, and along names tied by
`AtLeast` taken together, so its extremes lie at corners of the allowed region, and there each
name of a tied group stands at an end of some range of that group.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import product
from math import prod

from engine.figure import Figure
from engine.formula.kinds import Known, Several, Words, kind_of
from engine.formula.node import Call, End, Formula, FormulaError
from engine.formula.polynomial import Atom, Form, Polynomial, Ratio, UnprovableError, form_of
from engine.formula.value import Measured, Value
from engine.quantity import Quantity

MOST_CORNERS = 4096


@dataclass(frozen=True, slots=True)
class Between:
    """Anything from ``low`` to ``high``; a marking has two ends, both of them in there."""

    low: Quantity
    high: Quantity
    marking: bool = False


@dataclass(frozen=True, slots=True)
class OneOf:
    """One of a list: quantities, words, or markings of several quantities."""

    values: tuple[Quantity | str | tuple[Quantity, ...], ...]


Allowed = Between | OneOf


@dataclass(frozen=True, slots=True)
class AtLeast:
    """``name`` is never below ``other``."""

    name: str
    other: str


Corner = Mapping[str, Value]
"""One combination: what each name is."""


@dataclass(frozen=True, slots=True)
class Box:
    """What is allowed for each name, and what is known of names without a range."""

    allowed: Mapping[str, Allowed]
    at_least: tuple[AtLeast, ...] = ()
    others: Mapping[str, Known] = field(default_factory=dict)
    """Readings and the like: what they are, though not where they lie."""

    def known(self) -> dict[str, Known]:
        """Return what every name stands for."""
        ranged = {name: _known(allowed) for name, allowed in self.allowed.items()}
        return {**self.others, **ranged}

    def listed(self, names: Iterable[str]) -> bool:
        """Return whether each of these names is one of a list, so that corners are everything."""
        return all(isinstance(self.allowed.get(name), OneOf) for name in names)

    def tied(self, name: str) -> frozenset[str]:
        """Return the name and every name that `AtLeast` ties it to, over any number of ties."""
        group = {name}
        while (
            more := {
                one
                for tie in self.at_least
                if tie.name in group or tie.other in group
                for one in (tie.name, tie.other)
            }
            - group
        ):
            group |= more
        return frozenset(group)

    def corners(self, names: Iterable[str]) -> Iterator[Corner]:
        """Yield every corner of the box of these names, tied names included.

        Raises UnprovableError for a name without a range and for more corners than can be tried.
        """
        groups = sorted({tuple(sorted(self.tied(name))) for name in names})
        choices = [self._group(group) for group in groups]
        if prod(len(choice) for choice in choices) > MOST_CORNERS:
            raise UnprovableError("It rests on too many nameplate values at once.")
        for combination in product(*choices):
            yield {name: value for part in combination for name, value in part.items()}

    def _group(self, names: tuple[str, ...]) -> list[Corner]:
        """Return the combinations of tied names that no tie forbids."""
        for name in names:
            if name not in self.allowed:
                raise UnprovableError(f"Nothing says between which values '{name}' lies.")
        ends = sorted({end for name in names for end in _ends(self.allowed[name])})
        options = [_options(self.allowed[name], ends) for name in names]
        if prod(len(option) for option in options) > MOST_CORNERS:
            raise UnprovableError("It rests on too many nameplate values at once.")
        ties = [tie for tie in self.at_least if tie.name in names]
        found = (dict(zip(names, values, strict=True)) for values in product(*options))
        return [corner for corner in found if all(_meets(tie, corner) for tie in ties)]

    def straight(self, polynomial: Polynomial) -> bool:
        """Return whether its extremes lie at corners: no product holds a tied group twice."""
        return all(
            len({self.tied(atom.name) for atom in atoms if not isinstance(atom, Call)})
            == len(atoms)
            for atoms in polynomial.terms
        )


def _known(allowed: Allowed) -> Known:
    if isinstance(allowed, Between):
        return Several(allowed.low.kind) if allowed.marking else allowed.low.kind
    first = next(iter(allowed.values), "")
    if isinstance(first, tuple):
        return Several(first[0].kind)
    if isinstance(first, Quantity):
        return first.kind
    return Words(tuple(value for value in allowed.values if isinstance(value, str)))


def _ends(allowed: Allowed) -> Iterator[Fraction]:
    """Yield the numbers at which something can change."""
    if isinstance(allowed, Between):
        yield from (allowed.low.value, allowed.high.value)
        return
    for value in allowed.values:
        if isinstance(value, Quantity):
            yield value.value
        elif isinstance(value, tuple):
            yield from (one.value for one in value)


def _options(allowed: Allowed, ends: list[Fraction]) -> list[Value]:
    """Return what a name can be at a corner, given every end in its tied group."""
    if isinstance(allowed, OneOf):
        return [_value(value) for value in allowed.values]
    kind = allowed.low.kind
    inside = [Quantity(end, kind) for end in ends if allowed.low.value <= end <= allowed.high.value]
    if not allowed.marking:
        return [_value(one) for one in inside]
    return [_value((low, high)) for low in inside for high in inside if low.value <= high.value]


def _value(value: Quantity | str | tuple[Quantity, ...]) -> Value:
    if isinstance(value, tuple):
        return tuple(Measured.sure(one) for one in value)
    return Measured.sure(value) if isinstance(value, Quantity) else value


def _meets(tie: AtLeast, corner: Corner) -> bool:
    return _edge(corner[tie.name], "low") >= _edge(corner[tie.other], "high")


def _edge(value: Value, which: str) -> Fraction:
    """Return a value, or the low or high end of a marking, in the base unit."""
    several = value if isinstance(value, tuple) else (value,)
    numbers = [one.quantity.value for one in several if isinstance(one, Measured)]
    if not numbers:
        raise UnprovableError("A word has no size.")
    return min(numbers) if which == "low" else max(numbers)


def worth(atom: Atom, corner: Corner) -> Fraction:
    """Return what an unknown is worth at a corner; raises UnprovableError for a figure's output."""
    if isinstance(atom, Call):
        raise UnprovableError(f"It rests on {atom.figure}, whose {atom.output} is not straight.")
    return _edge(corner[atom.name], atom.which if isinstance(atom, End) else "low")


def extremes(ratio: Ratio, box: Box) -> tuple[Fraction, Fraction]:
    """Return the least and greatest of a ratio over the box; raises UnprovableError.

    Along one name a ratio of two straight lines only rises or only falls while its bottom keeps
    its sign, so the corners decide here too.
    """
    names = {_name(atom) for atom in ratio.top.atoms() | ratio.bottom.atoms()}
    if not (box.straight(ratio.top) and box.straight(ratio.bottom)):
        raise UnprovableError("A nameplate value is multiplied by itself or by one tied to it.")
    corners = list(box.corners(names))
    if not corners:
        raise UnprovableError("No nameplate value is allowed at all.")
    fixed = ratio.bottom.fixed()
    bottoms = [_at(ratio.bottom, corner) if fixed is None else fixed for corner in corners]
    if min(bottoms) <= 0 <= max(bottoms):
        raise UnprovableError("It divides by something that can be zero.")
    values = [_at(ratio.top, at) / bottom for at, bottom in zip(corners, bottoms, strict=True)]
    return min(values), max(values)


def _at(polynomial: Polynomial, corner: Corner) -> Fraction:
    return polynomial.at(lambda atom: worth(atom, corner))


def _name(atom: Atom) -> str:
    if isinstance(atom, Call):
        raise UnprovableError(f"It rests on {atom.figure}, whose {atom.output} is not straight.")
    return atom.name


def form_over(formula: Formula, box: Box, figures: Mapping[str, Figure]) -> Form:
    """Return a formula as a form over the box; raises UnprovableError."""

    def sign(ratio: Ratio) -> int:
        least, most = extremes(ratio, box)
        if least < 0 < most:
            raise UnprovableError("A min or max is multiplied by what changes its sign.")
        return 1 if least >= 0 else -1

    return form_of(formula.node, box.known(), figures, sign)


def bounds(formula: Formula, box: Box, figures: Mapping[str, Figure]) -> tuple[Quantity, Quantity]:
    """Return the least and greatest that a formula can be over the box, both included.

    Exact where no min or max is in it; otherwise nothing lies outside, though the ends may not
    be reached. Raises UnprovableError where nothing can be said, FormulaError for mismatched kinds.
    """
    kind = kind_of(formula, box.known(), figures)
    if isinstance(kind, Words):
        raise FormulaError("A word has no least and no greatest.")
    low, high = _form_extremes(form_over(formula, box, figures), box)
    return Quantity(low, kind), Quantity(high, kind)


def _form_extremes(form: Form, box: Box) -> tuple[Fraction, Fraction]:
    if isinstance(form, Ratio):
        return extremes(form, box)
    ends = [_form_extremes(part, box) for part in form.parts]
    pick = min if form.word == "min" else max
    return pick(low for low, _ in ends), pick(high for _, high in ends)

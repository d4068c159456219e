"""A formula as ratios of polynomials under min and max, to prove one never below another.

What a name is worth is left open here; only its kind is known. Two formulas are compared by
their difference, in which a reading that stands in both cancels. An output of a figure is an
unknown like a name. A polynomial that holds every name at most once in each product takes its
extremes at the corners of the box of its names; that is checked where it is used, in `box`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from engine.figure import Figure
from engine.formula.kinds import How, Known, Several, Words, rule
from engine.formula.node import Call, End, Extreme, Literal, Name, Node, Operation, Said, Share
from engine.quantity import Kind

MOST_LEAVES = 64
"""Ratios under the min and max of one formula."""


class UnprovableError(ValueError):
    """Why nothing can be proved about a formula, in a sentence."""


Atom = Name | End | Call
Product = tuple[Atom, ...]


@dataclass(frozen=True, slots=True)
class Polynomial:
    """Products of unknowns (in a fixed order) and their factors, none of them zero."""

    terms: Mapping[Product, Fraction]

    @classmethod
    def constant(cls, value: Fraction) -> Polynomial:
        """Return a polynomial that is the same everywhere."""
        return cls({(): value} if value else {})

    @classmethod
    def unknown(cls, atom: Atom) -> Polynomial:
        """Return a polynomial that is one unknown."""
        return cls({(atom,): Fraction(1)})

    def plus(self, other: Polynomial) -> Polynomial:
        """Return the sum."""
        total: defaultdict[Product, Fraction] = defaultdict(Fraction, self.terms)
        for product, factor in other.terms.items():
            total[product] += factor
        return Polynomial({product: factor for product, factor in total.items() if factor})

    def times(self, other: Polynomial) -> Polynomial:
        """Return the product."""
        total: defaultdict[Product, Fraction] = defaultdict(Fraction)
        for left, a in self.terms.items():
            for right, b in other.terms.items():
                total[tuple(sorted(left + right, key=repr))] += a * b
        return Polynomial({product: factor for product, factor in total.items() if factor})

    def scaled(self, by: Fraction) -> Polynomial:
        """Return it times a number."""
        return self.times(Polynomial.constant(by))

    def atoms(self) -> frozenset[Atom]:
        """Return every unknown in it."""
        return frozenset(atom for product in self.terms for atom in product)

    def fixed(self) -> Fraction | None:
        """Return its value if it is the same everywhere, else None."""
        return None if self.atoms() else self.terms.get((), Fraction(0))

    def at(self, worth: Callable[[Atom], Fraction]) -> Fraction:
        """Return its value where every unknown is worth what ``worth`` says."""
        total = Fraction(0)
        for product, factor in self.terms.items():
            for atom in product:
                factor *= worth(atom)
            total += factor
        return total


ONE = Polynomial.constant(Fraction(1))


@dataclass(frozen=True, slots=True)
class Ratio:
    """``top`` over ``bottom``."""

    top: Polynomial
    bottom: Polynomial = ONE

    def fixed(self) -> Fraction | None:
        """Return its value if it is the same everywhere, else None."""
        top, bottom = self.top.fixed(), self.bottom.fixed()
        return None if top is None or not bottom else top / bottom


@dataclass(frozen=True, slots=True)
class Choice:
    """The least or the greatest of several forms."""

    word: str
    parts: tuple[Form, ...]


Form = Ratio | Choice


def form_of(node: Node, known: Mapping[str, Known], figures: Mapping[str, Figure]) -> Form:
    """Return a formula as a form; raises UnprovableError where it has none.

    The formula has passed `kind_of` with the same ``known``.
    """
    form, _ = _read(node, known, figures)
    if sum(1 for _ in leaves(form)) > MOST_LEAVES:
        raise UnprovableError("It holds too many min and max.")
    return form


def leaves(form: Form) -> Iterator[Ratio]:
    """Yield every ratio of a form."""
    if isinstance(form, Ratio):
        yield form
        return
    for part in form.parts:
        yield from leaves(part)


def difference(high: Ratio, low: Ratio) -> Ratio:
    """Return ``high`` less ``low``."""
    return _ratio_sum(high, Ratio(low.top.scaled(Fraction(-1)), low.bottom))


_Read = tuple[Form, Kind]


def _read(node: Node, known: Mapping[str, Known], figures: Mapping[str, Figure]) -> _Read:
    match node:
        case Literal():
            return _number(node.quantity.value), node.quantity.kind
        case Name() | End():
            return _named(node, known)
        case Share():
            form, kind = _read(node.of, known, figures)
            return _scaled(form, node.percent.value / 100), kind
        case Operation():
            left, right = _read(node.left, known, figures), _read(node.right, known, figures)
            return _operated(node.word, left, right)
        case Extreme():
            parts = [_read(_one_end(part, node.word, known), known, figures) for part in node.parts]
            return Choice(node.word, tuple(form for form, _ in parts)), parts[0][1]
        case Call():
            return _output(node, figures[node.figure].output(node.output).kind)
        case Said():
            raise UnprovableError("A word has no size.")


def _output(node: Call, kind: Kind | None) -> _Read:
    if kind is None:
        raise UnprovableError(f"{node.figure} gives a word.")
    return Ratio(Polynomial.unknown(node)), kind


def _number(value: Fraction) -> Ratio:
    return Ratio(Polynomial.constant(value))


def _named(node: Name | End, known: Mapping[str, Known]) -> _Read:
    what = known.get(node.name)
    if what is None or isinstance(what, Words):
        raise UnprovableError(f"Nothing is known of '{node.name}'.")
    return Ratio(Polynomial.unknown(node)), what.kind if isinstance(what, Several) else what


def _one_end(part: Node, word: str, known: Mapping[str, Known]) -> Node:
    """Return the end of a set that the set's min or max is; anything else as it stands."""
    if isinstance(part, Name) and isinstance(known.get(part.name), Several):
        return End("low" if word == "min" else "high", part.name)
    return part


def _operated(word: str, left: _Read, right: _Read) -> _Read:
    found = rule(word, left[1], right[1])
    if found is None:
        raise UnprovableError(f"{left[1]} {word} {right[1]} gives nothing.")
    a, b = left[0], _scaled(right[0], Fraction(-1)) if word == "less" else right[0]
    match found.how:
        case How.SUM:
            form = _sum(a, b)
        case How.RELATIVE:
            form = _multiplied(a, _sum(_number(Fraction(1)), _scaled(b, Fraction(1, 100))))
        case How.PRODUCT:
            form = _scaled(_multiplied(a, b), found.scale)
        case How.QUOTIENT:
            form = _scaled(_multiplied(a, _turned(b)), found.scale)
    return form, found.kind


def _each(choice: Choice, change: Callable[[Form], Form], rising: bool = True) -> Choice:
    """Return the choice with every part changed; a falling change turns min into max."""
    turned = {"min": "max", "max": "min"}[choice.word]
    return Choice(choice.word if rising else turned, tuple(change(part) for part in choice.parts))


def _sum(a: Form, b: Form) -> Form:
    if isinstance(a, Choice):
        return _each(a, lambda part: _sum(part, b))
    if isinstance(b, Choice):
        return _each(b, lambda part: _sum(a, part))
    return _ratio_sum(a, b)


def _ratio_sum(a: Ratio, b: Ratio) -> Ratio:
    if a.bottom == b.bottom:
        return Ratio(a.top.plus(b.top), a.bottom)
    top = a.top.times(b.bottom).plus(b.top.times(a.bottom))
    return Ratio(top, a.bottom.times(b.bottom))


def _scaled(form: Form, by: Fraction) -> Form:
    if isinstance(form, Choice):
        return _each(form, lambda part: _scaled(part, by), by >= 0)
    return Ratio(form.top.scaled(by), form.bottom)


def _multiplied(a: Form, b: Form) -> Form:
    if isinstance(a, Ratio) and isinstance(b, Ratio):
        return Ratio(a.top.times(b.top), a.bottom.times(b.bottom))
    choice, other = (a, b) if isinstance(a, Choice) else (b, a)
    by = other.fixed() if isinstance(other, Ratio) else None
    if by is None:
        raise UnprovableError("A min or max is multiplied by something that is not fixed.")
    return _scaled(choice, by)


def _turned(form: Form) -> Ratio:
    """Return one over a form."""
    if isinstance(form, Choice) or not form.top.terms:
        raise UnprovableError("It divides by zero, or by a min or max.")
    return Ratio(form.bottom, form.top)

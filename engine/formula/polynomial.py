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
        if (by := other.fixed()) is not None:
            return self.scaled(by)
        total: defaultdict[Product, Fraction] = defaultdict(Fraction)
        for left, a in self.terms.items():
            for right, b in other.terms.items():
                total[tuple(sorted(left + right, key=str))] += a * b
        return Polynomial({product: factor for product, factor in total.items() if factor})

    def scaled(self, by: Fraction) -> Polynomial:
        """Return it times a number."""
        if by == 1 or not by:
            return self if by else Polynomial({})
        return Polynomial({product: factor * by for product, factor in self.terms.items()})

    def atoms(self) -> frozenset[Atom]:
        """Return every unknown in it."""
        return frozenset(atom for product in self.terms for atom in product)

    def fixed(self) -> Fraction | None:
        """Return its value if it is the same everywhere, else None."""
        return self.terms.get((), Fraction(0)) if self.terms.keys() <= {()} else None

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


@dataclass(frozen=True, slots=True)
class Choice:
    """The least or the greatest of several forms."""

    word: str
    parts: tuple[Form, ...]


Form = Ratio | Choice


Sign = Callable[[Ratio], int]
"""Says of a ratio that it is never below zero (1) or never above (-1); raises UnprovableError."""


def form_of(
    node: Node, known: Mapping[str, Known], figures: Mapping[str, Figure], sign: Sign
) -> Form:
    """Return a formula as a form; raises UnprovableError where it has none.

    The formula has passed `kind_of` with the same ``known``. ``sign`` is asked where a min or
    max is multiplied: by less than nothing, the one turns into the other.
    """
    form, _ = _Reading(known, figures, sign).of(node)
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


@dataclass(frozen=True, slots=True)
class _Reading:
    """Reads a formula into a form, bottom up, each part with its kind."""

    known: Mapping[str, Known]
    figures: Mapping[str, Figure]
    sign: Sign

    def of(self, node: Node) -> _Read:
        """Return the form and the kind of a part."""
        match node:
            case Literal():
                return _number(node.quantity.value), node.quantity.kind
            case Name() | End():
                return self._named(node)
            case Share():
                form, kind = self.of(node.of)
                return _scaled(form, node.percent.value / 100), kind
            case Operation():
                return self._operated(node)
            case Extreme():
                parts = [self.of(self._one_end(part, node.word)) for part in node.parts]
                return Choice(node.word, tuple(form for form, _ in parts)), parts[0][1]
            case Call():
                return self._output(node)
            case Said():
                raise UnprovableError("A word has no size.")

    def _named(self, node: Name | End) -> _Read:
        what = self.known.get(node.name)
        if what is None or isinstance(what, Words):
            raise UnprovableError(f"Nothing is known of '{node.name}'.")
        kind = what.kind if isinstance(what, Several) else what
        return Ratio(Polynomial.unknown(node)), kind

    def _output(self, node: Call) -> _Read:
        kind = self.figures[node.figure].output(node.output).kind
        if kind is None:
            raise UnprovableError(f"{node.figure} gives a word.")
        return Ratio(Polynomial.unknown(node)), kind

    def _one_end(self, part: Node, word: str) -> Node:
        """Return the end of a set that its min or max is; anything else as it stands."""
        if isinstance(part, Name) and isinstance(self.known.get(part.name), Several):
            return End("low" if word == "min" else "high", part.name)
        return part

    def _operated(self, node: Operation) -> _Read:
        (a, left), (b, right) = self.of(node.left), self.of(node.right)
        found = rule(node.word, left, right)
        if found is None:
            raise UnprovableError(f"{left} {node.word} {right} gives nothing.")
        if node.word == "less":
            b = _scaled(b, Fraction(-1))
        match found.how:
            case How.SUM:
                return _sum(a, b), found.kind
            case How.RELATIVE:
                share = _sum(_number(Fraction(1)), _scaled(b, Fraction(1, 100)))
                return self._multiplied(a, share), found.kind
            case How.PRODUCT:
                return _scaled(self._multiplied(a, b), found.scale), found.kind
            case How.QUOTIENT:
                return _scaled(self._multiplied(a, _turned(b)), found.scale), found.kind

    def _multiplied(self, a: Form, b: Form) -> Form:
        if isinstance(a, Ratio) and isinstance(b, Ratio):
            return Ratio(a.top.times(b.top), a.bottom.times(b.bottom))
        choice, by = (a, b) if isinstance(a, Choice) else (b, a)
        if isinstance(choice, Choice) and isinstance(by, Ratio):
            return _each(choice, lambda part: self._multiplied(part, by), self.sign(by) > 0)
        raise UnprovableError("A min or max is multiplied by another.")


def _number(value: Fraction) -> Ratio:
    return Ratio(Polynomial.constant(value))


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


def _turned(form: Form) -> Ratio:
    """Return one over a form."""
    if isinstance(form, Choice) or not form.top.terms:
        raise UnprovableError("It divides by zero, or by a min or max.")
    return Ratio(form.bottom, form.top)

"""Laws of formulas: against Python's own fractions, for any text, and for the doubt carried."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from operator import add, sub

from hypothesis import assume, given
from hypothesis import strategies as st

from engine.formula import (
    Between,
    Box,
    Formula,
    FormulaError,
    Measured,
    Value,
    bounds,
    evaluate,
    kind_of,
    parse,
)
from engine.formula.node import Name, every
from engine.quantity import Kind, Quantity
from tests.engine.sample_figures import SAMPLES

NUMBERS = st.integers(min_value=1, max_value=10_000).map(lambda n: Fraction(n, 100))
PERCENTS = st.integers(min_value=1, max_value=200)
NAMES = ("a", "b", "c", "rc-stat.rc", "the leads")
At = dict[str, Fraction]


@dataclass(frozen=True)
class Twin:
    """A formula of amps in the project's words, and the same in Python's fractions."""

    text: str
    worth: Callable[[At], Fraction]

    def __repr__(self) -> str:
        return self.text


def leaf_of_number(number: Fraction) -> Twin:
    return Twin(f"{float(number):.2f} A", lambda at: number)


def leaf_of_name(name: str) -> Twin:
    return Twin(name, lambda at: at[name])


LEAVES = st.one_of(NUMBERS.map(leaf_of_number), st.sampled_from(NAMES).map(leaf_of_name))


def two(words: str, work: Callable[[Fraction, Fraction], Fraction]) -> Callable[[Twin, Twin], Twin]:
    def joined(one: Twin, other: Twin) -> Twin:
        text = words.format(one.text, other.text)
        return Twin(text, lambda at: work(one.worth(at), other.worth(at)))

    return joined


def scaled(words: str, work: Callable[[Fraction, int], Fraction]) -> Callable[[Twin, int], Twin]:
    def joined(one: Twin, by: int) -> Twin:
        return Twin(words.format(one.text, by), lambda at: work(one.worth(at), by))

    return joined


def grown(inner: st.SearchStrategy[Twin]) -> st.SearchStrategy[Twin]:
    return st.one_of(
        st.builds(two("({} plus {})", add), inner, inner),
        st.builds(two("({} less {})", sub), inner, inner),
        st.builds(two("min({}, {})", min), inner, inner),
        st.builds(two("max({}, {})", max), inner, inner),
        st.builds(scaled("{1} % of {0}", lambda a, by: a * by / 100), inner, PERCENTS),
        st.builds(scaled("({} less {} %)", lambda a, by: a * (100 - by) / 100), inner, PERCENTS),
        st.builds(scaled("{1} times {0}", lambda a, by: a * by), inner, PERCENTS),
        st.builds(scaled("({} over {} times)", lambda a, by: a / by), inner, PERCENTS),
    )


FORMULAS = st.recursive(LEAVES, grown, max_leaves=8).filter(lambda twin: len(twin.text) < 450)
VALUES = st.fixed_dictionaries(dict.fromkeys(NAMES, NUMBERS))


def read(text: str) -> Formula:
    return parse(text, SAMPLES)


def exactly(values: At) -> dict[str, Value]:
    return {name: Measured.sure(Quantity(n, Kind.CURRENT)) for name, n in values.items()}


@given(FORMULAS, VALUES)
def test_agrees_with_fractions(twin: Twin, values: At) -> None:
    got = evaluate(read(twin.text), exactly(values), SAMPLES)
    expected = twin.worth(values)
    assert isinstance(got, Measured)
    assert got.quantity == Quantity(expected, Kind.CURRENT)
    assert got.low == got.high == expected


@given(FORMULAS)
def test_kind_is_known_before_any_value(twin: Twin) -> None:
    known = dict.fromkeys(NAMES, Kind.CURRENT)
    assert kind_of(read(twin.text), known, SAMPLES) is Kind.CURRENT


@given(FORMULAS)
def test_names_are_those_that_are_renamed(twin: Twin) -> None:
    formula = read(twin.text)
    new = {name: f"x{at}" for at, name in enumerate(NAMES)}
    back = {after: before for before, after in new.items()}
    moved = formula.renamed(new)
    assert moved.names() == {new[name] for name in formula.names()}
    assert moved.renamed(back) == formula
    assert formula.filled({name: read(name) for name in NAMES}) == formula


@given(FORMULAS, FORMULAS, VALUES)
def test_filling_is_working_out_first(outer: Twin, inner: Twin, values: At) -> None:
    formula, part = read(outer.text), read(inner.text)
    first = evaluate(part, exactly(values), SAMPLES)
    later = evaluate(formula, {**exactly(values), "a": first}, SAMPLES)
    assert evaluate(formula.filled({"a": part}), exactly(values), SAMPLES) == later


@given(FORMULAS, VALUES, st.lists(st.tuples(NUMBERS, st.integers(-10, 10)), min_size=5, max_size=5))
def test_the_interval_holds_the_answer(
    twin: Twin, values: At, doubts: list[tuple[Fraction, int]]
) -> None:
    """Every name once is monotone; a name used twice may not be, and then ends are only tried."""
    formula = read(twin.text)
    used = [part.name for part in every(formula.node) if isinstance(part, Name)]
    assume(len(used) == len(set(used)))
    measured: dict[str, Value] = {}
    inside: dict[str, Value] = {}
    for (name, n), (half, tenths) in zip(values.items(), doubts, strict=True):
        half = min(half, n)
        measured[name] = Measured(Quantity(n, Kind.CURRENT), n - half, n + half)
        inside[name] = Measured.sure(Quantity(n + half * tenths / 10, Kind.CURRENT))
    got, point = evaluate(formula, measured, SAMPLES), evaluate(formula, inside, SAMPLES)
    assert isinstance(got, Measured)
    assert isinstance(point, Measured)
    assert got.low <= point.quantity.value <= got.high


@given(FORMULAS, VALUES, st.tuples(NUMBERS, NUMBERS))
def test_bounds_hold_every_answer(twin: Twin, values: At, more: tuple[Fraction, Fraction]) -> None:
    low, high = sorted(more)
    at = {name: low + (high - low) * n / 100 for name, n in values.items()}
    allowed = Between(Quantity(low, Kind.CURRENT), Quantity(high, Kind.CURRENT))
    least, most = bounds(read(twin.text), Box(dict.fromkeys(NAMES, allowed)), SAMPLES)
    got = evaluate(read(twin.text), exactly(at), SAMPLES)
    assert isinstance(got, Measured)
    assert least.value <= got.quantity.value <= most.value


PIECES = st.sampled_from(
    [*"(),+-*/%.", " ", "plus", "less", "times", "over", "of", "is", "the", "min", "max", "low",
     "spread", "leak", "a", "rc-stat.rc", "5 V", "85 %", "3", "18 F apart", "kind", "word", "µF"]
)  # fmt: skip


@given(st.one_of(st.text(max_size=60), st.lists(PIECES, max_size=14).map(" ".join)))
def test_any_text_is_a_formula_or_a_sentence(text: str) -> None:
    got = read_or_error(text)
    if isinstance(got, Formula):
        assert parse(got.text, SAMPLES) == got
        return
    assert got.sentence.endswith(".")
    assert got.fix.endswith((".", "?"))
    assert 1 <= got.column <= len(text) + 1


def read_or_error(text: str) -> Formula | FormulaError:
    try:
        return parse(text, SAMPLES)
    except FormulaError as error:
        return error

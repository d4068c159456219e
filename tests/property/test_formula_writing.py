"""A formula in words is the formula again, whatever it holds."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.formula import Formula, parse
from engine.formula.node import Extreme, Name, Node, Operation, Share
from engine.formula.writing import exactly, in_text
from engine.quantity import UNITS, Quantity, literal
from engine.trade.catalogue import FIGURES

QUANTITIES = st.builds(
    lambda number, symbol: Quantity.of(number, symbol),
    st.decimals(min_value=0, max_value=9999, places=6).map(str),
    st.sampled_from(sorted(UNITS)),
)
LEAVES = st.one_of(
    QUANTITIES.map(lambda one: parse(exactly(one), FIGURES).node),
    st.sampled_from(["mca", "survey.pairs", "the limit"]).map(Name),
)


def grown(inner: st.SearchStrategy[Node]) -> st.SearchStrategy[Node]:
    words = st.sampled_from(["plus", "less", "times", "over"])
    percents = st.integers(min_value=1, max_value=200).map(lambda n: Quantity.of(n, "%"))
    return st.one_of(
        st.builds(Operation, words, inner, inner),
        st.builds(Share, percents, inner),
        st.builds(
            lambda word, parts: Extreme(word, tuple(parts)),
            st.sampled_from(["min", "max"]),
            st.lists(inner, min_size=1, max_size=3),
        ),
    )


@given(st.recursive(LEAVES, grown, max_leaves=8))
def test_a_formula_written_and_read_is_the_same(node: Node) -> None:
    written = in_text(Formula(node, ""), FIGURES)
    assert parse(written, FIGURES).node == node


@given(QUANTITIES)
def test_a_quantity_written_is_the_very_same_quantity(quantity: Quantity) -> None:
    assert literal(exactly(quantity)) == quantity


@pytest.mark.parametrize(
    "text",
    [
        "85 % of 24 V",
        "1.25 times mca",
        "high of rated_volts plus 10 %",
        "average of unbalance(survey.pairs)",
        "unbalance(amps.legs, kind is current)",
        "max(pairs, ground)",
        "supply(survey.pairs, survey.ground)",
        "a less (b less c)",
        "(a plus b) over 2 times",
        "0.5 in wc",
        "18 F apart",
    ],
)
def test_what_an_author_writes_is_written_so_again(text: str) -> None:
    assert in_text(parse(text, FIGURES), FIGURES) == text


def test_what_was_put_in_is_in_the_words_and_names_are_the_readers() -> None:
    least = parse("85 % of rated_volts", FIGURES)
    filled = parse("max(least, 1 V)", FIGURES).filled({"least": least})
    spoken = in_text(filled, FIGURES, lambda name: name.replace("_", " "))
    assert spoken == "max(85 % of rated volts, 1 V)"

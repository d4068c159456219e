"""Words of the trade on the customer's page, and the plain ones that go behind them."""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.glossary import NO_WORDS
from engine.loader.glossary import load_glossary
from engine.report.plain_words import PlainWords


@cache
def shipped() -> PlainWords:
    return PlainWords(load_glossary()[0])


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("The contactor and both capacitors were burnt.", ("contactor", "run capacitor")),
        ("The disconnect was off.", ("disconnect",)),
        ("CONTACTOR", ("contactor",)),
        ("The float switch opened.", ("float switch",)),
        ("The secondary of the transformer is open.", ("secondary", "control transformer")),
        ("24 volts from R to C.", ("R", "C")),
        ("Y, G and W", ("Y", "G", "W")),
        ("It is 22 C in the room, 72 °C at the pipe; refrigerant R-410A.", ("refrigerant",)),
        ("Plan C. Mr. C. Dale's", ("C",)),
        ("a cable, I do, A roof unit, you're", ()),
        ("The batteries of the thermostat were flat.", ()),
        ("The fan hums and the filter is full.", ()),
        ("", ()),
    ],
)
def test_words_of_the_trade_are_found(text: str, words: tuple[str, ...]) -> None:
    assert set(words) <= set(shipped().trade_words(text))
    if not words or len(words) > 1:
        assert shipped().trade_words(text) == words


@pytest.mark.parametrize(
    "text",
    [
        "The small transformer that feeds the unit had failed.",
        "The contactor, the big switch inside, was burnt.",
        "The contactor (the big switch) was burnt. The contactor is new.",
    ],
)
def test_a_sentence_may_explain_its_words_itself(text: str) -> None:
    assert shipped().trade_words(text) == ()
    assert shipped().explained(text) == text


def test_a_word_is_explained_once_where_it_first_stands() -> None:
    text = "The contactor sticks. A stuck contactor welds, and contactors cost money."
    assert shipped().explained(text) == (
        "The contactor (the heavy switch that starts the motors) sticks. "
        "A stuck contactor welds, and contactors cost money."
    )
    assert shipped().explained(text, frozenset({"contactor"})) == text


def test_an_explanation_goes_behind_a_possessive_and_needs_none_itself() -> None:
    assert shipped().explained("The compressor's oil is cold.") == (
        "The compressor's (the pump of the cooling circuit) oil is cold."
    )
    explained = shipped().explained("The neutral has come loose.")
    assert explained == "The neutral (the wire that brings the current back) has come loose."
    assert shipped().trade_words(explained) == ()


def test_without_a_glossary_nothing_is_found() -> None:
    assert PlainWords(NO_WORDS).trade_words("The contactor") == ()
    assert PlainWords(NO_WORDS).explained("The contactor") == "The contactor"


WORDS = st.sampled_from(
    [
        "contactor",
        "R",
        "C,",
        "short circuit",
        "capacitors",
        "the",
        "of",
        "(new)",
        "that",
        "24",
        "°C",
    ]
)


@given(st.lists(WORDS | st.text(max_size=6), max_size=12).map(" ".join))
@settings(deadline=None, max_examples=60)
def test_once_explained_nothing_is_left_to_explain(text: str) -> None:
    explained = shipped().explained(text)
    assert shipped().trade_words(explained) == ()
    assert shipped().explained(explained) == explained

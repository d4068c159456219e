"""A bare number where the prefix is open, and several readings on one line."""

from __future__ import annotations

import pytest

from engine.quantity import Kind, literal
from engine.reading import Asked, Refused, Special, Unclear, parse, parse_many, settle, settle_many
from tests.engine.questions import (
    CAPACITOR,
    LEGS,
    LUG,
    SAFETIES,
    TO_FRAME,
    WINDING,
    WINDINGS,
    F,
    asked,
)


@pytest.mark.parametrize(
    ("text", "question", "choices"),
    [
        ("2.2", asked(F.OHMS), ("ohm", "kohm", "Mohm")),
        ("2.2", SAFETIES, ("ohm", "kohm", "Mohm")),
        ("50", SAFETIES, ("ohm", "kohm")),
        ("0", SAFETIES, ("ohm", "kohm", "Mohm")),
        ("60", WINDING, ("ohm", "kohm", "Mohm")),
        ("2.2", TO_FRAME, ("kohm", "Mohm", "Gohm")),
        ("550", TO_FRAME, ("kohm", "Mohm")),
        ("2.2", asked(F.INSULATION, "0 ohm", "100 ohm"), ("kohm", "Mohm", "Gohm")),
        ("49", asked(F.CAPACITANCE), ("nF", "uF")),
        ("0.4", CAPACITOR, ("nF", "uF")),
        ("12", asked(F.MILLIVOLTS), ("mV", "V")),
        ("0.3", LUG, ("mV", "V")),
        ("12", asked(F.MILLIVOLTS, "1 V", "20 V"), ("mV", "V")),
        ("1.5m", SAFETIES, ("mohm", "Mohm")),
        ("1.5 mohm", SAFETIES, ("mohm", "Mohm")),
        ("1.5 MOHM", SAFETIES, ("mohm", "Mohm")),
        ("2.2 mohm", TO_FRAME, ("mohm", "Mohm")),
        ("1.5M", WINDING, ("mohm", "Mohm")),
        ("49 mF", asked(F.CAPACITANCE), ("uF", "mF")),
        ("2.2", Asked(Kind.RESISTANCE), ("ohm", "kohm", "Mohm")),
    ],
)
def test_an_open_prefix_is_asked(text: str, question: Asked, choices: tuple[str, ...]) -> None:
    with pytest.raises(Unclear) as caught:
        parse(text, question)
    unclear = caught.value
    assert unclear.choices == choices
    for number, unit in enumerate(choices, 1):
        by_number, by_unit = settle(unclear, str(number)), settle(unclear, f" {unit} ")
        assert by_number == by_unit
        assert by_number.unit == unit


@pytest.mark.parametrize(
    ("text", "question", "unit"),
    [
        ("1.5M", SAFETIES, "Mohm"),
        ("1.5 Mohm", asked(F.OHMS), "Mohm"),
        ("1.5 MOHM", TO_FRAME, "Mohm"),
        ("8 mohm", WINDING, "mohm"),
        ("49 mF", CAPACITOR, "uF"),
        ("49 MF", CAPACITOR, "uF"),
        ("0.5 mF", CAPACITOR, "mF"),
    ],
)
def test_a_letter_m_that_can_mean_one_thing_only(text: str, question: Asked, unit: str) -> None:
    assert parse(text, question).unit == unit


def test_the_question_and_its_answers() -> None:
    with pytest.raises(Unclear) as caught:
        parse("2.2", SAFETIES)
    unclear = caught.value
    assert unclear.message() == "2.2\n^\n2.2 what? 1 ohm 2 kohm 3 Mohm"
    assert settle(unclear, "2").words() == "2.2 kohm"
    assert settle(unclear, "k").words() == "2.2 kohm"
    assert settle(unclear, "m").words() == "2.2 Mohm"
    assert settle(unclear, "Ω").words() == "2.2 ohm"
    assert settle(unclear, "2.3k").words() == "2.3 kohm"
    assert settle(unclear, "OL").special is Special.OL
    assert settle(unclear, "2").typed == "2.2"
    with pytest.raises(Refused, match="The choices are 1 to 3"):
        settle(unclear, "4")
    with pytest.raises(Refused, match="'what' is not"):
        settle(unclear, "what")
    with pytest.raises(Unclear):
        settle(unclear, "2.5")


def test_a_small_m_stays_open_where_both_are_offered() -> None:
    with pytest.raises(Unclear) as caught:
        parse("1.5m", SAFETIES)
    with pytest.raises(Refused, match="'m' is not a reading"):
        settle(caught.value, "m")
    assert settle(caught.value, "Mohm").words() == "1.5 Mohm"
    assert settle(caught.value, "mohm").words() == "1.5 mohm"


def test_a_unit_of_its_own_joins_the_choices() -> None:
    question = Asked(Kind.RESISTANCE, F.OHMS, (literal("0 ohm"), literal("1 ohm")), unit="mohm")
    assert question.prefixes == ("mohm", "ohm", "kohm", "Mohm")
    assert parse("8.3", question).words() == "8.3 mohm"


# -- several on one line


@pytest.mark.parametrize(
    ("text", "understood"),
    [
        ("208 209 207", "208 V, 209 V, 207 V"),
        ("208 V 209 V 207 V", "208 V, 209 V, 207 V"),
        ("208, 209, 207", "208 V, 209 V, 207 V"),
        ("208; 209 ;207", "208 V, 209 V, 207 V"),
        ("208V,209V,207V", "208 V, 209 V, 207 V"),
        ("208 V AC 209 V AC", "208 V, 209 V"),
        ("208 209", "208 V, 209 V"),
        ("208", "208 V"),
        ("208 OL 207", "208 V, OL, 207 V"),
        ("unsteady can't read 0.0", "unsteady, can't read, 0.0 V"),
    ],
)
def test_several_on_one_line(text: str, understood: str) -> None:
    assert ", ".join(reading.words() for reading in parse_many(text, LEGS)) == understood


def test_units_of_more_than_one_word_on_one_line() -> None:
    plenum = asked(F.INCHES_OF_WATER, count=2)
    readings = parse_many("-0.5 in wc 0.2 in h2o", plenum)
    assert [reading.words() for reading in readings] == ["-0.5 in wc", "0.2 in wc"]


@pytest.mark.parametrize(
    ("text", "column", "sentence"),
    [
        ("208,209", 1, "208,209 could be 208209 or 208.209"),
        ("12,5 12,6", 1, "Put a space between readings, and a point before decimals."),
        ("208,209,207", 1, "One point is enough"),
        ("208-209-207", 4, "A reading is one number and its unit; a space parts two readings."),
        ("208/209/207", 4, "A reading is one number and its unit; a space parts two readings."),
        ("208 - 209", 5, "Put no space behind a sign."),
        ("208 209 207 206", 13, "3 readings are asked for here, and this begins one more."),
        ("208 209 F", 9, "'F' measures temperature"),
        ("208, 209,", 9, "Nothing stands behind this."),
    ],
)
def test_a_line_of_several_that_is_refused(text: str, column: int, sentence: str) -> None:
    with pytest.raises(Refused) as caught:
        parse_many(text, LEGS)
    assert caught.value.sentence.startswith(sentence)
    assert caught.value.column == column
    assert caught.value.example == "208 V 208 V 208 V"


def test_one_answer_settles_all_alike_and_no_others() -> None:
    with pytest.raises(Unclear) as caught:
        parse_many("2.2 2.3k 2.1", WINDINGS)
    assert caught.value.sentence == "2.2 2.1 what? 1 ohm 2 kohm 3 Mohm"
    readings = settle_many(caught.value, "1")
    assert [reading.words() for reading in readings] == ["2.2 ohm", "2.3 kohm", "2.1 ohm"]


def test_what_is_unlike_is_asked_in_turn() -> None:
    with pytest.raises(Unclear) as first:
        parse_many("1.5m 50 OL", WINDINGS)
    assert first.value.choices == ("mohm", "Mohm")
    with pytest.raises(Unclear) as second:
        settle_many(first.value, "2")
    assert second.value.choices == ("ohm", "kohm")
    assert second.value.column == 6
    readings = settle_many(second.value, "ohm")
    assert [reading.words() for reading in readings] == ["1.5 Mohm", "50 ohm", "OL"]

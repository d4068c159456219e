"""Values with a unit: what an author writes, and how a value is printed."""

from __future__ import annotations

from fractions import Fraction

import pytest

from engine.quantity import (
    UNITS,
    Kind,
    Quantity,
    base_unit,
    exact,
    fixed,
    literal,
    spelled,
    unit_named,
    words,
)


def test_a_computed_cut_and_a_written_one_are_the_same_number() -> None:
    assert Fraction(0.85 * 24) != literal("20.4 V").value
    assert exact(0.85 * 24) == literal("20.4 V").value
    assert exact(7) == 7


@pytest.mark.parametrize("kind", Kind)
def test_every_kind_has_a_base_unit_that_is_kept_as_it_is(kind: Kind) -> None:
    base = base_unit(kind)
    assert base.factor == 1
    assert base.offset == 0


@pytest.mark.parametrize("symbol", UNITS)
def test_every_unit_is_written_as_it_is_printed(symbol: str) -> None:
    assert unit_named(symbol) is UNITS[symbol]
    assert literal(f"12.5 {symbol}") == Quantity.of("12.5", symbol)


@pytest.mark.parametrize("symbol", UNITS)
def test_every_unit_has_itself_among_its_spellings(symbol: str) -> None:
    assert UNITS[symbol] in spelled(symbol.replace(" ", ""))


# Freezing and boiling point of water, and the one temperature that both scales share:
# NIST Special Publication 811 (2008), appendix B.8, t/°C = (t/°F - 32)/1.8 (from memory).
@pytest.mark.parametrize(("celsius", "fahrenheit"), [("0", 32), ("100", 212), ("-40", -40)])
def test_celsius(celsius: str, fahrenheit: int) -> None:
    assert literal(f"{celsius} C").value == fahrenheit
    assert Quantity(Fraction(fahrenheit), Kind.TEMPERATURE).in_unit("C") == int(celsius)


def test_a_difference_of_temperatures_has_no_offset() -> None:
    assert literal("10 C apart") == literal("18 F apart")
    assert literal("18 F apart").kind is not literal("18 F").kind


def test_another_kind_has_no_value_in_a_unit() -> None:
    with pytest.raises(ValueError, match="ohm is a unit of resistance, not of voltage"):
        literal("20.4 V").in_unit("ohm")


@pytest.mark.parametrize(
    ("text", "value", "symbol"),
    [
        ("20.4 V", "20.4", "V"),
        ("-5V", "-5", "V"),
        (".5 in wc", "0.5", "in wc"),
        ("0.5  in  wc", "0.5", "in wc"),
        ("6 %", "6", "%"),
        ("18 F apart", "18", "F apart"),
        ("45 µF", "45", "uF"),
        ("45 μF", "45", "uF"),
        ("1 MΩ", "1", "Mohm"),
        ("1 M\u2126", "1", "Mohm"),
        ("8 mohm", "8", "mohm"),
        ("72 °F", "72", "F"),
        ("36000 Btu/h", "36000", "Btu/h"),
    ],
)
def test_literals(text: str, value: str, symbol: str) -> None:
    assert literal(text) == Quantity.of(value, symbol)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("20.4", "20.4 needs a unit, like 20.4 V."),
        ("V", "'V' is not a number with a unit, like 20.4 V."),
        ("", "'' is not a number with a unit, like 20.4 V."),
        ("1,000 V", "',000 V' is not a unit. "),
        ("1e3 V", "'e3 V' is not a unit. "),
        ("1 mOhm", "'mOhm' is not a unit. "),
        ("5 v", "'v' is not a unit. "),
        ("1/2 in", "'/2 in' is not a unit. "),
        ("nan V", "'nan V' is not a number with a unit"),
        ("1" * 5000 + " V", f"'{'1' * 25}"),
        ("١٢ V", "'١٢ V' is not a number with a unit"),
        ("\x1b[2J V", r"'\x1b[2J V' is not a number with a unit"),
    ],
)
def test_a_literal_guesses_nothing(text: str, sentence: str) -> None:
    with pytest.raises(ValueError, match=r"[.]$") as caught:
        literal(text)
    assert str(caught.value).startswith(sentence)
    assert len(str(caught.value)) < 400


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("20.4 V", "20.4 V"),
        ("208 V", "208 V"),
        ("187.2 V", "187.2 V"),
        ("0.05 V", "50 mV"),
        ("0 V", "0 V"),
        ("12500 V", "12.5 kV"),
        ("47.7 uF", "47.7 uF"),
        ("0.02 uF", "20 nF"),
        ("2200 kohm", "2.2 Mohm"),
        ("1200 ohm", "1.2 kohm"),
        ("999.96 ohm", "1 kohm"),
        ("0.6 ohm", "0.6 ohm"),
        ("0.00125 ohm", "1.25 mohm"),
        ("2 Gohm", "2 Gohm"),
        ("72 F", "72 F"),
        ("22 C", "71.6 F"),
        ("18 F apart", "18 F apart"),
        ("118.04 psi", "118 psi"),
        ("-0.5 in wc", "-0.5 in wc"),
        ("6 %", "6 %"),
        ("4.762 %", "4.76 %"),
        ("0.4 A", "0.4 A"),
        ("0.02 A", "20 mA"),
        ("3.2 uA", "3.2 uA"),
        ("40 VA", "40 VA"),
        ("75 kVA", "75 kVA"),
        ("90 s", "90 s"),
        ("300 s", "5 min"),
        ("3 h", "3 h"),
        ("30 in", "30 in"),
        ("120 ft", "120 ft"),
        ("2800.4 cfm", "2800 cfm"),
        ("7.5 ton", "90000 Btu/h"),
        ("3 times", "3 times"),
    ],
)
def test_words(text: str, printed: str) -> None:
    assert words(literal(text)) == printed


def test_words_in_a_unit_of_choice() -> None:
    assert words(literal("0.5 V"), "V") == "0.5 V"
    assert words(literal("71.6 F"), "C") == "22 C"
    assert words(literal("90000 Btu/h"), "ton") == "7.5 ton"
    with pytest.raises(ValueError, match="not of voltage"):
        words(literal("5 V"), "A")


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        # Fixed points of both scales: water freezes and boils, and where the scales meet.
        ("32 F", "0 C"),
        ("212 F", "100 C"),
        ("-40 F", "-40 C"),
        ("18 F apart", "10 C apart"),
        ("0 F apart", "0 C apart"),
        ("208 V", "208 V"),
        ("0 V", "0 V"),
    ],
)
def test_words_where_temperatures_are_shown_in_celsius(text: str, printed: str) -> None:
    assert words(literal(text), degrees="C") == printed


@pytest.mark.parametrize(
    ("number", "places", "text"),
    [
        ("2.5", 0, "3"),
        ("-2.5", 0, "-3"),
        ("0.04", 1, "0.0"),
        ("-0.04", 1, "0.0"),
        ("0.05", 1, "0.1"),
        ("12", 2, "12.00"),
        ("0.007", 3, "0.007"),
    ],
)
def test_halves_are_rounded_away_from_zero(number: str, places: int, text: str) -> None:
    assert fixed(Fraction(number), places) == text

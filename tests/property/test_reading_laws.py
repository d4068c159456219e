"""Laws that hold for every reading, every question and every text."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from engine.meters import accuracy, shipped_meters, with_meter
from engine.quantity import UNITS, Kind, Quantity, literal, spelled, words
from engine.reading import (
    FUNCTION_KIND,
    Asked,
    Function,
    Reading,
    Refused,
    Special,
    Unclear,
    parse,
    parse_many,
    parse_marking,
    settle,
    settle_many,
)
from engine.reading.refusal import WIDTH

FUNCTIONS = st.sampled_from(Function)
DIGITS = st.from_regex(r"[0-9]{1,5}(\.[0-9]{1,4})?|\.[0-9]{1,4}", fullmatch=True)
TYPING = st.text("0123456789.,+-−–—;:/*^eE oOlLvVaAmMkKuµμΩ\u2126°FCcd%psigrt'\"\x00\x1b\u202e\n")
OVER_RANGE = st.sampled_from(["OL", "0L", "O.L", ".OL", "---", "O L", "0.L"])


def question(function: Function, count: int = 1) -> Asked:
    return Asked(FUNCTION_KIND[function], function, count=count)


@st.composite
def ranges(draw: st.DrawFn, kind: Kind) -> tuple[Quantity, Quantity]:
    """Draw a plausible range of a kind, from a hair to many times its base unit."""
    ends = st.builds(
        lambda digits, power: Quantity(Fraction(digits) * Fraction(10) ** power, kind),
        st.integers(0, 99),
        st.integers(-4, 9),
    )
    low, high = sorted((draw(ends), draw(ends)), key=lambda end: end.value)
    return low, high


@st.composite
def questions(draw: st.DrawFn) -> Asked:
    """Draw a question about a meter or a nameplate, with or without a plausible range."""
    function = draw(st.none() | FUNCTIONS)
    kind = FUNCTION_KIND[function] if function else draw(st.sampled_from(Kind))
    plausible = draw(st.none() | ranges(kind))
    return Asked(kind, function, plausible, count=draw(st.integers(1, 4)))


@st.composite
def open_questions(draw: st.DrawFn) -> Asked:
    """Draw a question whose answer, without a unit, may be meant in several."""
    function = draw(st.sampled_from([one for one in Function if one.setting.prefixes]))
    kind = function.setting.kind
    with_a_meter = kind is Kind.VOLTAGE or draw(st.booleans())
    return Asked(kind, function if with_a_meter else None, draw(st.none() | ranges(kind)))


@st.composite
def measured(draw: st.DrawFn) -> tuple[Asked, str]:
    """Draw a question and a number with a unit that answers it."""
    asked = draw(questions())
    symbol = draw(st.sampled_from([one for one, unit in UNITS.items() if unit.kind is asked.kind]))
    number = draw(st.integers(0, 999).map(str) if asked.kind is Kind.COUNT else DIGITS)
    sign = "-" if asked.setting.minus and draw(st.booleans()) else ""
    return asked, f"{sign}{number} {symbol}"


def answer(text: str, asked: Asked) -> Reading | Refused:
    """Return what parsing comes to, the refusal as a value too."""
    try:
        return parse(text, asked)
    except Refused as refused:
        return refused


def understood(text: str, asked: Asked) -> Reading:
    """Return the reading; where milli and another prefix are asked about, what was written."""
    found = answer(text, asked)
    if isinstance(found, Unclear):
        return settle(found, text.split(" ", 1)[1])
    assert isinstance(found, Reading)
    return found


@given(measured())
def test_words_typed_back_in_are_the_same_reading(given_: tuple[Asked, str]) -> None:
    asked, text = given_
    reading = understood(text, asked)
    again = understood(reading.words(), asked)
    assert again.words() == reading.words()
    assert (again.quantity, again.resolution, again.unit) == (
        reading.quantity,
        reading.resolution,
        reading.unit,
    )


@given(measured())
def test_a_unit_typed_is_the_unit_taken(given_: tuple[Asked, str]) -> None:
    asked, text = given_
    number, symbol = text.split(" ", 1)
    reading = understood(text, asked)
    # mF is what much of the trade writes for uF; every other symbol means itself.
    assert reading.unit == symbol or (symbol, reading.unit) == ("mF", "uF")
    assert reading.quantity == Quantity.of(number, reading.unit)


@given(st.text() | TYPING, questions())
@example("1" * 5000, question(Function.VOLTS))
@example("1/0", question(Function.OHMS))
@example("10**10", question(Function.OHMS))
@example("1e400", question(Function.VOLTS))
@example("\udc80", question(Function.VOLTS))
def test_any_text_is_a_reading_or_a_sentence(text: str, asked: Asked) -> None:
    for read in (parse, parse_many, parse_marking):
        try:
            result = read(text, asked)
        except Refused as refused:
            check_message(refused)
        else:
            for reading in result if isinstance(result, tuple) else (result,):
                assert reading.words().isprintable()
                assert reading.typed.isprintable() or not reading.typed.isascii()
                assert (reading.quantity is None) is (reading.special is not None)


def check_message(refused: Refused) -> None:
    shown, caret, sentence = refused.message().split("\n")
    assert all(char.isprintable() for char in shown + caret + sentence)
    assert len(shown) <= WIDTH
    assert len(caret) <= WIDTH + 1
    assert caret.strip(" ") == "^"
    refused.message().encode("utf-8")


@given(st.text() | TYPING, measured())
def test_any_answer_to_what_is_unclear_is_a_reading_or_a_sentence(
    reply: str, given_: tuple[Asked, str]
) -> None:
    asked, text = given_
    found = answer(text.split(" ", 1)[0], asked)
    if isinstance(found, Unclear):
        try:
            settle(found, reply)
        except Refused as refused:
            check_message(refused)


@given(DIGITS.filter(Fraction), open_questions())
def test_a_bare_number_counts_only_where_one_prefix_is_plausible(number: str, asked: Asked) -> None:
    plausible = [unit for unit in asked.prefixes if holds(asked, Quantity.of(number, unit))]
    found = answer(number, asked)
    if isinstance(found, Unclear):
        assert len(plausible) != 1 or asked.function is Function.MILLIVOLTS
        assert set(plausible) <= set(found.choices)
        assert len(found.choices) > 1
    else:
        assert isinstance(found, Reading)
        assert [found.unit] == plausible


def holds(asked: Asked, quantity: Quantity) -> bool:
    if asked.plausible is None:
        return True
    low, high = asked.plausible
    return low.value <= quantity.value <= high.value


@given(DIGITS, ranges(Kind.RESISTANCE), ranges(Kind.VOLTAGE))
def test_the_two_that_hurt_most(
    number: str, ohms: tuple[Quantity, Quantity], volts: tuple[Quantity, Quantity]
) -> None:
    at_insulation = answer(number, Asked(Kind.RESISTANCE, Function.INSULATION, ohms))
    at_a_lug = answer(number, Asked(Kind.VOLTAGE, Function.MILLIVOLTS, volts))
    assert isinstance(at_insulation, Unclear) or unit_of(at_insulation) in ("kohm", "Mohm", "Gohm")
    assert isinstance(at_a_lug, Unclear) or unit_of(at_a_lug) == "mV"


def unit_of(found: Reading | Refused) -> str:
    assert isinstance(found, Reading)
    return found.unit


@given(
    DIGITS,
    st.sampled_from(["m", "mohm", "mohms", "mΩ"]),
    ranges(Kind.RESISTANCE),
    st.sampled_from([Function.OHMS, Function.INSULATION]),
)
def test_a_small_m_is_never_taken_for_mega(
    number: str, unit: str, plausible: tuple[Quantity, Quantity], function: Function
) -> None:
    found = answer(f"{number} {unit}", Asked(Kind.RESISTANCE, function, plausible))
    if isinstance(found, Unclear):
        assert found.choices == ("mohm", "Mohm")
    else:
        assert unit_of(found) == "mohm"


@given(OVER_RANGE, st.integers(0, 7), questions(), st.sampled_from(["", " ", "\t"]))
def test_over_range_is_never_a_number(text: str, case: int, asked: Asked, space: str) -> None:
    cased = "".join(
        char.lower() if case >> (place % 3) & 1 else char for place, char in enumerate(text)
    )
    found = answer(space + cased + space, asked)
    if isinstance(found, Refused):
        assert asked.function is None
    else:
        assert found.special is Special.OL
        assert found.quantity is None


@given(measured())
def test_each_digit_more_is_a_tenth_of_the_resolution(given_: tuple[Asked, str]) -> None:
    asked, text = given_
    assume(asked.kind is not Kind.COUNT)
    number, symbol = text.split(" ", 1)
    longer = number + ("0" if "." in number else ".0")
    # Without a plausible range, so that mF is settled the same way for both.
    asked = Asked(asked.kind, asked.function)
    coarse = understood(text, asked)
    fine = understood(f"{longer} {symbol}", asked)
    assert fine.quantity == coarse.quantity
    assert fine.resolution * 10 == coarse.resolution


@given(FUNCTIONS, st.lists(DIGITS, min_size=1, max_size=4), st.sampled_from([" ", ", ", " ; "]))
def test_several_on_a_line_are_each_read_as_alone(
    function: Function, numbers: list[str], between: str
) -> None:
    unit = function.setting.unit
    texts = [f"{number} {unit}" for number in numbers]
    readings = parse_many(between.join(texts), question(function, 4))
    assert readings == tuple(parse(text, question(function)) for text in texts)


@given(st.lists(DIGITS, min_size=2, max_size=4))
def test_one_more_than_asked_is_refused(numbers: list[str]) -> None:
    line = " ".join(numbers)
    with pytest.raises(Refused) as caught:
        parse_many(line, question(Function.VOLTS, len(numbers) - 1))
    assert caught.value.column == len(line) - len(numbers[-1]) + 1


@given(st.lists(DIGITS, min_size=1, max_size=4), st.integers(1, 3))
def test_one_answer_settles_a_line_of_bare_numbers(numbers: list[str], choice: int) -> None:
    with pytest.raises(Unclear) as caught:
        parse_many(" ".join(numbers), question(Function.OHMS, 4))
    readings = settle_many(caught.value, str(choice))
    assert [one.unit for one in readings] == [("ohm", "kohm", "Mohm")[choice - 1]] * len(numbers)
    assert [one.typed for one in readings] == numbers


@given(FUNCTIONS, st.sampled_from(list(UNITS)), DIGITS)
def test_a_unit_of_another_kind_is_never_taken(
    function: Function, symbol: str, number: str
) -> None:
    asked = question(function)
    assume(all(unit.kind is not asked.kind for unit in spelled(symbol.replace(" ", ""))))
    found = answer(f"{number} {symbol}", asked)
    assert isinstance(found, Refused)
    assert not isinstance(found, Unclear)
    assert found.column == len(number) + 2


# Half of the last place printed, where places are fixed; a foot is twelve base units.
HALF_PLACES = {
    Kind.TEMPERATURE: "0.05",
    Kind.TEMPERATURE_DIFFERENCE: "0.05",
    Kind.PRESSURE: "0.05",
    Kind.STATIC_PRESSURE: "0.0005",
    Kind.PERCENT: "0.005",
    Kind.LENGTH: "0.06",
    Kind.AIRFLOW: "0.5",
    Kind.SLOPE: "0.0005",
    Kind.WATER_FLOW: "0.005",
    Kind.COUNT: "0.005",
}


@given(st.sampled_from(list(UNITS)), st.decimals(-99999, 99999, places=4))
def test_what_is_printed_is_the_value_but_for_its_rounding(symbol: str, number: Decimal) -> None:
    quantity = Quantity.of(str(number), symbol)
    printed = literal(words(quantity))
    assert printed.kind is quantity.kind
    four_digits = abs(quantity.value) / 2000
    slack = Fraction(HALF_PLACES.get(quantity.kind, four_digits))
    assert abs(printed.value - quantity.value) <= slack
    assert words(printed) == words(quantity)


@given(FUNCTIONS, DIGITS, st.sampled_from(shipped_meters().names()))
def test_a_meter_widens_a_reading_and_moves_nothing(
    function: Function, number: str, meter: str
) -> None:
    plain = parse(f"{number} {function.setting.unit}", question(function))
    assert plain.quantity
    reading = with_meter(plain, function, meter)
    assert reading.quantity == plain.quantity
    assert reading.low < plain.quantity.value < reading.high
    assert reading.high - plain.quantity.value == plain.quantity.value - reading.low
    stated = accuracy(meter, function, plain.quantity)
    assert stated <= reading.half_width <= stated + plain.resolution
    assert with_meter(reading, function, meter) == reading

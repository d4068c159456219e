"""What a technician types, read against what the step asks."""

from __future__ import annotations

from fractions import Fraction

import pytest

from engine.quantity import Kind, Quantity, literal
from engine.reading import (
    FUNCTION_KIND,
    Asked,
    Function,
    Reading,
    Refused,
    Special,
    Unclear,
    doubt,
    parse,
    parse_many,
    parse_marking,
    settle,
    settle_many,
)

F = Function


def asked(function: Function, low: str = "", high: str = "", count: int = 1) -> Asked:
    plausible = (literal(low), literal(high)) if low else None
    return Asked(FUNCTION_KIND[function], function, plausible, count=count)


VOLTS = asked(F.VOLTS)
DC_VOLTS = asked(F.DC_VOLTS)
LUG = asked(F.MILLIVOLTS, "0 V", "1 V")
AMPS = asked(F.CLAMP_AMPS)
WINDING = asked(F.OHMS, "0 ohm", "50 ohm")
SAFETIES = asked(F.OHMS, "0 ohm", "5 Mohm")
TO_FRAME = asked(F.INSULATION, "1 kohm", "20 Gohm")
CAPACITOR = asked(F.CAPACITANCE, "1 uF", "600 uF")
FLAME = asked(F.MICROAMPS)
AIR = asked(F.TEMPERATURE)
SUCTION = asked(F.PRESSURE)
PLENUM = asked(F.INCHES_OF_WATER)
LEGS = asked(F.VOLTS, count=3)
WINDINGS = asked(F.OHMS, "0 ohm", "5 Mohm", count=3)
TOLERANCE = Asked(Kind.PERCENT)
RESETS = Asked(Kind.COUNT)
SUPERHEAT = Asked(Kind.TEMPERATURE_DIFFERENCE)
MARKED_VOLTS = Asked(Kind.VOLTAGE)


@pytest.mark.parametrize(
    ("text", "question", "understood"),
    [
        ("208", VOLTS, "208 V"),
        ("208 V", VOLTS, "208 V"),
        ("208VAC", VOLTS, "208 V"),
        ("208 V AC", VOLTS, "208 V"),
        ("208 vac", VOLTS, "208 V"),
        ("208 ACV", VOLTS, "208 V"),
        ("208 AC", VOLTS, "208 V"),
        ("208 volts", VOLTS, "208 V"),
        ("208.", VOLTS, "208 V"),
        ("208.0", VOLTS, "208.0 V"),
        (" \t208\u00a0V \n", VOLTS, "208 V"),
        ("120 V rms", VOLTS, "120 V"),
        ("12,5 V", VOLTS, "12.5 V"),
        ("0,250", VOLTS, "0.250 V"),
        ("1250", VOLTS, "1250 V"),
        ("0.48 kV", VOLTS, "0.48 kV"),
        ("24.1 VDC", DC_VOLTS, "24.1 V"),
        ("-24.1", DC_VOLTS, "-24.1 V"),
        ("−24.1", DC_VOLTS, "-24.1 V"),
        ("+24.1", DC_VOLTS, "24.1 V"),
        ("0.6", WINDING, "0.6 ohm"),
        (".6Ω", WINDING, "0.6 ohm"),
        (".6\u2126", WINDING, "0.6 ohm"),
        ("0,6 ohms", WINDING, "0.6 ohm"),
        ("0", WINDING, "0 ohm"),
        ("1.2k", SAFETIES, "1.2 kohm"),
        ("1.2 K", SAFETIES, "1.2 kohm"),
        ("2.2 Mohm", TO_FRAME, "2.2 Mohm"),
        ("2.2MΩ", TO_FRAME, "2.2 Mohm"),
        ("2.2 M", TO_FRAME, "2.2 Mohm"),
        ("2.2 meg", TO_FRAME, "2.2 Mohm"),
        ("2.2 MEGOHMS", TO_FRAME, "2.2 Mohm"),
        ("1.1 G", TO_FRAME, "1.1 Gohm"),
        ("2.2 ohm", TO_FRAME, "2.2 ohm"),
        ("49", CAPACITOR, "49 uF"),
        ("49 uF", CAPACITOR, "49 uF"),
        ("49uf", CAPACITOR, "49 uF"),
        ("49µF", CAPACITOR, "49 uF"),
        ("49μF", CAPACITOR, "49 uF"),
        ("49 mfd", CAPACITOR, "49 uF"),
        ("49 MFD", CAPACITOR, "49 uF"),
        ("2.2 nF", CAPACITOR, "2.2 nF"),
        ("12", LUG, "12 mV"),
        ("12 mV", LUG, "12 mV"),
        ("12 MV", LUG, "12 mV"),
        ("0.5 V", LUG, "0.5 V"),
        ("18.4", AMPS, "18.4 A"),
        ("18.4 amps", AMPS, "18.4 A"),
        ("400 mA", AMPS, "400 mA"),
        ("95 A peak", asked(F.PEAK_CLAMP_AMPS), "95 A"),
        ("3.2", FLAME, "3.2 uA"),
        ("3.2 µA DC", FLAME, "3.2 uA"),
        ("72F", AIR, "72 F"),
        ("72", AIR, "72 F"),
        ("72°", AIR, "72 F"),
        ("72 degrees F", AIR, "72 F"),
        ("22 °C", AIR, "22 C"),
        ("22ºC", AIR, "22 C"),
        ("-4 C", AIR, "-4 C"),
        ("18 F", SUPERHEAT, "18 F apart"),
        ("18 F apart", SUPERHEAT, "18 F apart"),
        ("10 °C", SUPERHEAT, "10 C apart"),
        ("118 psig", SUCTION, "118 psi"),
        ("-5", SUCTION, "-5 psi"),
        ("-0.5 in wc", PLENUM, "-0.5 in wc"),
        ("-.5 in. w.c.", PLENUM, "-0.5 in wc"),
        ("0.5 inH2O", PLENUM, "0.5 in wc"),
        ('0.5"', PLENUM, "0.5 in wc"),
        ("- 0.5 in wc", PLENUM, "-0.5 in wc"),
        ("6 %", TOLERANCE, "6 %"),
        ("6 percent", TOLERANCE, "6 %"),
        ("2", RESETS, "2 times"),
        ("7.5 tons", Asked(Kind.HEAT), "7.5 ton"),
        ("24 VDC", MARKED_VOLTS, "24 V"),
        ("24 VAC", MARKED_VOLTS, "24 V"),
    ],
)
def test_what_is_understood(text: str, question: Asked, understood: str) -> None:
    reading = parse(text, question)
    assert reading.words() == understood
    assert reading.typed == text.strip()
    assert reading.quantity
    assert reading.quantity.kind is question.kind


OVER_RANGE = ["OL", "0L", "O.L", ".OL", "open", "---", "ol", "o.l", "0.L", "O L", "OL.", "--", "—"]


@pytest.mark.parametrize("text", [*OVER_RANGE, "Open", "OL Mohm", "0LΩ", " OL "])
@pytest.mark.parametrize("question", [WINDING, SAFETIES, TO_FRAME])
def test_over_range_is_never_a_number(text: str, question: Asked) -> None:
    reading = parse(text, question)
    assert reading.special is Special.OL
    assert reading.quantity is None
    assert reading.words() == "OL"
    with pytest.raises(ValueError, match="OL is not a number"):
        _ = reading.low


def test_open_is_said_of_ohms_only() -> None:
    assert parse("OL", VOLTS).special is Special.OL
    with pytest.raises(Refused, match="Open is not a voltage"):
        parse("open", VOLTS)


@pytest.mark.parametrize(
    ("text", "special"),
    [
        ("unsteady", Special.UNSTEADY),
        ("Jumping", Special.UNSTEADY),
        ("can't read", Special.CANT_READ),
        ("can’t  read", Special.CANT_READ),
        ("CANT READ", Special.CANT_READ),
        ("cannot read", Special.CANT_READ),
        ("unreadable", Special.CANT_READ),
    ],
)
def test_what_stands_in_a_numbers_place(text: str, special: Special) -> None:
    assert parse(text, VOLTS).special is special


def test_a_nameplate_is_not_read_with_a_meter() -> None:
    assert parse("can't read", TOLERANCE).special is Special.CANT_READ
    for text in ("OL", "---", "unsteady"):
        with pytest.raises(Refused, match="No meter is read here"):
            parse(text, TOLERANCE)


REFUSED = [
    ("", VOLTS, 1, "Nothing was typed."),
    ("   ", VOLTS, 1, "Nothing was typed."),
    ("1,250", VOLTS, 1, "1,250 could be 1250 or 1.25: type it with a point, or without the comma."),
    ("1,250.5", VOLTS, 1, "One point is enough"),
    ("1.2.3", VOLTS, 1, "One point is enough"),
    ("hello", VOLTS, 1, "'hello' is not a reading"),
    ("V", VOLTS, 1, "'V' is not a reading"),
    ("nan", VOLTS, 1, "'nan' is not a reading"),
    ("inf", VOLTS, 1, "'inf' is not a reading"),
    ("-", VOLTS, 1, "'-' is not a reading"),
    (".", VOLTS, 1, "'.' is not a reading"),
    ("~208", VOLTS, 1, "'~208' is not a reading"),
    (">600", VOLTS, 1, "Type the number alone; OL if the meter shows >"),
    ("O.6", WINDING, 1, "This is the letter O"),
    ("2O8", VOLTS, 2, "This is the letter O"),
    ("1/0", VOLTS, 2, "A reading is one number and its unit"),
    ("10**10", VOLTS, 3, "A reading is one number and its unit"),
    ("208-209", VOLTS, 4, "A reading is one number and its unit"),
    ("1e400", VOLTS, 2, "A meter shows no exponent"),
    ("1e3", VOLTS, 2, "A meter shows no exponent"),
    ("1k2", SAFETIES, 2, "The unit stands behind the last digit"),
    ("9" * 5000, VOLTS, 201, "That is longer than any reading."),
    ("9" * 11, VOLTS, 1, "No meter shows that many digits."),
    ("208 209", VOLTS, 5, "One reading is asked for here"),
    ("208,", VOLTS, 4, "Nothing stands behind this."),
    ("208\x00", VOLTS, 4, "'?' is not a unit for this; voltage is asked here, in V."),
    ("\x1b[31m208", VOLTS, 1, "'?[31m208' is not a reading"),
    ("208 V V", VOLTS, 5, "'V V' is not a unit"),
    ("٢٠٨", VOLTS, 1, "'???' is not a reading"),
    ("10²", VOLTS, 3, "'²' is not a unit"),
    ("208 ohm", VOLTS, 5, "'ohm' measures resistance; voltage is asked here, in V."),
    ("72 F", VOLTS, 4, "'F' measures temperature; voltage is asked here, in V."),
    ("49 V", CAPACITOR, 4, "'V' measures voltage; capacitance is asked here, in uF."),
    ("72 F", CAPACITOR, 4, "No capacitor here has whole farads: type uF (microfarads)."),
    ("OL V", WINDING, 4, "'V' measures voltage; resistance is asked here"),
    ("5 ohm AC", WINDING, 3, "'ohm AC' is not a unit"),
    ("22 uF", AIR, 4, "'uF' measures capacitance; temperature is asked here, in F."),
    ("5 m", AIR, 3, "'m' is not a unit for this"),
    ("118 psia", SUCTION, 5, "psia counts from a vacuum"),
    ("10 inHg", SUCTION, 4, "Type a vacuum in psi with a minus"),
    ("24 VDC", VOLTS, 4, "'VDC' is DC and this is read on AC: set the meter to AC"),
    ("24 VAC", DC_VOLTS, 4, "'VAC' is AC and this is read on DC: set the meter to DC"),
    ("24 V rms", DC_VOLTS, 4, "'V rms' is AC and this is read on DC"),
    ("18 A peak", AMPS, 4, "This is read without the peak hold"),
    ("-208", VOLTS, 1, "AC has no minus sign"),
    ("-2 ohm", WINDING, 1, "Ohms below zero mean voltage in the circuit"),
    ("-3.2", FLAME, 1, "A minus here means leads the other way round"),
    ("-6 %", TOLERANCE, 1, "A percent is not below zero here."),
    ("1.5", RESETS, 1, "This is counted in whole numbers."),
]


@pytest.mark.parametrize(("text", "question", "column", "sentence"), REFUSED)
def test_what_is_refused(text: str, question: Asked, column: int, sentence: str) -> None:
    with pytest.raises(Refused) as caught:
        parse(text, question)
    assert not isinstance(caught.value, Unclear)
    assert caught.value.sentence.startswith(sentence)
    assert caught.value.column == column
    assert caught.value.text == text


@pytest.mark.parametrize("question", [row[1] for row in REFUSED])
def test_the_example_is_a_good_one(question: Asked) -> None:
    with pytest.raises(Refused) as caught:
        parse("?", question)
    assert parse(caught.value.example, question).quantity


def test_a_message_is_the_text_a_caret_and_a_sentence() -> None:
    with pytest.raises(Refused) as caught:
        parse("72 F", CAPACITOR)
    assert caught.value.message() == (
        "72 F\n   ^\nNo capacitor here has whole farads: type uF (microfarads). For example: 49 uF"
    )


def test_a_long_line_is_shown_around_its_caret() -> None:
    with pytest.raises(Refused) as caught:
        parse("208 V " + "x" * 90, VOLTS)
    shown, caret, _ = caught.value.message().split("\n")
    assert shown == "208 V " + "x" * 31 + "…"
    assert caret == "    ^"
    with pytest.raises(Refused) as caught:
        parse_many("208 " * 20 + "volts? " + "208 " * 20, asked(F.VOLTS, count=50))
    shown, caret, _ = caught.value.message().split("\n")
    assert shown.startswith("…")
    assert shown.endswith("…")
    assert shown[len(caret) - 1 :].startswith("volts?")


# -- a bare number where the prefix is open


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


# -- markings, doubts, and the values themselves


@pytest.mark.parametrize(
    ("text", "understood"),
    [
        ("208-230", "208 V, 230 V"),
        ("208–230V", "208 V, 230 V"),
        ("208/230 V", "208 V, 230 V"),
        ("208 to 230", "208 V, 230 V"),
        ("230 V - 208 V", "208 V, 230 V"),
        ("460", "460 V"),
        ("can't read", "can't read"),
    ],
)
def test_a_volts_marking(text: str, understood: str) -> None:
    readings = parse_marking(text, MARKED_VOLTS)
    assert ", ".join(reading.words() for reading in readings) == understood


@pytest.mark.parametrize("text", ["208Y/120", "208-230-460", "208 can't read", "OL", "-230", ""])
def test_what_is_no_volts_marking(text: str) -> None:
    with pytest.raises(Refused) as caught:
        parse_marking(text, MARKED_VOLTS)
    assert caught.value.text == text


def test_what_is_out_of_the_ordinary_is_doubted_and_not_refused() -> None:
    question = Asked(
        Kind.VOLTAGE,
        F.VOLTS,
        plausible=(literal("0 V"), literal("700 V")),
        usual=(literal("180 V"), literal("260 V")),
    )
    assert doubt(parse("208", question), question) == ""
    assert doubt(parse("OL", question), question) == ""
    assert doubt(parse("2080", question), question) == (
        "2080 V is outside what can be here, 0 V to 700 V. Is it so?"
    )
    assert doubt(parse("20.8", question), question) == (
        "20.8 V is outside what is usual here, 180 V to 260 V. Is it so?"
    )
    air = Asked(Kind.TEMPERATURE, F.TEMPERATURE, usual=(literal("32 F"), literal("122 F")))
    assert "0 C to 50 C" in doubt(parse("72 C", air), air)


@pytest.mark.parametrize(
    ("text", "question", "resolution"),
    [
        ("208", VOLTS, "1"),
        ("208.0", VOLTS, "1/10"),
        ("2.2 Mohm", TO_FRAME, "100000"),
        ("2200 kohm", TO_FRAME, "1000"),
        ("49.0 uF", CAPACITOR, "1/10"),
        ("12 mV", LUG, "1/1000"),
        ("22 C", AIR, "9/5"),
        ("OL", VOLTS, "0"),
    ],
)
def test_the_last_digit_typed_is_the_resolution(
    text: str, question: Asked, resolution: str
) -> None:
    assert parse(text, question).resolution == Fraction(resolution)


def test_a_reading_without_its_digits_is_still_put_into_words() -> None:
    value = Quantity.of("2200", "kohm")
    reading = Reading(value, None, "")
    assert reading.words() == "2.2 Mohm"
    assert reading.low == reading.high == value.value
    with pytest.raises(ValueError, match="no digits of its own"):
        reading.digits()


def test_what_is_asked_has_one_kind() -> None:
    with pytest.raises(ValueError, match="volts reads voltage"):
        Asked(Kind.RESISTANCE, F.VOLTS)
    with pytest.raises(ValueError, match="uF is not a unit of voltage"):
        Asked(Kind.VOLTAGE, F.VOLTS, unit="uF")


# Common practice, no source: an ohmmeter, an insulation tester and a capacitance meter bring
# their own supply, and a circuit that has one already falsifies or destroys them.
def test_which_functions_are_for_a_dead_circuit() -> None:
    assert {one for one in F if one.is_dead} == {F.OHMS, F.INSULATION, F.CAPACITANCE}
    neither = {F.TEMPERATURE, F.PRESSURE, F.INCHES_OF_WATER}
    assert {one for one in F if one.is_live} == set(F) - neither - {one for one in F if one.is_dead}


@pytest.mark.parametrize("function", F)
def test_every_functions_example_is_understood(function: Function) -> None:
    assert FUNCTION_KIND[function] is function.setting.kind
    reading = parse(function.setting.example, asked(function))
    assert reading.words() == function.setting.example


@pytest.mark.parametrize("kind", Kind)
def test_every_kinds_example_is_understood(kind: Kind) -> None:
    question = Asked(kind)
    assert parse(question.example_of(1), question).quantity

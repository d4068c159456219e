"""What a technician types, read against what the step asks: taken or refused."""

from __future__ import annotations

import pytest

from engine.quantity import Kind
from engine.reading import Asked, Refused, Special, Unclear, parse, parse_many
from tests.engine.questions import (
    AIR,
    AMPS,
    CAPACITOR,
    DC_VOLTS,
    FLAME,
    LUG,
    MARKED_VOLTS,
    PLENUM,
    RESETS,
    SAFETIES,
    SUCTION,
    SUPERHEAT,
    TO_FRAME,
    TOLERANCE,
    VOLTS,
    WINDING,
    F,
    asked,
)


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

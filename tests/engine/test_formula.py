"""Formulas: read, checked for kinds, worked out exactly, refused in whole sentences."""

from __future__ import annotations

from fractions import Fraction

import pytest

from engine.formula import (
    Formula,
    FormulaError,
    Measured,
    Value,
    evaluate,
    parse,
)
from engine.quantity import Quantity, literal
from tests.engine.sample_figures import SAMPLES, sure


def worked(text: str, **values: Value) -> Value:
    return evaluate(parse(text, SAMPLES), values, SAMPLES)


def number(text: str, **values: Value) -> Quantity:
    value = worked(text, **values)
    assert isinstance(value, Measured)
    return value.quantity


def refused(text: str) -> FormulaError:
    with pytest.raises(FormulaError) as caught:
        parse(text, SAMPLES)
    return caught.value


@pytest.mark.parametrize(
    ("text", "answer"),
    [
        ("85 % of 24 V", "20.4 V"),
        ("0.5 V", "0.5 V"),
        ("18 F apart", "18 F apart"),
        ("1 Mohm", "1000000 ohm"),
        ("45 uF less 6 %", "42.3 uF"),
        ("45 uF plus 6 %", "47.7 uF"),
        ("6 % plus 1 %", "7 %"),
        ("10 A plus 2 A times 3 times", "16 A"),
        ("(10 A plus 2 A) times 3 times", "36 A"),
        ("10 A less 2 A less 3 A", "5 A"),
        ("1.25 times 20 A", "25 A"),
        ("50 % of 4 times", "2 times"),
        ("24 V over 12 ohm", "2 A"),
        ("24 V over 2 A", "12 ohm"),
        ("2 A times 12 ohm", "24 V"),
        ("24 V times 2 A", "48 VA"),
        ("48 VA over 24 V", "2 A"),
        ("10 A over 4 A", "2.5 times"),
        ("10 A over 4 times", "2.5 A"),
        ("10 A over 50 %", "20 A"),
        ("100 F less 82 F", "18 F apart"),
        ("82 F plus 10 C apart", "100 F"),
        ("min(3 ohm, 2 ohm, 5 kohm)", "2 ohm"),
        ("max(3 ohm, 2 ohm) plus 1 ohm", "4 ohm"),
        ("low of allowed(230 V)", "207 V"),
        ("high of allowed(230 V) less allowed(230 V)", "46 V"),
        ("percent of spread(198 V, 202 V)", "1 %"),
        ("leak(500 V, 2 Mohm)", "0.25 mA"),
        ("-0.5 in wc less 0.1 in wc", "-0.6 in wc"),
        ("35 µF", "35 uF"),
    ],
)
def test_works_out_exactly(text: str, answer: str) -> None:
    assert number(text) == literal(answer)


def test_a_cut_in_binary_floats_would_miss_is_hit() -> None:
    # NEMA MG 1 12.44 (from memory): 10 % either way of 208 and of 230 V is 187.2 and 253 V
    assert (0.9 * 208, 1.1 * 230) != (187.2, 253.0)
    assert number("90 % of 208 V").value == Fraction("187.2")
    assert number("230 V plus 10 %").value == 253


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("rated_capacitance less tolerance", {"rated_capacitance", "tolerance"}),
        ("rc-stat.rc less 3 V", {"rc-stat.rc"}),
        ("spread(survey.pairs)", {"survey.pairs"}),
        ("low of rated_volts", {"rated_volts"}),
        ("the work limit plus 1 V", {"the work limit"}),
        ("allowed(rated is the volts)", {"the volts"}),
        ("spread(a, b, kind is current)", {"a", "b"}),
        ("spread(a, b, kind is what)", {"a", "b", "what"}),
        ("24 V", set()),
        ("low plus high", {"low", "high"}),
    ],
)
def test_names(text: str, names: set[str]) -> None:
    assert parse(text, SAMPLES).names() == names


def test_renames_and_fills() -> None:
    formula = parse("low less 5 % of rc-stat.rc", SAMPLES)
    assert formula.renamed({"rc-stat.rc": "prove/rc-stat.rc"}).names() == {
        "low",
        "prove/rc-stat.rc",
    }
    filled = formula.filled({"low": parse("rated less tolerance", SAMPLES)})
    assert filled.names() == {"rated", "tolerance", "rc-stat.rc"}
    assert filled.node == parse("(rated less tolerance) less 5 % of rc-stat.rc", SAMPLES).node
    assert str(formula) == "low less 5 % of rc-stat.rc"


def test_an_end_can_be_filled_only_by_a_name() -> None:
    formula = parse("low of the volts", SAMPLES)
    assert formula.filled({"the volts": parse("rated_volts", SAMPLES)}) == parse(
        "low of rated_volts", SAMPLES
    )
    with pytest.raises(FormulaError, match="has no two ends"):
        formula.filled({"the volts": parse("24 V", SAMPLES)})


def test_equal_formulas_are_equal_wherever_they_stand() -> None:
    assert parse("a plus  b", SAMPLES) == parse("(a) plus b", SAMPLES)
    assert parse("a plus b", SAMPLES) != parse("b plus a", SAMPLES)
    assert isinstance(hash(parse("a plus b", SAMPLES)), int)


@pytest.mark.parametrize(
    ("text", "column", "sentence", "fix"),
    [
        ("a * b", 3, "'*' is not used in a formula.", "Write times."),
        ("a + b", 3, "'+' is not used in a formula.", "Write plus."),
        ("a > b", 3, "A formula gives one value; it compares nothing.", "band keys"),
        ("85 of 24 V", 1, "'85' has no unit.", "85 V"),
        ("a over 3", 8, "'3' has no unit.", "3 times a name"),
        ("5 volt", 1, "'volt' is not a unit.", "Did you mean V?"),
        ("5 cmf", 1, "'cmf' is not a unit.", "Did you mean cfm?"),
        ("5 furlongs", 1, "'furlongs' is not a unit.", "Units are"),
        ("min(1,250 ohm, a)", 5, "'1,250' can be read in two ways", "Write 1250, or 1.250"),
        ("1234567890.1234567 V", 1, "more than 15 digits", "larger unit"),
        ("a b", 3, "Nothing can follow 'a' here but an operation.", "plus, less"),
        ("5 V 3 V", 5, "Nothing can follow '5 V'", "plus, less"),
        ("24 V of a", 6, "'24 V' can't be 'of' something", "85 % of 24 V"),
        ("a plus", 7, "A value is missing after 'plus'.", "Write a name"),
        ("", 1, "A value is missing.", "Write a name"),
        ("%", 1, "'%' has no number before it.", "85 % of 24 V"),
        ("min()", 1, "min() has nothing to choose from.", "min(a, b)"),
        ("(a", 3, "opened at column 1 is not closed", "Close it with )."),
        ("a)", 2, "Nothing can follow 'a'", "plus, less"),
        ("sprad(a)", 1, "There is no figure called sprad.", "Did you mean spread?"),
        ("zzz(a)", 1, "There is no figure called zzz.", "lists all"),
        ("percnt of spread(a)", 1, "does not give 'percnt'", "Did you mean percent?"),
        ("percent of a", 1, "'percent of' is not followed by a figure", "low of NAME"),
        ("low of 5 V", 8, "'low of' needs the name", "low of rated_volts"),
        ("the plus 5 V", 1, "'the' needs a name after it.", "the NAME"),
        ("leak(a)", 1, "leak needs megohms.", "leak(volts, megohms)"),
        ("leak(a, b, c)", 1, "leak is given 1 too many.", "leak(volts, megohms)"),
        ("leak(volts is a, b)", 18, "can't follow one with a name", "INPUT is"),
        ("leak(a, volts is a, volts is b)", 21, "'volts' is given twice.", "Keep"),
        ("leak(a, mogohms is b)", 9, "does not ask for 'mogohms'", "Did you mean megohms?"),
        ("spread(a, kind is 3 volts)", 19, "'kind' can't be '3 volts'.", "voltage, current"),
        ("spread(a, kind is )", 19, "A value is missing after 'is'.", "Write a name"),
        ("__import__", 1, "'_' is not used in a formula.", "Use names"),
        ("a.__class__()", 1, "There is no figure called a.__class__.", "lists all"),
        ("lambda: 0", 7, "':' is not used in a formula.", "Use names"),
    ],
)
def test_refuses_with_a_column_and_a_fix(text: str, column: int, sentence: str, fix: str) -> None:
    error = refused(text)
    assert sentence in error.sentence
    assert error.column == column
    assert fix in error.fix


@pytest.mark.parametrize(
    "text",
    [
        "(" * 400 + "a",
        "5 % of " * 60 + "a",
        "min(" * 120,
        "a" * 501,
        "9" * 400 + " V",
        "a plus " * 70 + "b over",
        "5 V\x00",
        "９ V",
        "٣ V",
        "1e9999 V",
        "exec('x')",
        '"a"',
        "a;b",
        "a\nplus\nb)",
    ],
)
def test_hostile_text_is_refused_in_a_sentence(text: str) -> None:
    error = refused(text)
    assert error.sentence.endswith(".")
    assert error.fix
    assert 1 <= error.column <= len(text) + 1


def test_lists_take_what_later_inputs_do_not_need() -> None:
    assert parse("spread(a, b, c)", SAMPLES) == parse("spread(a, b, c,)", SAMPLES)
    assert worked("spread(pairs)", pairs=(sure("198 V"), sure("202 V"))) == worked(
        "spread(a, b)", a=sure("198 V"), b=sure("202 V")
    )


def test_a_parsed_formula_keeps_its_text() -> None:
    formula: Formula = parse("rated  plus 6 %", SAMPLES)
    assert formula.text == "rated  plus 6 %"

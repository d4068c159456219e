"""Working a figure out in a conversation: the same answers as the figure itself, nothing guessed.

What the answers should be is tried against the world in ``tests/oracle``; here the figure's own
function is the judge of the conversation. The values for it are read by a few lines of this file,
not by the parser that the conversation uses.
"""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.figure import Input
from engine.guide.working_out import Turn, take
from engine.guide.working_page import page
from engine.guide.working_state import NOT_GIVEN, Offer, Working
from engine.quantity import CELSIUS, Kind
from engine.trade.catalogue import FIGURES, SUBJECTS


def after(working: Working, *lines: str) -> Working:
    """Return the conversation after lines, each of which has to be taken."""
    for line in lines:
        turn = take(working, line)
        assert not turn.refused, (line, turn.refused)
        assert turn.working is not None, line
        working = turn.working
    return working


def refused(working: Working, line: str) -> tuple[str, int, str]:
    """Return what is shown of a line that is not taken, the caret's column, and why."""
    turn = take(working, line)
    assert turn.refused, line
    assert turn.working == working, "what was asked is still asked"
    shown, caret, sentence = turn.refused
    return shown, len(caret), sentence


def example_of(name: str) -> dict[str, str]:
    """Return the example of a figure: what each input is given as."""
    return dict(pair.split("=") for pair in shlex.split(FIGURES[name].example))


def plain_value(item: Input, text: str) -> object:
    """Return a value of an example as the function takes it; the only units are F and C."""
    if item.kind is None:
        return text
    if item.many:
        return tuple(_number(one) for one in re.split(r"[,/-]", text))
    return _number(text)


def _number(text: str) -> float:
    above, _, below = text.partition("/")
    if below:
        return int(above) / int(below)
    number = float(text.rstrip("FC"))
    return number * 1.8 + 32 if text.endswith("C") else number


def typed_as(item: Input, text: str) -> str:
    """Return what is typed for a value with digits, letters, point, sign and space alone."""
    if item.words:
        bare = all(word.isdigit() for word in item.words)
        return text if bare else str(item.words.index(text) + 1)
    if item.kind is not None and not item.many and "/" in text:
        return str(_number(text))
    return re.sub(r"[,/]|(?<=[0-9])-", " ", text)


def filled_in(name: str) -> Working:
    """Return the conversation after a figure was filled in from its example."""
    given = example_of(name)
    working = after(Working(), name)
    while working.asking:
        item = working.item
        line = typed_as(item, given[item.name]) if item.name in given else ""
        assert re.fullmatch(r"[0-9A-Za-z. -]*", line)
        working = after(working, line)
    return working


@pytest.mark.parametrize("name", FIGURES)
def test_every_figure_comes_to_what_its_function_answers(name: str) -> None:
    figure = FIGURES[name]
    inputs = {item.name: item for item in figure.inputs}
    values = {key: plain_value(inputs[key], text) for key, text in example_of(name).items()}
    expected, got = figure.answer(**values), filled_in(name).answer()
    assert list(got) == list(expected)
    for key, value in expected.items():
        assert got[key] == (pytest.approx(value) if isinstance(value, float) else value), key


@pytest.mark.parametrize("name", FIGURES)
def test_the_answer_stands_with_formula_source_limits_and_every_value(name: str) -> None:
    figure, working = FIGURES[name], filled_in(name)
    shown = page(working)
    said = "\n".join(shown.lines())
    assert shown.title == figure.title
    assert figure.formula in said
    assert figure.source in said
    assert figure.limits in said
    applies = [key for key, value in working.answer().items() if value is not None]
    assert len(shown.says) == len(applies)
    assert shown.says[0].startswith(f"{figure.principal.replace('_', ' ')}: ")
    assert [one.number for one in shown.options] == list(range(1, len(figure.inputs) + 1))
    for option, item in zip(shown.options, figure.inputs, strict=True):
        assert option.words.startswith(f"{item.name.replace('_', ' ')}: ")
        assert (NOT_GIVEN in option.words) == (item.name not in example_of(name))


def test_every_figure_is_found_under_its_subject_by_numbers() -> None:
    for number, names in enumerate(SUBJECTS.values(), 1):
        for place, name in enumerate(names, 1):
            lines = [str(number), str(place)] if len(names) > 1 else [str(number)]
            assert after(Working(), *lines).figure == name


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("coil", ["coil"]),
        ("Sub Cooling", ["subcooling"]),
        ("wrong", ["supply"]),
        ("superheat", ["superheat"]),
        ("heat of a j", ["joint"]),
        ("bleeds", ["capacitor_energy"]),
        ("trap", ["trap"]),
        ("condensate", ["condensate"]),
        ("unbal", ["unbalance", "unbalance_effect"]),
    ],
)
def test_part_of_a_name_or_a_title_finds_figures(text: str, names: list[str]) -> None:
    found = after(Working(), text)
    assert list(found.found or (found.figure,)) == names


def test_what_no_figure_has_in_its_name_offers_the_nearest() -> None:
    assert "did you mean coil?" in refused(Working(), "coyl")[2]
    assert "1 to 14" in refused(Working(), "15")[2]
    assert "2 letters" in refused(Working(), "q")[2]
    assert take(Working(), "").working is None, "Enter alone goes back"
    listed = after(Working(), "3")
    assert "1 to 2" in refused(listed, "3")[2]
    assert after(listed, "") == Working()


# -- filling in

WRONG = [
    ("coil", [], "24q", 3, "not a unit"),
    ("coil", [], "24 ohm", 4, "measures resistance"),
    ("coil", [], "-24", 1, "not below zero"),
    ("coil", [], "OL", 1, "No meter is read here"),
    ("coil", [], "20 24", 4, "begins a second"),
    ("coil", ["20"], "0", 1, "above zero"),
    ("unbalance", [], "208 209 21o", 11, "letter"),
    ("unbalance", [], "208,,209", 5, "empty place"),
    ("unbalance", [], "208 209 q", 9, "not a unit"),
    ("unbalance", ["208 209 207"], "3", 1, "1 to 2 is wanted"),
    ("winding_balance", [], "1.1 1200 mohm 1.1", 5, "mixes mohm and ohm"),
    ("windings", [], "2 m", 1, "mohm or Mohm"),
    ("drain", ["7.5", "8"], "1/8 foo", 5, "not a unit"),
    ("saturation", [], "r 410", 1, "did you mean R-410A?"),
    ("saturation", ["1"], "-14.9", 1, "vacuum"),
    ("ampacity", ["8", "90", "75", ""], "0", 1, "1 or more"),
    ("series_string", [], "7.5", 1, "whole numbers"),
    ("conductor", [], "", 1, "amps is wanted"),
    ("conductor", ["32"], "90", 1, "60 or 75 is wanted"),
    ("conductor", ["32"], "c", 1, "terminals is needed"),
]


@pytest.mark.parametrize(("name", "before", "line", "column", "words"), WRONG, ids=str)
def test_a_wrong_value_is_refused_with_a_caret_and_nothing_is_lost(
    name: str, before: list[str], line: str, column: int, words: str
) -> None:
    shown, caret, sentence = refused(after(Working(), name, *before), line)
    assert (shown, caret) == (line, column)
    assert words in sentence


def test_values_that_do_not_go_together_are_said_and_changed_one_by_one() -> None:
    working = after(Working(), "supply", "231.3 231.5", "117 206 115", "c", "")
    assert "three values of ll" in page(working).says[0]
    working = after(working, "1", "231.3 231.5 233.3")
    assert working.answer()["system"] == "240/120 high-leg delta"


def test_one_value_is_changed_and_the_answer_seen_again() -> None:
    working = filled_in("coil")
    assert working.answer()["verdict"] == "good"
    asked = after(working, "1")
    assert page(asked).enter == "keep 20.8 V"
    assert after(asked, "").answer() == working.answer()
    changed = after(asked, "18")
    assert changed.answer()["verdict"] == "low"
    assert "4" in refused(changed, "5")[2]
    assert after(changed, "") == Working(), "Enter alone is for another figure"


def test_taking_back_goes_the_way_that_was_come() -> None:
    steps = [Working()]
    for line in ("coil", "20.8", "24", "", ""):
        steps.append(after(steps[-1], line))
    steps += [after(steps[-1], "2"), after(steps[-1], "2", "25")]
    working = steps[-1]
    for before in reversed(steps[:-1]):
        working = after(working, "u")
        assert working == before
    assert take(working, "u").lines == ("Nothing to take back.",)


def test_what_may_be_left_out_takes_its_default_or_nothing() -> None:
    working = after(Working(), "capacitor", "3.9", "345")
    assert page(working).enter == "60 Hz"
    working = after(working, "")
    assert page(working).enter == "leave it out"
    working = after(working, "c", "", "", "")
    assert working.answer() == FIGURES["capacitor"].answer(amps=3.9, volts=345)


@pytest.mark.parametrize(
    "line",
    ["31.0 29.5 26.5 A", "31.0A,29.5A,26.5A", "31 A 29.5 A 26.5 A", "31000 mA 29500 mA 26500mA"],
)
def test_a_unit_says_what_a_list_is(line: str) -> None:
    working = after(Working(), "unbalance", line)
    assert page(working).enter == "current"
    assert "kind is voltage" in refused(working, "1")[2]
    assert after(working, "", "", "").answer()["verdict"] == "good"


def test_a_list_typed_anew_in_another_unit_is_judged_as_that() -> None:
    working = after(Working(), "unbalance", "208 209 207", "", "", "", "1", "31 29.5 26.5 A")
    assert "kind: current" in page(working).options[1].words
    assert working.answer()["percent"] == pytest.approx(8.621, abs=0.001)


@pytest.mark.parametrize("line", ["208 230", "208-230", "208/230", "208 - 230", "208V 230 V"])
def test_a_range_as_a_nameplate_prints_it(line: str) -> None:
    working = after(Working(), "nameplate_voltage", line, "197", "", "")
    assert working.answer()["low"] == pytest.approx(187.2)


def test_sizes_and_markings_without_a_stroke_on_the_keyboard() -> None:
    working = after(Working(), "ampacity", "1 0")
    assert working.given["awg"].value == "1/0"
    working = after(Working(), "breaker_rating", "120 240", "240", "120 120")
    assert working.answer()["permitted"] is True


def test_signs_stay_with_their_numbers() -> None:
    working = after(Working(), "total_heat", "2000", "20 -5")
    assert working.given["in"].value == (20, -5)


def test_temperatures_are_asked_and_answered_in_celsius_where_that_is_wanted() -> None:
    # 25 °C is 77 °F; the same suction line in both.
    asked = after(Working(degrees=CELSIUS), "superheat", "R-410A", "118")
    assert page(asked).wanted == "temperature C?"
    celsius = after(asked, "25", "")
    fahrenheit = after(Working(), "superheat", "R-410A", "118", "77", "")
    expected = fahrenheit.answer()
    assert celsius.answer()["superheat"] == pytest.approx(_as_float(expected["superheat"]) / 1.8)
    saturation = (_as_float(expected["saturation"]) - 32) / 1.8
    assert celsius.answer()["saturation"] == pytest.approx(saturation)
    assert page(celsius).says[0].endswith(" C apart")


def _as_float(value: object) -> float:
    assert isinstance(value, float)
    return value


# -- letters


def letters(working: Working) -> str:
    """Return the letters that the list under ``m`` has now."""
    return "".join(option.words[0] for option in page(after(working, "m")).options)


def test_m_lists_what_can_be_done_at_that_moment() -> None:
    assert letters(Working()) == "lb"
    assert letters(Working(on_walk=True)) == "xlb", "what matters when frightened comes first"
    assert letters(after(Working(), "coil")) == "luwb"
    assert letters(after(Working(), "coil", "20", "24")) == "lucwb"
    asked = after(Working(), "coil", "20")
    assert after(asked, "m", "2") == after(Working(), "coil"), "by its number"
    assert after(asked, "m", "u") == after(Working(), "coil"), "or by its letter"
    assert after(asked, "m", "") == asked


def test_letters_of_the_conversation() -> None:
    asked = after(Working(), "coil")
    assert any("85 %" in line for line in take(asked, "w").lines)
    assert take(asked, "b") == Turn(asked, sun=True)
    assert take(asked, "l") == Turn(None)
    assert take(Working(on_walk=True), "x") == Turn(None, stop=True)
    assert refused(asked, "x")[2], "without a walk there is nothing to stop"


# -- what a walk offers

LINE = Offer("231.3 V 231.5 V 233.3 V", "Supply", Kind.VOLTAGE, 3, frozenset({"supply.ll"}))
LEG = Offer("231.3 V", "Supply, L1-L2", Kind.VOLTAGE)
CAN = Offer("45 uF", "On the can", Kind.CAPACITANCE, 1, frozenset({"capacitor.rated"}))


def test_enter_takes_only_what_is_meant_for_the_input_and_says_where_it_is_from() -> None:
    working = after(Working((LINE, LEG, CAN)), "supply")
    assert page(working).enter == "231.3 V, 231.5 V, 233.3 V, this walk"
    assert any("(Supply)" in line for line in page(working).says)
    working = after(working, "")
    assert working.answers["ll"].about == "Supply"
    assert "ln is wanted" in refused(working, "")[2]


def test_a_value_of_the_same_kind_is_listed_and_counts_only_by_its_number() -> None:
    working = after(Working((LINE, LEG, CAN)), "coil")
    assert "is wanted" in refused(working, "")[2]
    listed = after(working, "k")
    assert [str(one) for one in page(listed).options] == [" 1 231.3 V: Supply, L1-L2"]
    assert "1 to 1" in refused(listed, "2")[2]
    assert after(listed, "") == working
    assert after(listed, "1") == after(working, "k 1")
    assert "volts: 231.3 V, from this walk" in take(working, "k 1").lines
    assert "Nothing of this kind" in refused(after(Working((CAN,)), "coil"), "k")[2]


# -- whatever is typed


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(list(FIGURES)),
    st.lists(
        st.one_of(
            st.text(max_size=8),
            st.sampled_from(["", "", "u", "k", "m", "w", "c", "1", "2", "0", "OL", "-1", "k 1"]),
            st.decimals(-10, 500, places=1).map(str),
            st.lists(st.integers(0, 500).map(str), min_size=1, max_size=4).map(" ".join),
        ),
        max_size=14,
    ),
)
def test_whatever_is_typed_there_is_a_page_or_a_sentence(name: str, lines: Iterable[str]) -> None:
    working = after(Working((LINE, LEG, CAN), on_walk=True), name)
    for line in lines:
        turn = take(working, line)
        if turn.refused:
            assert turn.refused[-1].strip()
            assert turn.working is not None
        if turn.working is None:
            return
        working = turn.working
        shown = page(working)
        assert shown.title
        assert shown.wanted
        assert shown.says or shown.options

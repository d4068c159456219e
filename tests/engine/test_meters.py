"""How far the truth may lie from what a meter shows.

That an accuracy is a percentage of the reading plus a number of counts of the last digit is
how data sheets of digital meters state it: common practice, no source. The expected half
widths are worked by hand from the shipped rows.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest

from engine.meters import accuracy, read_meters, shipped_meters, with_meter
from engine.quantity import literal
from engine.reading import FUNCTION_KIND, Asked, Function, Special, parse
from engine.shipped import tables

F = Function


def half_width(text: str, function: Function, meter: str = "") -> Fraction:
    reading = parse(text, Asked(FUNCTION_KIND[function], function))
    return with_meter(reading, function, meter).half_width


@pytest.mark.parametrize(
    ("text", "function", "meter", "expected"),
    [
        # 1 % of 208.4 V is 2.084 V, three counts of 0.1 V are 0.3 V.
        ("208.4 V", F.VOLTS, "general", "2.384"),
        # The same display, rounded to a volt: half a volt more.
        ("208 V", F.VOLTS, "general", "2.88"),
        # 24.60 V stands in the 60 V range, where a count is 0.01 V.
        ("24.60 V", F.VOLTS, "general", "0.276"),
        ("24.6 V", F.VOLTS, "general", "0.326"),
        # More digits than the range has make it no better.
        ("208.400 V", F.VOLTS, "general", "2.384"),
        # A basic meter shows 208 V in its 600 V range: 3.12 V and five counts of a volt.
        ("208 V", F.VOLTS, "basic", "8.12"),
        # 2 % of 41.2 uF is 0.824 uF, two counts of 0.1 uF are 0.2 uF.
        ("41.2 uF", F.CAPACITANCE, "general", "1.024"),
        # 49 uF, rounded: 0.98 uF and 0.2 uF as above, and half a microfarad. It stays above the
        # 47 uF that 6 % leave of 50 uF.
        ("49 uF", F.CAPACITANCE, "general", "1.68"),
        # Half an ohm, 1 % and two counts of 0.1 ohm: four tenths of what is read.
        ("0.5 ohm", F.OHMS, "general", "0.205"),
        ("-24.10 V", F.DC_VOLTS, "general", "0.1405"),
        ("12.0 mV", F.MILLIVOLTS, "general", "0.00042"),
        # 71.6 F: 0.358 F and 20 counts of 0.1 F; a tenth of a °C is a coarser count, 0.09 F more.
        ("22.0 C", F.TEMPERATURE, "general", "2.448"),
        ("118 psi", F.PRESSURE, "general", "3.18"),
        # Beyond the last range the last one is taken.
        ("1200 V", F.VOLTS, "general", "15"),
    ],
)
def test_half_widths(text: str, function: Function, meter: str, expected: str) -> None:
    assert half_width(text, function, meter) == Fraction(expected)


def test_the_interval_lies_around_the_reading() -> None:
    reading = with_meter(parse("208.4", Asked(FUNCTION_KIND[F.VOLTS], F.VOLTS)), F.VOLTS)
    assert (reading.low, reading.high) == (Fraction("206.016"), Fraction("210.784"))
    assert reading.words() == "208.4 V"


def test_accuracy_is_what_the_class_states() -> None:
    assert accuracy("general", F.VOLTS, literal("208.4 V")) == Fraction("2.384")
    assert accuracy("", F.VOLTS, literal("0 V")) == Fraction("0.003")


def test_what_is_no_number_has_no_width() -> None:
    over = parse("OL", Asked(FUNCTION_KIND[F.OHMS], F.OHMS))
    assert over.special is Special.OL
    assert with_meter(over, F.OHMS) is over


@pytest.mark.parametrize("meter", shipped_meters().names())
@pytest.mark.parametrize("function", F)
def test_every_function_can_be_read_on_every_job(meter: str, function: Function) -> None:
    instrument = shipped_meters().instrument(meter, function)
    assert instrument.ranges[function]
    assert half_width(function.setting.example, function, meter) > 0


def test_what_a_meter_has_not_is_read_with_an_instrument_of_its_own() -> None:
    meters = shipped_meters()
    assert meters.instrument("basic", F.VOLTS).name == "basic"
    assert meters.instrument("basic", F.INSULATION).name == "insulation tester"
    assert meters.instrument("clamp", F.CLAMP_AMPS).name == "clamp"
    assert meters.instrument("general", F.CLAMP_AMPS).name == "clamp"


def test_an_unknown_meter_is_said_with_those_there_are() -> None:
    with pytest.raises(ValueError, match="There is no meter 'best'; there are general, clamp"):
        half_width("208", F.VOLTS, "best")


def test_every_source_begins_with_its_word() -> None:
    meters = shipped_meters()
    for source in (meters.source, *(one.source for one in meters.instruments.values())):
        assert source.startswith("judgement: ")
    assert meters.default == meters.names()[0]


def test_coarser_ranges_follow_finer_ones() -> None:
    for instrument in shipped_meters().instruments.values():
        for ranges in instrument.ranges.values():
            steps = [one.resolution for one in ranges]
            assert steps == sorted(set(steps))
            # A display has three to five digits (common practice, no source).
            assert all(500 <= one.up_to / one.resolution <= 60_000 for one in ranges)


def changed(change: Callable[[dict[str, Any]], object]) -> str:
    table = json.loads((tables() / "meters.json").read_text(encoding="utf-8"))
    change(table)
    return json.dumps(table)


def test_a_table_of_ones_own() -> None:
    text = changed(
        lambda table: table["rows"].insert(0, ["general", "volts", "3 V", "1 mV", "0.2 %", 1])
    )
    table = read_meters(text)
    assert accuracy("general", F.VOLTS, literal("2 V"), table) == Fraction("0.005")
    assert accuracy("general", F.VOLTS, literal("2 V")) == Fraction("0.023")


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (lambda table: table.pop("rows"), "The table of meters has no 'rows'."),
        (
            lambda table: table.update(default="best"),
            "The default 'best' is not one of the meters.",
        ),
        (lambda table: table["instead"].pop("ohms"), "nothing that reads ohms."),
        (lambda table: table["instead"].update(ohms="gauges"), "nothing that reads ohms."),
        (lambda table: table["instruments"].pop("gauges"), "rows for 'gauges', but no such meter."),
        (lambda table: table["rows"].reverse(), "must rise."),
        (lambda table: table["rows"].append(["general", "smell", "1 V", "1 V", "1 %", 1]), "smell"),
        (
            lambda table: table["rows"].append(["general", "volts", "9 kohm", "1 V", "1 %", 1]),
            "9 kohm is a resistance, and a voltage belongs here.",
        ),
        (lambda table: table["rows"].append(["general", "volts"]), "can't be read"),
        (lambda table: table.update(rows=5), "can't be read"),
    ],
)
def test_a_table_that_can_not_be_used(
    change: Callable[[dict[str, Any]], object], sentence: str
) -> None:
    with pytest.raises(ValueError, match=r"^The (table|default)") as caught:
        read_meters(changed(change))
    assert sentence in str(caught.value)


def test_text_that_is_no_table() -> None:
    with pytest.raises(ValueError, match="The table of meters can't be read"):
        read_meters("{")

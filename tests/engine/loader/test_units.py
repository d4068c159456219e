"""Unit files: what a wire, a fault and a reading come to, and what is said where one is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.loader.units import load_unit, unit_names
from engine.reading import Function
from engine.unit.faults import Change
from engine.unit.parts import PARTS
from tests.engine.unit.benches import SINGLE, THREE, UNITS, unit

HEATER = """format: 1
unit: two-heaters
title: Two heaters
layout: single feed
service: {is: 120/240 split phase, legs: [A, B]}
parts:
  breaker: {is: breaker, poles: 2, amps: 30 A}
  crankcase_heater: {is: heater, watts: 240 W, volts: 240 V}
  heat: {is: heater, watts: 2400 W, volts: 240 V}
wiring:
  - panel.bus.L1 -> breaker.line.L1
  - panel.bus.L2 -> breaker.line.L2
  - breaker.conductor.L1 -> 100 ft of 10 AWG copper -> heat -> breaker.conductor.L2
  - heat.lead.1 -> crankcase_heater -> heat.lead.2
operating points:
  "on": {}
expect:
  "on":
    volts heat.lead.1 to heat.lead.2: 230 V to 240 V
    clamp amps breaker.load.L1: 10 A to 12 A
faults:
  heater open: {suspect: heater-grounded, at: crankcase_heater.element, becomes: open}
"""
MORE = """format: 1
adds to: two-heaters
faults:
  wire chafed:
    suspect: rubbed-wire
    between: [heat.lead.1, ground]
    becomes: 4 ohm
    signs: {rubbed-wire: heat box}
"""


def shelf(tmp_path: Path, *more: str, text: str = HEATER) -> Path:
    """Return a home with a unit in it and files that add to it."""
    folder = tmp_path / "trees" / "units"
    folder.mkdir(parents=True)
    (folder / "two-heaters.yaml").write_text(text, encoding="utf-8", newline="\n")
    for at, one in enumerate(more):
        (folder / f"more-{at}.yaml").write_text(one, encoding="utf-8", newline="\n")
    return tmp_path


def problems(tmp_path: Path, old: str, new: str) -> list[str]:
    assert old in HEATER
    home = shelf(tmp_path, text=HEATER.replace(old, new))
    return [str(one) for one in load_unit("two-heaters", home).problems]


def test_the_shipped_units_load_without_a_problem() -> None:
    assert set(UNITS) <= set(unit_names())
    for name in UNITS:
        of = unit(name)
        assert len(of.faults) >= 60
        assert len(of.expected) >= 10
        assert of.nameplate["phases"] == (str(of.phases),)


def test_a_run_is_traced_through_copper_and_through_parts(tmp_path: Path) -> None:
    loaded = load_unit("two-heaters", shelf(tmp_path))
    assert [*map(str, loaded.problems)] == []
    assert loaded.unit is not None
    netlist = loaded.unit.netlist
    wires = {one.name: one for one in netlist.branches if one.lifts}
    assert [*wires] == [
        "panel.bus.L1 to breaker.line.L1",
        "panel.bus.L2 to breaker.line.L2",
        "breaker.conductor.L1 to heat.lead.1",
        "heat.lead.2 to breaker.conductor.L2",
        "heat.lead.1 to crankcase_heater.lead.1",
        "crankcase_heater.lead.2 to heat.lead.2",
    ]
    ohms = {one.name: one.nominal for one in netlist.params}
    # 1.24 ohm per 1000 ft of 10 AWG, and a joint of 1 mohm.
    assert ohms["breaker.conductor.L1 to heat.lead.1 ohms"] == pytest.approx(0.124 + 0.001)
    assert netlist.clamps["breaker.load.L1"] == "breaker.pole.L1"
    assert netlist.clamps["heat.lead.1"] == "breaker.conductor.L1 to heat.lead.1"


def test_nothing_that_conducts_has_less_than_a_milliohm() -> None:
    for name in UNITS:
        nominal = {one.name: one.nominal for one in unit(name).netlist.params}
        for branch in unit(name).netlist.branches:
            assert nominal[branch.ohms] >= 1e-3, branch.name


def test_a_file_adds_faults_to_a_unit_of_another(tmp_path: Path) -> None:
    home = shelf(tmp_path, MORE)
    loaded = load_unit("two-heaters", home)
    assert loaded.problems == ()
    assert loaded.unit is not None
    assert [*loaded.unit.faults] == ["heater open", "wire chafed"]
    chafed = loaded.unit.faults["wire chafed"]
    assert chafed.changes == (Change("bridge heat.lead.1 to ground ohms", 4.0),)
    assert chafed.signs == {"rubbed-wire": "heat box"}
    alone = load_unit(str(home / "trees" / "units" / "more-0.yaml"), home)
    assert alone.unit is not None
    assert alone.unit.name == "two-heaters"
    # What it was made of is another thing with another file.
    plain = load_unit("two-heaters", shelf(tmp_path / "plain")).unit
    assert plain is not None
    assert plain.digest != loaded.unit.digest


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "-> heat -> breaker.conductor.L2",
            "-> haet -> breaker.conductor.L2",
            "13:56 unknown-terminal",
        ),
        ("100 ft of 10 AWG copper -> heat", "heat", ""),
        ("100 ft of 10 AWG copper", "100 ft of 11 AWG copper", "13:29 bad-wire"),
        ("100 ft of 10 AWG copper", "100 V of 10 AWG copper", "13:29 bad-wire"),
        ("- heat.lead.1 -> crankcase_heater -> heat.lead.2", "- heat.lead.1", "14:5 bad-wire"),
        ("watts: 240 W", "watts: 240 V", "8:41 wrong-kind"),
        ("watts: 240 W", "watts: 0 W", "8:41 bad-quantity"),
        ("legs: [A, B]", "legs: [A, C]", "5:46 wrong-word"),
        ("watts: 240 W, ", "", "8:3 missing-key"),
        ("poles: 2, ", "poles: 4, ", "7:33 wrong-word"),
        ("poles: 2, ", "poles: 2, tons: 3 ton, ", "7:36 unknown-key"),
        ("layout: single feed", "layout: single feeds", "4:9 wrong-word"),
        ('  "on":\n    volts', '  "off":\n    volts', "18:3 unknown-name"),
        ("230 V to 240 V", "230 A to 240 A", "19:39 bad-reading"),
        ("clamp amps breaker", "amps breaker", "20:5 bad-reading"),
        ("10 A to 12 A", "20 A to 22 A", "20:33 not-as-expected"),
        ("becomes: open", "becomes: locked", "22:82 bad-change"),
        ("becomes: open", "becomes: grounded", "22:82 bad-change"),
        ("becomes: open}", "becomes: open, nameplate: {mca: 15 A}}", "22:100 unknown-name"),
        ("suspect: heater-grounded", "suspect: heater-grounde", "22:26 unknown-suspect"),
    ],
)
def test_what_is_wrong_is_said_with_line_and_column(
    tmp_path: Path, old: str, new: str, said: str
) -> None:
    found = problems(tmp_path, old, new)
    if said:
        assert [said in one for one in found] == [True], found
    else:
        assert found == []


def test_an_unknown_unit_is_said_with_the_nearest() -> None:
    (found,) = load_unit("3-ton-high-legs").problems
    assert (found.code, found.fix) == ("unknown-unit", f"Did you mean {SINGLE}?")


@pytest.mark.parametrize(
    ("name", "fault", "changes"),
    [
        (SINGLE, "run capacitor low", {"run_cap.HERM uf": 28.0}),
        (SINGLE, "contactor pole 1 welded", {"contactor.pole.1 weld": 1.0}),
        (SINGLE, "breaker too small", {"breaker.amps": 15.0}),
        (SINGLE, "rotor locked", {"compressor locked": 1.0}),
        (SINGLE, "compressor overloaded", {"compressor load": 1.5}),
        (
            SINGLE,
            "turns shorted",
            {"compressor.main.across turns ohms": 0.01, "compressor.main tap": 0.9},
        ),
        (
            THREE,
            "supply low",
            {f"service.volts.{leg}": 0.78 for leg in "ABC"},
        ),
    ],
)
def test_a_fault_is_another_value_of_a_number(
    name: str, fault: str, changes: dict[str, float]
) -> None:
    assert {one.param: one.value for one in unit(name).faults[fault].changes} == changes


def test_a_fault_may_change_what_a_handle_or_a_tap_says() -> None:
    small = unit(SINGLE).faults["breaker too small"]
    assert small.nameplate == {"breaker_amps": ("15 A",)}
    assert unit(SINGLE).faults["hot lug leg 1"].nameplate == {}


def test_every_fault_names_a_suspect_that_trees_look_for() -> None:
    for name in UNITS:
        for fault in unit(name).faults.values():
            assert fault.suspect
            assert fault.changes or fault.found or fault.reads


def test_every_reading_that_a_unit_expects_is_a_point_and_a_function() -> None:
    for name in UNITS:
        for one in unit(name).expected:
            assert isinstance(one.function, Function)
            assert one.low < one.high


def test_the_shipped_units_use_every_kind_of_part() -> None:
    names = {part for name in UNITS for part in _kinds(name)}
    assert names == set(PARTS)


def _kinds(name: str) -> set[str]:
    text = next(iter(unit(name).files.values())).decode("utf-8")
    return {
        line.partition("{is: ")[2].partition(",")[0].partition("}")[0]
        for line in text.splitlines()
        if "{is: " in line and "legs: [" not in line
    }

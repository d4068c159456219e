"""What a tree says of its complaint: every form, and what is wrong where it is none."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.loader import library
from engine.loader.build_complaint import build_complaint
from engine.loader.building import Building, names
from engine.loader.text import read
from engine.reading import Function
from engine.unit.showing import Does, Showing
from engine.unit.symptom import AllOf, AnyOf, Beyond, Over, Symptom, leaves, words

TREE = Path(__file__).parents[2] / "data" / "trees" / "hums-and-stops.yaml"
AS_IS = "shows: compressor hums"


def built(shows: str) -> Symptom:
    """Return what a complaint's ``shows`` is read into; nothing in it may be wrong."""
    document = read("tree", f"complaint:\n  said as: [it]\n  shows: {shows}\n".encode())
    file = Building(document)
    made = build_complaint(file, names(names(document.data).get("complaint")))
    assert file.problems == []
    assert made.shows is not None
    return made.shows


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("breaker trips", Showing("breaker", Does.TRIPS)),
        ("breaker trips within 1 s", Showing("breaker", Does.TRIPS, within=1)),
        ("breaker trips after 5 min", Showing("breaker", Does.TRIPS, over=300)),
        ("compressor starts", Showing("compressor", Does.STARTS)),
        ("contactor stays out", Showing("contactor", Does.STAYS_OUT)),
        ("display dark", Showing("display", Does.DARK)),
        ("ice-on-coil", Showing("ice-on-coil", Does.SIGN)),
        ("burnt-terminal at breaker", Showing("burnt-terminal", Does.SIGN, "breaker")),
    ],
)
def test_a_statement(written: str, meant: Showing) -> None:
    assert built(written) == meant


def test_lists_of_all_and_of_any_stand_in_each_other() -> None:
    found = built("[breaker holds, {any of: [display dark, [blower stands, blower hums]]}]")
    assert isinstance(found, AllOf)
    assert isinstance(found.parts[1], AnyOf)
    assert [type(one) for one in found.parts[1].parts] == [Showing, AllOf]
    assert words(found) == "breaker holds and (display dark or blower stands and blower hums)"
    assert len(list(leaves(found))) == 4


@pytest.mark.parametrize(
    ("written", "function", "over", "places", "below"),
    [
        ("temperature air.supply, above: 62 F", "temperature", "", ["air.supply"], False),
        ("volts board.R to board.C, below: 20 V", "volts", "", ["board.R", "board.C"], True),
        ("low-impedance volts contactor.L1 to ground, above: 3 V", "low-impedance volts", "",
         ["contactor.L1", "ground"], False),
        ("volts pairs of disconnect line, below: 187 V", "volts", "pairs of",
         ["disconnect line"], True),
        ("clamp amps each of contactor line, above: 20 A", "clamp amps", "each of",
         ["contactor line"], False),
        ("volts to ground from panel bus, below: 90 V", "volts", "to ground from",
         ["panel bus"], True),
    ],
)  # fmt: skip
def test_a_reading_beyond_a_limit(
    written: str, function: str, over: str, places: list[str], below: bool
) -> None:
    found = built(f"{{read: {written}}}")
    assert isinstance(found, Beyond)
    assert found.function is Function(function)
    assert (found.over, list(found.places), found.below) == (Over(over), places, below)


def test_what_is_judged_is_a_formula_over_what_was_read() -> None:
    found = built(
        "{read: volts pairs of disconnect line, judge: percent of unbalance(read), above: 2 %}"
    )
    assert isinstance(found, Beyond)
    assert found.judge is not None
    assert words(found) == (
        "percent of unbalance(read) of volts pairs of disconnect line above 2 %"
    )


WRONG = {
    "it hums": ("bad-showing", 1, "no part of a unit it"),
    "humming": ("bad-showing", 1, "nothing that a unit shows"),
    "compresor hums": ("bad-showing", 1, "Did you mean compressor?"),
    "[breaker holds, ice-on-coils]": ("unknown-sign", 17, "Did you mean ice-on-coil?"),
    "breaker trips within 3 V": ("bad-showing", 1, "no time"),
    "compressor dark": ("bad-showing", 1, "A display is lit or dark."),
    "{read: volts contactor.L1 to contactor.L9, below: 9 V}": ("unknown-point", 30, "contactor.L"),
    "{read: volts pairs of roof, below: 9 V}": ("unknown-set", 23, "roof"),
    "{read: loudness contactor.L1, below: 9 V}": ("bad-reading", 8, "Write volts"),
    "{read: volts contactor.L1 to ground, below: 9 A}": ("wrong-kind", 45, "Write a voltage."),
    "{read: volts contactor.L1 to ground, below: low of rated_vols}": (
        "unknown-name",
        45,
        "Did you mean rated_volts?",
    ),
    "{read: volts contactor.L1 to ground, judge: min(reed), below: 9 V}": (
        "unknown-name",
        45,
        "Did you mean read?",
    ),
    "{read: volts contactor.L1 to ground}": ("bad-showing", 2, "one of below and above"),
    "{read: volts contactor.L1 to ground, below: 9 V, above: 90 V}": (
        "bad-showing",
        2,
        "one of below and above",
    ),
    "{judge: 3 V, below: 9 V}": ("missing-key", -6, "read"),
    "{any of: [display dark]}": ("wrong-count", 10, "at least 2"),
    "{read: volts contactor.L1 to ground, under: 9 V}": ("unknown-key", 38, "under"),
}
"""What is written → the code, the column after ``shows:``, and what the sentence or its fix holds.

Columns count from 1 at the first character of what is written."""


@pytest.mark.parametrize("written", WRONG)
def test_what_is_wrong_is_told_at_its_place(written: str, tmp_path: Path) -> None:
    code, column, said = WRONG[written]
    text = TREE.read_text(encoding="utf-8")
    assert text.count(AS_IS) == 1
    line = next(line for line in text.splitlines() if AS_IS in line)
    start = line.index(AS_IS) + len("shows: ")
    path = tmp_path / "broken.yaml"
    path.write_text(text.replace(AS_IS, f"shows: {written}"), encoding="utf-8", newline="\n")
    found = next(one for one in library.check(path) if one.code == code)
    assert (found.span.column - start) == column
    assert said in f"{found.sentence} {found.fix}"

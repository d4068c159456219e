"""Conductors, breakers and joints against what stands outside the project."""

from __future__ import annotations

import pytest

from engine.bands import place, read_bands
from engine.formula import Measured
from engine.quantity import literal
from engine.trade.catalogue import FIGURES
from engine.trade.conductors import sizes, takes
from tests.oracle.rows import Row, check, name_of, rows


@pytest.mark.parametrize("row", rows("conductors"), ids=name_of)
def test_conductor_is_what_its_source_says(row: Row) -> None:
    check(row)


@pytest.mark.parametrize("row", rows("breakers"), ids=name_of)
def test_breaker_is_what_its_source_says(row: Row) -> None:
    check(row)


@pytest.mark.parametrize("row", rows("joints"), ids=name_of)
def test_joint_is_what_its_source_says(row: Row) -> None:
    check(row)


@pytest.mark.parametrize(
    ("amps", "breaker", "band"),
    [
        ("30.6 A", "50 A", "up to 80 % of breaker"),
        ("40 A", "50 A", "up to 80 % of breaker"),
        ("32.5 A", "40 A", "otherwise"),
    ],
)
def test_the_80_percent_line(amps: str, breaker: str, band: str) -> None:
    """30.6 A on 50 A is under it: common practice, no source (from memory: NEC 210.20(A))."""
    bands, misfits = read_bands(("up to 80 % of breaker", "otherwise"), FIGURES)
    assert not misfits
    values = {"breaker": Measured.sure(literal(breaker))}
    assert place(bands, Measured.sure(literal(amps)), values, FIGURES).key == band


def test_connector_listed_from_3_0_to_6_takes_a_6() -> None:
    """Common practice, no source."""
    assert takes(("3/0", "6"), "6")
    assert takes(("6", "3/0"), "3/0")
    assert takes(("3/0", "6"), "2")
    assert not takes(("3/0", "6"), "8")
    assert not takes(("3/0", "6"), "4/0")


def mils(awg: str) -> float:
    """Return a diameter by ASTM B258: 36 gauge is 5 mil, 4/0 460, with 39 equal ratios between."""
    gauge = 1 - int(awg.removesuffix("/0")) if awg.endswith("/0") else int(awg)
    return float(5.0 * 92.0 ** ((36 - gauge) / 39))


def test_sizes_are_in_the_order_of_the_wire_gauge() -> None:
    diameters = [mils(awg) for awg in sizes()]
    assert diameters == sorted(diameters)
    assert diameters[-1] == pytest.approx(460, abs=0.5)


def test_resistance_is_that_of_the_copper_in_the_wire() -> None:
    """Physics: 10.371 ohm circular mil per foot at 20 °C (annealed copper, IACS), 75 °C above it.

    Stranded conductors are a little longer than they look, so 2 to 4 % more is right.
    """
    at_75 = 10.371 * (234.5 + 75) / (234.5 + 20)
    for row in rows("conductors"):
        if row["figure"] == "voltage_drop" and row["inputs"]["feet"] == 500:
            circular_mils = mils(row["inputs"]["awg"]) ** 2
            assert row["expected"] == pytest.approx(1000 * at_75 / circular_mils, rel=0.04)

"""Unbalance, capacitors, windings and insulation against what stands outside the project."""

from __future__ import annotations

from math import exp, pi, sqrt

import pytest

from engine.trade.capacitors import capacitor, capacitor_current, capacitor_energy
from tests.oracle.rows import Row, check, name_of, rows


@pytest.mark.parametrize("row", rows("unbalance"), ids=name_of)
def test_unbalance_is_what_its_source_says(row: Row) -> None:
    check(row)


@pytest.mark.parametrize("row", rows("capacitors"), ids=name_of)
def test_capacitor_is_what_its_source_says(row: Row) -> None:
    check(row)


@pytest.mark.parametrize("row", rows("windings"), ids=name_of)
def test_winding_is_what_its_source_says(row: Row) -> None:
    check(row)


@pytest.mark.parametrize("row", rows("insulation"), ids=name_of)
def test_insulation_is_what_its_source_says(row: Row) -> None:
    check(row)


def test_capacitor_amps_are_those_of_its_impedance() -> None:
    impedance = 1 / (2j * pi * 60 * 45e-6)
    amps = abs(370 / impedance)
    assert capacitor_current(45, 370).amps == pytest.approx(amps)
    assert capacitor(amps, 370).microfarads == pytest.approx(45)


def test_capacitor_is_at_50_volts_when_the_time_is_over() -> None:
    told = capacitor_energy(45, 370, 20000)
    left = 370 * sqrt(2) * exp(-told.seconds_to_50_volts / (20000 * 45e-6))
    assert left == pytest.approx(50)


def test_stored_energy_is_what_the_resistor_turns_into_heat() -> None:
    step, volts, joules = 1e-4, 370 * sqrt(2), 0.0
    for _ in range(100_000):
        joules += volts * volts / 20000 * step
        volts -= volts / (20000 * 45e-6) * step
    assert capacitor_energy(45, 370, 20000).joules == pytest.approx(joules, rel=1e-3)

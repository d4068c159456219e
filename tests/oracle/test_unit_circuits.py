"""The project's solver against two outside: OpenDSS always, ngspice where it is installed.

Sources: OpenDSS (EPRI) through dss-python; ngspice, `.ac` at 60 Hz. Both are given the same state;
that the state itself is right is for `test_unit_machines` and the tables of readings.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.unit.bench import When
from tests.engine.unit.benches import HIGH, SINGLE, THREE
from tests.oracle import circuits, opendss, spice
from tests.oracle.circuits import Case

AGREE = 1e-6
"""Relative, at nodes above 1 V."""
IN_OPENDSS = (
    Case(SINGLE, when=When.AT_START, bare=True),
    Case("split", when=When.AT_START),
    Case(THREE, when=When.AT_START, bare=True),
    Case("corner", when=When.AT_START),
    Case(HIGH, bare=True),
    Case(HIGH, when=When.AT_START, bare=True),
)


@pytest.mark.parametrize("case", IN_OPENDSS, ids=str)
def test_opendss_finds_the_same_volts(case: Case) -> None:
    network = case.network
    relative, absolute = circuits.compared(network, opendss.Feeder(network).volts())
    assert relative < AGREE
    assert absolute < 1e-4


@pytest.mark.skipif(spice.NGSPICE is None, reason="ngspice is not installed")
@pytest.mark.parametrize("case", circuits.EVERY, ids=str)
def test_ngspice_finds_the_same_volts(case: Case, tmp_path: Path) -> None:
    network = case.network
    relative, absolute = circuits.compared(network, spice.solved(network, tmp_path))
    assert relative < AGREE
    assert absolute < 1e-5


def test_there_are_enough_circuits_of_every_kind() -> None:
    assert len(circuits.EVERY) >= 15
    assert len({str(case) for case in circuits.EVERY}) == len(circuits.EVERY)

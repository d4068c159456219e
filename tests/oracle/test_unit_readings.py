"""The readings that faults give, as ranges.

Source of the numbers: a phasor trial of its own, apart from this project's code, whose node volts
agreed with ngspice to 1.4e-10. Its units had conductors of 0.06 ohm a leg (3 tons) and 10 tons in
place of 7.5, so volts are held to a few percent, amps of the larger unit scaled by 7.5/10, and
what only strays set to ranges. What a reading means on such a fault is common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from math import inf

import pytest

from engine.reading import Function
from engine.unit.bench import Bench, Settled, When
from engine.unit.condition import Condition
from engine.unit.faults import Fault
from engine.unit.faults import Row as UnitRow
from tests.engine.unit.benches import (
    CALL,
    SINGLE,
    THREE,
    amps,
    fault,
    off,
    reads,
    settled,
    volts,
)
from tests.oracle.circuits import whole

OPEN = 1e15
ONE = UnitRow()
HOT_LUG = fault("hot lug", ("breaker.lug.L1 ohms", 0.6))
HALFWAY = fault("halfway", ("compressor.main.to ground ohms", 0.1), ("compressor.main tap", 0.5))
SIXTEEN = fault("12 uF", ("run_cap.HERM uf", 12.0))
TURNS = fault(
    "turns shorted, protector welded",
    ("compressor.main.across turns ohms", 0.01),
    ("compressor.main tap", 0.9),
    ("compressor.overload weld", 1.0),
)
HOT_B = fault("hot lug B", ("breaker.lug.L2 ohms", 0.3))
TAP_240 = fault("240 tap", ("transformer.tap", 240.0))
TAP_208 = fault("208 tap", ("transformer.tap", 208.0))
Row = tuple[str | Fault, When, dict[str, float]]
RUN, START, LAST = When.RUNNING, When.AT_START, When.AFTER_THE_TRIP

# L1-G L2-G L1-L2 L1-T1 T1-T2 cap R-C coil I(L1) I(comp C)
SINGLE_PHASE: tuple[Row, ...] = (
    (
        "",
        RUN,
        {
            "L1": 119.2,
            "L2": 206.1,
            "L12": 236.3,
            "T12": 236.3,
            "cap": 358,
            "RC": 25.9,
            "coil": 25.8,
            "I": 17.9,
            "C": 13.1,
        },
    ),
    ("burnt lug leg 1", RUN, {"L1": 207.9, "L2": 207.9, "L12": 0, "T12": 0, "RC": 0, "I": 0}),
    ("burnt lug leg 2", RUN, {"L1": 120.0, "L2": 120.0, "L12": 0, "T12": 0, "RC": 0, "I": 0}),
    (
        HOT_LUG,
        RUN,
        {
            "L1": 117.9,
            "L2": 206.0,
            "L12": 225.8,
            "cap": 339,
            "RC": 24.8,
            "lug": 11.2,
            "I": 18.6,
            "C": 13.7,
        },
    ),
    (SIXTEEN, START, {"L12": 224.6, "cap": 229, "RC": 24.6, "C": 78.1}),
    ("run capacitor open", START, {"L12": 224.5, "cap": 224, "C": 79.1}),
    ("start winding open", START, {"L12": 224.5, "cap": 0, "C": 79.1}),
    ("run winding open", RUN, {"L12": 239.3, "cap": 251, "RC": 26.2, "I": 4.7, "C": 3.8}),
    (TURNS, RUN, {"L1": 119.1, "L12": 232.9, "cap": 352, "I": 36.0, "C": 31.3}),
    ("contactor pole 1 pitted", RUN, {"L12": 236.1, "L1T1": 12.1, "C": 13.9}),
    ("contactor pole 1 open", RUN, {"L1": 120.0, "L12": 239.5, "T12": 0, "I": 3.4, "C": 0}),
    ("transformer primary open", RUN, {"L1": 120.0, "L2": 207.8, "L12": 239.9, "RC": 0, "I": 0.3}),
    (TAP_208, RUN, {"L12": 236.3, "RC": 29.8, "coil": 29.7, "I": 17.9, "C": 13.1}),
    ("rotor locked", START, {"L12": 224.7, "cap": 236, "RC": 24.6, "C": 76.7}),
    ("fuse 2 blown", RUN, {"L1": 120.0, "L2": 120.0, "L12": 0, "I": 0}),
    (
        "contactor coil open",
        RUN,
        {"L12": 239.3, "T12": 0, "RC": 26.4, "coil": 26.4, "I": 3.4, "C": 0},
    ),
    ("high-pressure switch open", RUN, {"L12": 239.3, "T12": 0, "RC": 26.4, "coil": 0, "I": 3.4}),
    ("control fuse blown", RUN, {"L12": 239.9, "RC": 0, "coil": 0}),
)
# L-G, L-L, R-C, amps of the legs (10 tons: x 0.75 for the compressor), comp A
THREE_PHASE: tuple[Row, ...] = (
    (
        "",
        RUN,
        {
            "L1": 117.8,
            "L2": 117.7,
            "L3": 117.8,
            "L12": 204.0,
            "L23": 204.0,
            "RC": 25.9,
            "comp": 22.4,
        },
    ),
    (
        "leg 3 lost upstream",
        START,
        {
            "L1": 105,
            "L2": 112,
            "L3": 60.1,
            "L12": 180,
            "L23": 90.7,
            "L31": 91,
            "RC": 22.9,
            "comp": 137,
        },
    ),
    ("leg 3 lost upstream", LAST, {"L12": 206, "RC": 25.7, "comp": 0}),
    ("leg 3 lost while running", RUN, {"comp": 0}),
    (
        "leg 1 lost upstream",
        RUN,
        {"L1": 120, "L2": 120, "L3": 120, "L12": 0, "L23": 207.8, "L31": 207.9, "RC": 0},
    ),
    (
        HOT_B,
        RUN,
        {
            "L1": 117.8,
            "L2": 108.5,
            "L3": 117.3,
            "L12": 194.5,
            "L23": 197.5,
            "L31": 203.4,
            "RC": 24.5,
        },
    ),
    ("contactor pole 3 open", START, {"L3": 118, "L12": 184, "L23": 201, "comp": 137}),
    (TAP_240, RUN, {"L12": 204.0, "RC": 22.2, "comp": 22.4}),
    ("rotor locked", START, {"L1": 106, "L12": 183, "L23": 183, "RC": 23.0, "comp": 157}),
)
PLACES = {
    "L1": ("contactor.L1", "ground"),
    "L2": ("contactor.L2", "ground"),
    "L3": ("contactor.L3", "ground"),
    "L12": ("contactor.L1", "contactor.L2"),
    "L23": ("contactor.L2", "contactor.L3"),
    "L31": ("contactor.L3", "contactor.L1"),
    "T12": ("contactor.T1", "contactor.T2"),
    "L1T1": ("contactor.L1", "contactor.T1"),
    "cap": ("run_cap.HERM", "run_cap.C"),
    "RC": ("board.R", "board.C"),
    "coil": ("contactor.coil.1", "contactor.coil.2"),
    "lug": ("breaker.load.L1", "breaker.conductor.L1"),
    "I": ("contactor.L1",),
    "C": ("compressor.lead.C",),
    "comp": ("compressor.lead.T1",),
}


def name_of(value: object) -> str:
    return value.name if isinstance(value, Fault) else str(value) if isinstance(value, str) else ""


def held(run: Settled, when: When, expected: dict[str, float]) -> None:
    for key, value in expected.items():
        one, *other = PLACES[key]
        found = volts(run, one, other[0], when) if other else amps(run, one, when)
        assert found == pytest.approx(value, rel=0.04, abs=0.6), key


@pytest.mark.parametrize(("what", "when", "expected"), SINGLE_PHASE, ids=name_of)
def test_a_fault_of_the_single_phase_unit_reads(
    what: str | Fault, when: When, expected: dict[str, float]
) -> None:
    held(settled(SINGLE, [what] if what else []), when, expected)


@pytest.mark.parametrize(("what", "when", "expected"), THREE_PHASE, ids=name_of)
def test_a_fault_of_the_three_phase_unit_reads(
    what: str | Fault, when: When, expected: dict[str, float]
) -> None:
    held(settled(THREE, [what] if what else []), when, expected)


def test_a_winding_grounded_halfway_draws_more_than_a_locked_rotor() -> None:
    run = settled(SINGLE, [HALFWAY])
    assert 85 < amps(run, "compressor.lead.C", When.AT_START) < 160
    assert run.tripped_after("compressor.overload")[0] < 10


# --- how long it lasts ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "what", "device", "low", "high"),
    [
        (SINGLE, "rotor locked", "compressor.overload", 5, 10),
        (SINGLE, "run capacitor open", "compressor.overload", 5, 10),
        (SINGLE, "turns shorted", "compressor.overload", 40, 70),
        (SINGLE, "cable Y to C shorted", "control_fuse.link", 1, 12),
        (SINGLE, "cable R to C shorted", "control_fuse.link", 1, 12),
        (SINGLE, "run winding grounded", "breaker", 0, 0.1),
        (SINGLE, "feeder shorted", "breaker", 0, 0.1),
        (THREE, "leg 3 lost upstream", "compressor.overload", 4, 9),
        (THREE, "leg 3 lost while running", "compressor.overload", 60, 110),
        (THREE, "leg 1 lost while running", "compressor.overload", 55, 110),
        (THREE, "contactor pole 3 open", "compressor.overload", 4, 9),
        (THREE, "rotor locked", "compressor.overload", 3.5, 7),
        (THREE, "compressor lead to shell", "breaker", 0, 0.1),
    ],
)
def test_protection_opens_in_its_time(
    name: str, what: str, device: str, low: float, high: float
) -> None:
    after = settled(name, [what]).tripped_after(device)[0]
    assert low <= after <= high


@pytest.mark.parametrize("what", ["contactor pole 1 pitted", "refrigerant low", "wrong tap"])
def test_what_harms_no_circuit_trips_nothing_at_the_breaker(what: str) -> None:
    assert settled(SINGLE, [what]).tripped_after("breaker")[0] == inf


# --- back-feed and ghost --------------------------------------------------------------------------

HEATER = "crankcase_heater.element ohms", OPEN
TRANSFORMER = "transformer.primary ohms", OPEN
LUG = "breaker.lug.L1 ohms", OPEN


@pytest.mark.parametrize(
    ("gone", "calls", "high", "low"),
    [
        # Which paths are left for the dead leg: high-impedance and low-impedance volts to ground.
        ((), True, (206, 209), (165, 190)),
        ((HEATER,), True, (206, 209), (100, 185)),
        ((), False, (206, 209), (155, 185)),
        ((HEATER,), False, (206, 209), (100, 175)),
        ((HEATER, TRANSFORMER), False, (5, 200), (0, 3)),
    ],
)
def test_a_dead_leg_is_fed_back_or_a_ghost(
    gone: tuple[tuple[str, float], ...],
    calls: bool,
    high: tuple[float, float],
    low: tuple[float, float],
) -> None:
    what = fault("back-feed", LUG, *gone)
    run = settled(SINGLE, [what], CALL if calls else replace(CALL, calls=frozenset()))
    assert high[0] <= volts(run, "contactor.L1") <= high[1]
    loaded = reads(run, Function.LOW_IMPEDANCE_VOLTS, "contactor.L1", "ground")
    assert low[0] <= loaded <= low[1]
    shown = run.read(Function.VOLTS, ("contactor.L1", "ground"), When.RUNNING)
    assert shown.floating[0] == (len(gone) == 2)


def test_the_decisive_reading_of_a_lost_leg_is_from_leg_to_leg() -> None:
    run = settled(SINGLE, ["burnt lug leg 1"])
    assert volts(run, "contactor.L1") > 200  # higher than on a sound unit
    assert volts(run, "contactor.L1", "contactor.L2") < 1
    assert volts(run, "disconnect.line.L1", "disconnect.line.L2") < 1
    blown = settled(SINGLE, ["fuse 1 blown"])
    assert volts(blown, "disconnect.line.L1", "disconnect.line.L2") > 235


def test_an_open_contactor_of_two_poles_leaves_a_ghost_at_the_load() -> None:
    run = settled(SINGLE, ["high-pressure switch open"])
    assert reads(run, Function.LOW_IMPEDANCE_VOLTS, "contactor.L1", "contactor.T1") < 3


@pytest.mark.parametrize(
    ("service", "expected"),
    [
        ("split", {"L1": 118, "L2": 118, "L12": 236.3, "cap": 358, "RC": 25.9}),
        # On 208 V with the 240 V tap: more amps, more slip, less of everything else.
        ("wye", {"L12": 204, "cap": 297, "RC": 22.4, "C": 15.3}),
    ],
)
def test_the_same_unit_on_another_service_reads(service: str, expected: dict[str, float]) -> None:
    of = whole(service)
    run = Bench(of, [ONE]).settle(CALL)
    held(run, RUN, expected)
    slip = run.snapshots.states[-1].slip[0, 0]
    assert slip == pytest.approx(0.05 if service == "wye" else 0.035, abs=0.004)


def test_behind_a_contactor_of_one_pole_the_load_side_stays_live() -> None:
    # 207.5 V on both meters: the bar passes the high leg on, through the motors, to T1.
    of = whole("one pole")
    run = Bench(of, [ONE]).settle(of.operating["no call"])
    for function in (Function.VOLTS, Function.LOW_IMPEDANCE_VOLTS):
        assert reads(run, function, "contactor.T1", "ground") == pytest.approx(207.5, rel=0.01)


# --- ohms in and out of the circuit ---------------------------------------------------------------

LOCKED = off(CALL, "disconnect")
LEADS_OFF = replace(LOCKED, leads_off=frozenset({f"compressor.lead.{post}" for post in "CRS"}))


@pytest.mark.parametrize(
    ("faults", "condition", "points", "low", "high"),
    [
        # The reference trial: C-R 0.75, C-S 1.70, R-S 2.45; T1-T2 with the compressor off 14 ohm.
        ((), LEADS_OFF, ("compressor.lead.C", "compressor.lead.R"), 0.7, 0.8),
        ((), LEADS_OFF, ("compressor.lead.C", "compressor.lead.S"), 1.6, 1.8),
        ((), LEADS_OFF, ("compressor.lead.S", "compressor.lead.R"), 2.4, 2.6),
        ((), LEADS_OFF, ("compressor.lead.C", "ground"), inf, inf),
        ((), LEADS_OFF, ("contactor.T1", "contactor.T2"), 13, 15),
        (("start winding open",), LEADS_OFF, ("compressor.lead.C", "compressor.lead.S"), inf, inf),
        (
            ("compressor overload open",),
            LEADS_OFF,
            ("compressor.lead.C", "compressor.lead.R"),
            inf,
            inf,
        ),
        (
            ("compressor overload open",),
            LEADS_OFF,
            ("compressor.lead.S", "compressor.lead.R"),
            2.4,
            2.6,
        ),
        (("windings leak",), LEADS_OFF, ("compressor.lead.C", "ground"), 195e3, 205e3),
        (
            ("windings break down under volts",),
            LEADS_OFF,
            ("compressor.lead.C", "ground"),
            inf,
            inf,
        ),
        (("run capacitor shorted",), LOCKED, ("run_cap.C", "run_cap.HERM"), 0, 0.5),
        # A switch that is open reads what is beside it, not OL: coil and secondary.
        (("high-pressure switch open",), LOCKED, ("board.Y", "board.C"), inf, inf),
    ],
)
def test_ohms_are_those_of_the_copper_that_is_left(
    faults: tuple[str, ...], condition: Condition, points: tuple[str, str], low: float, high: float
) -> None:
    run = settled(SINGLE, faults, condition)
    found = reads(run, Function.OHMS, *points, when=When.DEAD)
    assert low <= found <= high


def test_five_hundred_volts_find_what_an_ohmmeter_does_not() -> None:
    run = settled(SINGLE, ["windings break down under volts"], LEADS_OFF)
    points = "compressor.lead.C", "ground"
    assert reads(run, Function.OHMS, *points, when=When.DEAD) == inf
    assert reads(run, Function.INSULATION, *points, when=When.DEAD) < 100


def test_a_weak_supply_lets_the_contactor_drop_out_or_never_pull_in() -> None:
    # 12 ohm in the Y wire: the coil gets too little to pull in, and all of it once unplugged.
    weak = fault("Y wire", ("cable.Y ohms", 12.0))
    run = settled(SINGLE, [weak])
    assert not run.pulled_in("contactor")[0]
    assert 12 < volts(run, "contactor.coil.1", "contactor.coil.2") < 19
    unplugged = replace(CALL, leads_off=frozenset({"contactor.coil.1"}))
    assert volts(settled(SINGLE, [weak], unplugged), "low_pressure.out", "board.C") > 24

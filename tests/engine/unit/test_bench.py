"""Rows on the bench: none depends on another, chance can be told again, the meter refuses."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from engine.reading import Function, Special
from engine.unit.bench import Bench, When
from engine.unit.chance import drawn, row_keys
from engine.unit.condition import Condition
from engine.unit.faults import Row
from tests.engine.unit.benches import (
    CALL,
    SINGLE,
    THREE,
    UNITS,
    amps,
    fault,
    off,
    reads,
    settled,
    unit,
    volts,
)

READINGS = (
    (Function.VOLTS, ("contactor.L1", "contactor.L2")),
    (Function.LOW_IMPEDANCE_VOLTS, ("contactor.L1", "ground")),
    (Function.CLAMP_AMPS, ("contactor.L1",)),
    (Function.MILLIVOLTS, ("contactor.L1", "contactor.T1")),
    (Function.VOLTS, ("board.R", "board.C")),
)


@pytest.mark.parametrize("name", UNITS)
def test_a_row_never_depends_on_its_batch(name: str) -> None:
    of = unit(name)
    chosen = [*of.faults.values()][::9]
    rows = [Row((one,), variation) for one in chosen for variation in (0, 1, 7)]
    together = Bench(of, rows, seed=4).settle(CALL)
    for at in range(0, len(rows), 5):
        alone = Bench(of, [rows[at]], seed=4).settle(CALL)
        assert alone.snapshots.count[0] == together.snapshots.count[at]
        for function, points in READINGS:
            one = alone.read(function, points, When.RUNNING).value[0]
            many = together.read(function, points, When.RUNNING).value[at]
            assert one == pytest.approx(many, abs=1e-6), (rows[at].key, function, points)


def test_some_of_the_rows_settle_as_they_do_among_all() -> None:
    of = unit(THREE)
    rows = [Row((one,)) for one in of.faults.values()]
    bench = Bench(of, rows)
    which = np.array([3, 11, 20])
    some, every = bench.settle(CALL, which), bench.settle(CALL)
    for function, points in READINGS:
        part = some.read(function, points, When.RUNNING).value
        whole = every.read(function, points, When.RUNNING).value[which]
        assert part == pytest.approx(whole, abs=1e-6)


def test_chance_is_even_and_told_again_by_its_key() -> None:
    keys = row_keys(1, ["a"] * 4000, range(4000))
    once = np.asarray(drawn(keys, ["x", "y"]))
    assert np.array_equal(once, drawn(keys, ["x", "y"]))
    assert np.array_equal(once[:, 17:18], drawn(keys[17:18], ["x", "y"]))
    assert not np.array_equal(once, drawn(row_keys(2, ["a"] * 4000, range(4000)), ["x", "y"]))
    assert np.abs(once).max() <= 1
    # Mean and variance of an even spread from -1 to 1 are 0 and 1/3; four standard errors.
    assert abs(once.mean()) < 4 * (1 / 3 / once.size) ** 0.5
    assert once.var() == pytest.approx(1 / 3, abs=0.015)
    assert abs(np.mean(once[0] * once[1]) * 3) < 0.06


def test_variations_stay_within_what_parts_and_meter_allow() -> None:
    of = unit(SINGLE)
    rows = [Row((), at) for at in range(1, 60)]
    dead = Bench(of, rows).settle(
        Condition(open=frozenset({"disconnect"}), leads_off=frozenset({"run_cap.HERM"}))
    )
    shown = dead.read(Function.CAPACITANCE, ("run_cap.C", "run_cap.HERM"), When.DEAD).value
    # 40 uF with 5 % of the part, 2 % and 2 counts of the meter.
    assert shown.min() >= 40 * 0.95 * 0.98 - 0.3
    assert shown.max() <= 40 * 1.05 * 1.02 + 0.3
    assert shown.std() > 0.5


def test_each_variation_has_one_gain_error_a_function() -> None:
    rows = [Row((), at) for at in range(1, 40)]
    bench = Bench(unit(SINGLE), rows)
    still = replace(CALL, calls=frozenset())
    run = bench.settle(still)
    network = run.network(When.RUNNING)
    ratios = []
    for a, b in (("contactor.L1", "ground"), ("contactor.L2", "ground")):
        true = np.abs(network.node(a) - network.node(b))
        ratios.append(run.read(Function.VOLTS, (a, b), When.RUNNING).value / true - 1)
    # Noise is three counts of 0.1 V at most; what is left is the same gain for both readings.
    assert np.abs(ratios[0] - ratios[1]).max() < 0.4 / 118 + 0.4 / 205
    assert np.abs(ratios[0]).max() <= 0.01 + 0.4 / 118
    assert np.abs(ratios[0]).std() > 0.001


# --- the meter refuses by physics -----------------------------------------------------------------


@pytest.mark.parametrize("function", [Function.OHMS, Function.INSULATION, Function.CAPACITANCE])
def test_a_live_island_gives_an_ohmmeter_no_number(function: Function) -> None:
    shown = settled(SINGLE).read(function, ("contactor.L1", "contactor.L2"), When.RUNNING)
    assert shown.live[0]
    assert shown.reading(0) is None


def test_the_same_points_give_a_number_when_they_are_dead() -> None:
    dead = settled(SINGLE, condition=off(CALL, "disconnect"))
    shown = dead.read(Function.OHMS, ("contactor.L1", "contactor.L2"), When.DEAD)
    assert not shown.live[0]
    # The line side stays live: the feeder ends at the open disconnect.
    upstream = dead.read(Function.OHMS, ("disconnect.line.L1", "disconnect.line.L2"), When.DEAD)
    assert upstream.live[0]


def test_what_floats_is_reported_and_never_silently_zero() -> None:
    open_wire = settled(SINGLE, ["cable Y broken"])
    floating = open_wire.floating()
    assert "cable.Y" not in floating  # its unit end hangs on the coil
    assert "thermostat.Y" not in floating  # the thermostat's contact feeds it
    apart = settled(SINGLE, ["high-pressure switch open"], condition=Condition())
    shown = apart.read(Function.VOLTS, ("thermostat.Y", "thermostat.C"), When.RUNNING)
    assert shown.floating[0]
    assert 0.2 < shown.value[0] < 20
    low = reads(apart, Function.LOW_IMPEDANCE_VOLTS, "thermostat.Y", "thermostat.C")
    assert low < 0.3


def test_a_display_is_a_reading_as_it_would_be_typed() -> None:
    dead = settled(SINGLE, condition=off(CALL, "disconnect"))
    shown = dead.read(Function.OHMS, ("compressor.lead.C", "ground"), When.DEAD)
    reading = shown.reading(0)
    assert reading is not None
    assert reading.special is Special.OL
    running = settled(SINGLE).read(Function.VOLTS, ("board.R", "board.C"), When.RUNNING)
    understood = running.reading(0)
    assert understood is not None
    assert understood.words() == f"{running.value[0]:.2f} V"
    assert understood.resolution == Fraction(1, 100)


def test_a_point_or_function_it_has_not_is_said() -> None:
    what = settled(SINGLE)
    with pytest.raises(KeyError, match=r"contactor\.L3"):
        what.read(Function.VOLTS, ("contactor.L3", "ground"), When.RUNNING)
    with pytest.raises(ValueError, match="not reckoned"):
        what.read(Function.MICROAMPS, ("contactor.L1", "ground"), When.RUNNING)
    with pytest.raises(KeyError, match="no such part"):
        Bench(unit(SINGLE), [Row((fault("f", ("no such part ohms", 1.0)),))])


def test_what_is_stated_is_read_and_a_fault_states_it_otherwise() -> None:
    for faults, degrees in (((), 56.0), (["refrigerant low"], 68.0)):
        what = settled(SINGLE, faults)
        assert reads(what, Function.TEMPERATURE, "air.supply") == degrees


# --- conditions -----------------------------------------------------------------------------------


def test_a_repair_takes_the_fault_away() -> None:
    sound = volts(settled(SINGLE), "contactor.L1", "contactor.L2")
    name = "burnt lug leg 1"
    mended = replace(CALL, repaired=frozenset({"loose-lug"}))
    assert volts(settled(SINGLE, [name]), "contactor.L1", "contactor.L2") < 1
    assert volts(settled(SINGLE, [name], mended), "contactor.L1", "contactor.L2") == sound


def test_a_lead_off_parts_the_part_and_the_meter_stays_on_it() -> None:
    on = off(CALL, "disconnect")
    lifted = replace(on, leads_off=frozenset({"run_cap.HERM"}))
    points = "run_cap.C", "run_cap.HERM"
    assert reads(settled(SINGLE, (), on), Function.CAPACITANCE, *points) == float("inf")
    assert reads(settled(SINGLE, (), lifted), Function.CAPACITANCE, *points) == 40.0
    assert reads(settled(SINGLE, (), lifted), Function.OHMS, *points) == float("inf")


def test_a_contactor_pressed_in_by_hand_closes_dead_poles() -> None:
    dead = off(CALL, "disconnect")
    pressed = replace(dead, pressed=frozenset({"contactor"}))
    poles = "contactor.L3", "contactor.T3"
    assert reads(settled(THREE, (), pressed), Function.OHMS, *poles) <= 0.1
    assert reads(settled(THREE, (), dead), Function.OHMS, *poles) > 0.3
    worn = settled(THREE, ["contactor pole 3 open"], pressed)
    assert reads(worn, Function.OHMS, *poles) > 1


def test_a_jumper_calls_for_what_the_thermostat_does_not() -> None:
    jumper = Condition(jumpers=frozenset({("thermostat.R", "thermostat.Y")}))
    assert not settled(SINGLE, condition=Condition()).pulled_in("contactor")[0]
    assert settled(SINGLE, condition=jumper).pulled_in("contactor")[0]
    assert settled(SINGLE, condition=jumper).turns("compressor")[0]


def test_fuses_stay_blown_and_overloads_cool() -> None:
    of = unit(SINGLE)
    bench = Bench(of, [Row((of.faults["cable R to C shorted"],))])
    shorted = bench.settle(CALL)
    assert np.isfinite(shorted.tripped_after("control_fuse.link")[0])
    again = bench.settle(
        replace(CALL, repaired=frozenset({"cable-shorted"})), begin=shorted.after()
    )
    assert not again.pulled_in("thermostat")[0]
    state = shorted.after(reset=["control_fuse.link"])
    renewed = bench.settle(replace(CALL, repaired=frozenset({"cable-shorted"})), begin=state)
    assert renewed.pulled_in("contactor")[0]


def test_a_unit_with_two_faults_has_both() -> None:
    pair = ["run capacitor low", "wrong tap"]
    both = settled(SINGLE, pair)
    assert volts(both, "board.R", "board.C") == volts(
        settled(SINGLE, pair[1:]), "board.R", "board.C"
    )
    dead = replace(off(CALL, "disconnect"), leads_off=frozenset({"run_cap.HERM"}))
    points = "run_cap.C", "run_cap.HERM"
    assert reads(settled(SINGLE, pair, dead), Function.CAPACITANCE, *points) == 28.0
    mended = replace(CALL, repaired=frozenset({"wrong-tap"}))
    left = amps(settled(SINGLE, pair, mended), "compressor.lead.C")
    assert left == amps(settled(SINGLE, pair[:1]), "compressor.lead.C")


@pytest.mark.parametrize("name", UNITS)
def test_any_two_faults_come_to_a_rest_with_readings(name: str) -> None:
    faults = [*unit(name).faults.values()]
    chance = np.random.default_rng(5)
    rows = [
        Row(tuple(faults[at] for at in chance.choice(len(faults), 2, replace=False)), at)
        for at in range(80)
    ]
    run = Bench(unit(name), rows).settle(CALL)
    assert (run.snapshots.count >= 1).all()
    # A leg lost together with the neutral leaves a coil half its volts: that may truly chatter.
    assert run.chatters.mean() < 0.05
    for function, points in READINGS:
        for when in (When.AT_START, When.RUNNING, When.AFTER_THE_TRIP):
            assert np.isfinite(run.read(function, points, when).value).all()


def test_relays_that_find_no_rest_chatter() -> None:
    # A weak service lets the contactor in and the start's amps pull its coil below drop-out.
    weak = fault(
        "weak",
        ("breaker.lug.L1 ohms", 1.1),
        ("breaker.lug.L2 ohms", 1.1),
        ("contactor.drop-out", 15.0),
    )
    run = settled(SINGLE, [weak])
    assert run.chatters[0]
    coil = run.read(Function.VOLTS, ("contactor.coil.1", "contactor.coil.2"), When.RUNNING)
    shown = coil.reading(0)
    assert shown is not None
    assert shown.special is Special.UNSTEADY
    assert not settled(SINGLE).chatters[0]


def test_the_same_leg_lost_reads_otherwise_from_rest_and_while_running() -> None:
    still = settled(THREE, ["leg 3 lost upstream"])
    turning = settled(THREE, ["leg 3 lost while running"])
    assert still.hums("compressor")[0]
    assert not turning.hums("compressor")[0]
    assert still.tripped_after("compressor.overload")[0] < 10
    assert 30 < turning.tripped_after("compressor.overload")[0] < 200
    assert amps(still, "contactor.L3", When.AT_START) < 0.1


@pytest.mark.parametrize("name", UNITS)
def test_enough_faults_trip_the_breaker_and_blank_the_thermostat(name: str) -> None:
    of = unit(name)
    rows = [Row((one,)) for one in of.faults.values()]
    run = Bench(of, rows).settle(CALL)
    dark = ~run.pulled_in("thermostat", When.AFTER_THE_TRIP)
    trips = np.isfinite(run.tripped_after("breaker"))
    assert trips.sum() >= 12
    assert (dark & ~trips).sum() >= 8
    assert not run.chatters.any()


@pytest.mark.parametrize(
    "place",
    [
        "service.leg.A",
        "main.pole.L1",
        "panel.bus.L1 to breaker.line.L1",
        "breaker.pole.L1",
        "breaker.lug.L1",
        "breaker.conductor.L1 to disconnect.line.L1",
        "disconnect.blade.L1",
        "disconnect.fuse.L1",
        "disconnect.load.L1 to contactor.L1",
    ],
)
def test_a_leg_can_be_lost_anywhere_on_its_way(place: str) -> None:
    run = settled(SINGLE, [fault("lost", (f"{place} ohms", 1e15))])
    assert volts(run, "contactor.L1", "contactor.L2") < 1
    assert volts(run, "contactor.L1") > 200
    assert not run.pulled_in("contactor")[0]
    network = run.network(When.RUNNING)
    branch = network.circuit.netlist.branches[network.circuit.branch[place]]
    across = abs(network.node(branch.a)[0] - network.node(branch.b)[0])
    assert across == pytest.approx(240, rel=0.02)

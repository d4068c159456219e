"""A figure in the middle of a walk: what is offered, what is not, and the same step afterwards."""

from __future__ import annotations

import io
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest

from engine.cli.plain import asker, walk_by_lines
from engine.guide.from_walk import offers
from engine.guide.talk import QUIET, View
from engine.guide.visit import Visit
from engine.quantity import Quantity
from engine.reading import Function, Reading
from engine.session.state import ReadingKey, Took
from tests.typed_jobs import DANA, TO_THE_CAPACITOR, Watch, loaded, new_job, typed

TO_THE_SUPPLY = TO_THE_CAPACITOR[:6]
"""Up to the volts at the disconnect: 208, 209, 207."""


@pytest.fixture
def at_the_capacitor(tmp_path: Path) -> Visit:
    return typed(new_job(tmp_path), TO_THE_CAPACITOR)


def asked(going: Visit, *lines: str) -> str:
    """Return what is shown for the last of these lines, each of which has to be taken."""
    said: tuple[str, ...] = ()
    for line in lines:
        shown = going.enter(line)
        assert not shown.refused, (line, shown.refused)
        said = shown.lines
    return "\n".join(said)


# -- what is offered


def test_volts_between_legs_are_offered_as_such_and_not_as_any_volts(
    at_the_capacitor: Visit,
) -> None:
    said = asked(at_the_capacitor, "v supply")
    assert "From this walk: 208 V, 209 V, 207 V (Supply at the disconnect)." in said
    assert "Enter = 208 V, 209 V, 207 V, this walk" in said
    asked(at_the_capacitor, "")
    assert at_the_capacitor.asks == "ln V?"
    assert at_the_capacitor.enter("").refused, "volts to ground were not read"
    asked(at_the_capacitor, "l")
    assert "Enter = " not in asked(at_the_capacitor, "v coil")
    assert at_the_capacitor.enter("").refused


def test_what_shows_only_that_a_circuit_was_dead_is_no_value(at_the_capacitor: Visit) -> None:
    texts = {one.text for one in offers(at_the_capacitor.view)}
    assert "0 V" not in texts, "dead readings"
    assert "120 V" not in texts, "the source that is known to be live"


def test_nameplate_values_are_offered_where_just_they_are_wanted(at_the_capacitor: Visit) -> None:
    said = asked(at_the_capacitor, "v nameplate voltage")
    assert "Enter = 208 V, 230 V, this walk" in said
    said = asked(at_the_capacitor, "", "k")
    assert " 1 208 V: Supply at the disconnect, L1-L2" in said
    assert "7.5 uF" not in said
    said = asked(at_the_capacitor, "3", "", "")
    assert "measured: 207 V, from this walk" in said
    assert "verdict: good" in said


def test_readings_that_no_longer_count_are_not_offered(tmp_path: Path) -> None:
    going = typed(new_job(tmp_path), TO_THE_SUPPLY)
    stale = {key: replace(one, stale=True) for key, one in going.state.taken.items()}
    assert any(one.text == "208 V 209 V 207 V" for one in offers(going.view))
    view = replace(going.view, state=going.state._replace(taken=stale))
    assert not any("209 V" in one.text for one in offers(view))


def with_readings(
    going: Visit, *readings: tuple[Function, str, str, str], when: str = "running"
) -> View:
    """Return the walk's view with readings of its own: function, points, number with unit."""
    taken = {}
    for n, (function, a, b, text) in enumerate(readings, 100):
        number, unit = text.split()
        reading = Reading(Quantity.of(number, unit), None, text, unit=unit)
        taken[ReadingKey(function, a, b, when, ())] = Took(reading, n)
    return replace(going.view, state=going.state._replace(taken=taken))


def meant(view: View) -> dict[str, set[str]]:
    """Return the values of a view that are meant for something, each with what it is meant for."""
    return {one.text: set(one.meant_for) for one in offers(view) if one.meant_for and one.kind}


def legs(
    function: Function, at: str, values: Iterable[int], unit: str
) -> list[tuple[Function, str, str, str]]:
    points = [f"{at}.L{n}" for n in (1, 2, 3)]
    pairs = zip(points, (*points[1:], points[0]), values, strict=True)
    return [(function, a, b, f"{value} {unit}") for a, b, value in pairs]


def to_ground(
    function: Function, at: str, values: Iterable[int]
) -> list[tuple[Function, str, str, str]]:
    return [(function, f"{at}.L{n}", "ground", f"{value} V") for n, value in enumerate(values, 1)]


def test_volts_to_ground_belong_to_the_legs_only_at_the_same_terminals(tmp_path: Path) -> None:
    going = typed(new_job(tmp_path), ())
    volts, low_z = Function.VOLTS, Function.LOW_IMPEDANCE_VOLTS
    here = legs(volts, "contactor", (208, 209, 207), "V")
    ground = to_ground(volts, "contactor", (120, 121, 119))
    low = to_ground(low_z, "contactor", (118, 119, 117))
    found = meant(with_readings(going, *here, *ground, *low))
    assert found["208 V 209 V 207 V"] == {"supply.ll", "unbalance.values"}
    assert found["120 V 121 V 119 V"] == {"supply.ln"}
    assert found["118 V 119 V 117 V"] == {"supply.low_z"}
    elsewhere = to_ground(volts, "disconnect.line", (120, 121, 119))
    assert "120 V 121 V 119 V" not in meant(with_readings(going, *here, *elsewhere))


def test_one_pair_of_a_small_supply_is_its_volts_between_legs(tmp_path: Path) -> None:
    going = typed(new_job(tmp_path), ())
    pair = (Function.VOLTS, "disconnect.line.L1", "disconnect.line.L2", "241 V")
    ground = to_ground(Function.VOLTS, "disconnect.line", (120, 121))
    found = meant(with_readings(going, pair, *ground))
    assert (found["241 V"], found["120 V 121 V"]) == ({"supply.ll"}, {"supply.ln"})
    found = meant(with_readings(going, *legs(Function.VOLTS, "contactor", (1, 2, 3), "V")[1:]))
    assert not any("V" in one for one in found), "two pairs of three are no supply"


def test_what_is_read_where_a_figure_wants_it(tmp_path: Path) -> None:
    going = typed(new_job(tmp_path), ())
    view = with_readings(
        going,
        (Function.VOLTS, "contactor.coil.1", "contactor.coil.2", "23.1 V"),
        (Function.OHMS, "compressor.lead.C", "compressor.lead.R", "1.1 ohm"),
        (Function.OHMS, "compressor.lead.S", "compressor.lead.C", "3.6 ohm"),
        (Function.INSULATION, "compressor.lead.C", "ground", "550 Mohm"),
        *((Function.CLAMP_AMPS, f"contactor.L{n}", "", f"{n}8 A") for n in (1, 2, 3)),
        *(
            (Function.MILLIVOLTS, f"contactor.L{n}", f"contactor.T{n}", f"{n}2 mV")
            for n in (1, 2, 3)
        ),
    )
    found = meant(view)
    assert found["23.1 V"] == {"coil.volts"}
    assert found["1.1 ohm"] == {"windings.cr"}
    assert found["3.6 ohm"] == {"windings.cs"}
    assert found["550 Mohm"] == {"insulation.megohms"}
    assert found["18 A 28 A 38 A"] == {"unbalance.values"}
    assert found["12 mV 22 mV 32 mV"] == {"poles.millivolts"}


# -- on the walk


def test_the_walk_stands_where_it_stood_and_nothing_is_written(tmp_path: Path) -> None:
    going = typed(new_job(tmp_path), (*TO_THE_CAPACITOR[:-2], "120 0 0"))
    before, entries = going.state, list(going.job.entries)
    asked(going, "v", "10", "2", "20.8", "24", "", "", "1", "18", "")
    assert going.talk.working is not None
    assert "nothing was entered" in asked(going, "")
    assert going.talk == QUIET
    assert going.state == before
    assert list(going.job.entries) == entries
    assert "3 of 8" in going.prompt().last


def test_a_name_typed_with_the_letter_and_one_that_no_figure_has(at_the_capacitor: Visit) -> None:
    shown = at_the_capacitor.enter("v zzz")
    assert shown.refused[:2] == ("v zzz", "  ^")
    assert at_the_capacitor.talk == QUIET
    assert "Balance of three-phase windings" in asked(at_the_capacitor, "v winding balance")


def test_stop_counts_while_a_figure_is_worked_out(at_the_capacitor: Visit) -> None:
    assert "STOP. What is it?" in asked(at_the_capacitor, "v coil", "x")
    assert "STOP. What is it?" in asked(at_the_capacitor, "", "v coil", "m", "1")
    asked(at_the_capacitor, "2")
    assert at_the_capacitor.state.stopped == "smoke"


def test_line_by_line_the_step_is_said_again_afterwards(tmp_path: Path) -> None:
    walk = loaded().walk
    assert walk is not None
    going = Visit(new_job(tmp_path), walk, Watch(), DANA)
    out = io.StringIO()
    lines = ["v", "coil", "20", "24q", "24", "", "", "", ""]
    walk_by_lines(going, asker(out, lines), out)
    said = out.getvalue()
    assert "10 Control circuit: control transformer; coil; series string" in said
    assert "volts? > " in said
    assert "    ^\n" in said
    assert "verdict: low" in said
    assert said.count(going.prompt().title) == 2

"""From readings to outcomes: cuts, too close, what is not there, what is not known."""

from __future__ import annotations

from fractions import Fraction

import pytest

from engine.formula import Measured
from engine.power import Proof
from engine.quantity import Quantity
from engine.reading import Special
from engine.session.judging import Judged, Unplaced, classify, settle_close
from engine.session.known import given_values
from tests.engine.session.walking import begin, enter, is_at, lead, small
from tests.technician import shipped

TREE = shipped()


def volts(value: str, doubt: str = "0") -> Measured:
    quantity = Quantity.of(Fraction(value), "V")
    return Measured(quantity, quantity.value - Fraction(doubt), quantity.value + Fraction(doubt))


def control(name: str) -> Measured | None:
    return volts("24") if name == "control_volts" else None


@pytest.mark.parametrize(
    ("reading", "verdict"),
    [("0", "nothing"), ("2.9", "nothing"), ("3", "low"), ("20.39", "low"), ("20.4", "good"),
     ("30", "good"), ("30.1", "too high"), ("49.9", "too high"), ("50", "line voltage")],
)  # fmt: skip
def test_a_reading_falls_in_one_band(reading: str, verdict: str) -> None:
    """85 % and 125 % of 24 V are 20.4 V and 30 V: arithmetic."""
    judged = classify(TREE.steps["r-to-c"], {"rc": volts(reading)}, control)
    assert isinstance(judged, Judged)
    assert judged.outcome.verdict == verdict
    assert not judged.close


def test_too_close_twice_takes_the_authors_verdict_where_safety_has_no_say() -> None:
    step = TREE.steps["r-to-c"]
    judged = classify(step, {"rc": volts("20.5", "0.3")}, control)
    assert isinstance(judged, Judged)
    assert judged.close
    settled = settle_close(step, judged)
    assert settled.outcome.verdict == step.close == "low"
    assert settled.key == "below least"


def test_too_close_twice_takes_the_worse_where_safety_has_a_say() -> None:
    step = TREE.steps["r-to-c"]
    judged = classify(step, {"rc": volts("49.9", "0.3")}, control)
    assert isinstance(judged, Judged)
    settled = settle_close(step, judged)
    assert settled.outcome.verdict == "line voltage", "50 V or more is the worse of the two"


def test_too_close_without_a_verdict_to_take_clears_nothing() -> None:
    step = small().steps["windings"]
    ohm = Quantity.of(Fraction("20.1"), "ohm")
    judged = classify(
        step, {"cs": Measured(ohm, Fraction("19.8"), Fraction("20.4"))}, lambda name: None
    )
    assert isinstance(judged, Judged)
    assert settle_close(step, judged).outcome.clears == ()


@pytest.mark.parametrize("special", list(Special))
def test_what_has_no_band_of_its_own_is_unplaced(special: Special) -> None:
    judged = classify(TREE.steps["r-to-c"], {"rc": special}, control)
    assert isinstance(judged, Unplaced)
    assert judged.special is special
    assert not judged.unknown


def test_ol_is_the_top_band_of_ohms() -> None:
    judged = classify(TREE.steps["string"], {"path": Special.OL}, lambda name: None)
    assert isinstance(judged, Judged)
    assert judged.outcome.verdict == "broken"


def test_a_name_that_is_not_known_is_said_and_nothing_fails() -> None:
    farads = Quantity.of(45, "uF")
    judged = classify(
        small().steps["capacitor"], {"herm": Measured.sure(farads)}, lambda name: None
    )
    assert isinstance(judged, Unplaced)
    assert judged.unknown


def test_what_is_not_there_is_left_out_of_the_least_of_several() -> None:
    technician = lead(begin(), "coils", {"r-to-c-unit": "0.2", "fuse": "OL", "short": "300 ohm"})
    enter(technician, "14.2 ohm", "not there", "12.1 ohm")
    assert technician.done.state.verdicts["coils"] == "no coil is shorted"
    assert given_values({("y", ""): None}) == {"y": ()}


def test_nothing_there_at_all_leads_to_cant() -> None:
    technician = lead(begin(), "coils", {"r-to-c-unit": "0.2", "fuse": "OL", "short": "300 ohm"})
    enter(technician, "can't read", "not there", "not there")
    assert "coils" not in {one.finding for one in technician.done.state.found}
    assert not is_at(technician.shown, "coils")


def test_a_meter_that_cannot_be_read_proves_nothing() -> None:
    technician = lead(begin(), "volts-gone")
    enter(technician, "120 0 0 unsteady 0 0 0 120")
    assert technician.done.state.power.proof[3] is Proof.NONE, "what was tried is gone, too"


def test_a_sort_over_what_was_never_read_is_stuck_and_not_the_last_band() -> None:
    technician = lead(begin(small("unread")), "leave/all-clear")
    assert "which" not in technician.done.state.verdicts

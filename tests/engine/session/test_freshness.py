"""Which readings count: known ones are used once, stale ones never, all are kept."""

from __future__ import annotations

from datetime import datetime

from engine.entries import Entry, EntryKind, Said
from engine.session.folding import fold
from tests.engine.session.walking import begin, enter, is_at, lead
from tests.technician import Technician, shipped

TREE = shipped()


def known(technician: Technician, step: str, *said: Said) -> Technician:
    """Give readings out of order."""
    n = technician.entries[-1].n + 1 if technician.entries else 1
    time = datetime.isoformat(technician.clock)
    technician.take(Entry(n, time, "Ana", EntryKind.KNOWN, step=step, said=said))
    return technician


def ohms(name: str, value: str) -> Said:
    return Said(name, "", value, "resistance", "1/10", "0", f"{value} ohm", "ohm")


def test_a_reading_given_beforehand_is_used_and_not_asked() -> None:
    technician = known(lead(begin(), "handle"), "string", ohms("path", "100000000"))
    lead(technician, "string-middle")
    silent = [one for one in technician.done.state.passed if one.step == "string"]
    assert [one.verdict for one in silent] == ["broken"]
    assert silent[0].silent


def test_a_known_reading_performs_no_act() -> None:
    technician = known(
        lead(begin(), "handle"),
        "r-to-c-unit",
        Said("rc", "", "24", "voltage", "1/10", "0", "24.0", "V"),
    )
    before = technician.done.state.power
    assert fold(TREE, technician.entries).power == before
    lead(technician, "before-the-lock")
    assert technician.done.state.verdicts["r-to-c-unit"] == "good"
    asked = [one.step for one in technician.done.state.passed]
    assert "enter unit live/cover-off" not in asked, "no box is opened for what is known"


def test_a_reading_that_answers_the_step_at_hand_passes_it_at_once() -> None:
    technician = known(lead(begin(), "string"), "string", ohms("path", "100000000"))
    assert is_at(technician.shown, "string-middle")


def test_a_known_reading_answers_a_step_once() -> None:
    technician = known(lead(begin(), "handle"), "string", ohms("path", "100000000"))
    lead(technician, "string-middle")
    took = next(one for key, one in technician.done.state.taken.items() if key.b == "string.end")
    assert took.answered == {"string"}


def test_energising_makes_what_was_read_there_stale_and_keeps_it() -> None:
    answers = {"string": "OL", "string-middle": "OL", "first-half/drain float/float": "OL"}
    technician = lead(begin(), "put-back/call", answers | {"pan": "1"})
    state = technician.done.state
    assert state.taken
    dead = [took for key, took in state.taken.items() if key.when == "dead"]
    assert dead
    assert all(took.stale for took in dead)


def test_a_repair_makes_what_was_read_in_its_zone_stale() -> None:
    answers = {"r-to-c-unit": "0.2", "fuse": "OL", "short": "300 ohm", "coils": "14 ohm"}
    technician = lead(begin(), "repair fuse-only", answers)
    fresh = {key.a for key, took in technician.done.state.taken.items() if not took.stale}
    assert "control_fuse.line" in fresh
    enter(technician, "1")
    stale = {key.a for key, took in technician.done.state.taken.items() if took.stale}
    assert "control_fuse.line" in stale
    assert "contactor.L1" not in stale, "another zone"


def test_a_stale_reading_is_asked_again() -> None:
    answers = {"r-to-c-unit": "0.2", "fuse": "OL", "short": "300 ohm", "coils": "14 ohm"}
    technician = lead(begin(), "repair fuse-only", answers)
    enter(technician, "1")
    lead(technician, "display")
    enter(technician, "over", "still blank")
    lead(technician, "fuse-again")


def test_not_now_is_no_repair() -> None:
    answers = {"r-to-c-unit": "0.2", "fuse": "OL", "short": "300 ohm", "coils": "14 ohm"}
    technician = lead(begin(), "repair fuse-only", answers)
    enter(technician, "not now")
    assert not any(took.stale for took in technician.done.state.taken.values())
    assert technician.done.state.found[-1].work == "not now"

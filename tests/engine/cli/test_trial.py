"""The command ``trial``: its contract, what it shows, and every way it is given the wrong thing."""

from __future__ import annotations

import io
import json
from concurrent.futures import Executor
from pathlib import Path

import pytest

from engine.cli import main, trial
from engine.cli.exits import Exit
from engine.cli.trial_table import as_lines
from engine.loader.outcomes import read_outcomes
from engine.trial.result import By, OfFault, Result, Totals, Trial
from engine.trial.walked import Closeness

TREE, UNIT = "blank-thermostat", "3-ton-high-leg"
KEYS = {"unit", "tree", "samples", "seed", "faults", "totals", "neither", "alone", "missed"}
OF_FAULT = {
    "fault", "belongs", "result", "finding", "group", "by", "seen",
    "checks", "minutes", "best_minutes", "blame",
}  # fmt: skip
"""What design and documentation promise of each fault that belongs."""


class Terminal(io.StringIO):
    """Output that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def run(*words: str, err: io.StringIO | None = None) -> tuple[int, str, str]:
    out, said = io.StringIO(), err or io.StringIO()
    code = main.main(("trial", *words), lambda _: 9, out, said)
    return code, out.getvalue(), said.getvalue()


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path))
    return tmp_path


def test_the_contract_of_its_data_and_what_is_kept(home: Path) -> None:
    code, out, said = run(TREE, "--unit", UNIT, "--samples", "1", "--json", "--save")
    data = json.loads(out)
    assert set(data) == KEYS
    assert (data["tree"], data["unit"], data["samples"], data["seed"]) == (TREE, UNIT, 1, 1)
    there = [one for one in data["faults"] if one["belongs"]]
    assert len(there) == data["totals"]["faults"] >= 8
    assert all(set(one) >= OF_FAULT for one in there)
    assert len(data["faults"]) > len(there)
    assert code == (Exit.PROBLEMS if data["missed"] else Exit.FINE)
    path = home / "trees" / f"{TREE}.outcomes.json"
    assert f"What the steps showed is kept in {path}." in said
    assert "rows walked" in said
    kept = read_outcomes(path)
    assert set(kept.units) == {UNIT}
    assert kept.units[UNIT].samples == 1
    assert max(len(by) for by in kept.units[UNIT].steps.values()) > 5


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((TREE,), "the following arguments are required: --unit"),
        ((TREE, "--unit", UNIT, "--samples", "-3"), "--samples is -3; it is at least 0."),
        ((TREE, "--unit", UNIT, "--workers", "0"), "--workers is 0; it is at least 1."),
        ((TREE, "--unit", UNIT, "--samples", "many"), "invalid int value: 'many'"),
    ],
)
def test_a_wrong_command_line(words: tuple[str, ...], said: str) -> None:
    code, out, err = run(*words)
    assert (code, out) == (Exit.USAGE, "")
    assert said.casefold() in err.casefold()
    assert "usage: halfsplit trial TREE --unit UNIT" in err


def test_a_unit_and_a_tree_that_are_not_there_are_told_with_the_nearest() -> None:
    code, out, err = run("blank-thermostats", "--unit", "3-ton-high-legs")
    assert (code, out) == (Exit.PROBLEMS, "")
    assert "Did you mean blank-thermostat?" in err
    assert "Did you mean 3-ton-high-leg?" in err


def test_a_tree_that_says_nothing_of_what_is_shown(tmp_path: Path) -> None:
    there = Path(__file__).parents[2] / "data" / "trees" / "hums-and-stops.yaml"
    text = there.read_text(encoding="utf-8")
    path = tmp_path / "hums-and-stops.yaml"
    path.write_text(text.replace(", shows: compressor hums", ""), encoding="utf-8", newline="\n")
    code, _, err = run(str(path), "--unit", UNIT)
    assert code == Exit.PROBLEMS
    assert "hums-and-stops does not say what a unit with its complaint shows. Write it" in err


def test_a_tree_about_a_part_that_the_unit_lacks(tmp_path: Path) -> None:
    there = Path(__file__).parents[2] / "data" / "trees" / "hums-and-stops.yaml"
    text = there.read_text(encoding="utf-8")
    path = tmp_path / "hums-and-stops.yaml"
    path.write_text(
        text.replace("shows: compressor hums", "shows: inducer hums"),
        encoding="utf-8",
        newline="\n",
    )
    code, _, err = run(str(path), "--unit", UNIT)
    assert code == Exit.PROBLEMS
    assert "inducer" in err


def test_ctrl_c_stops_it_with_a_word(monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(*_: object) -> list[object]:
        raise KeyboardInterrupt

    monkeypatch.setattr(trial, "try_tree", stopped)
    code, out, err = run(TREE, "--unit", UNIT, "--samples", "0")
    assert (code, out) == (Exit.STOPPED, "")
    assert err.endswith("\nStopped.\n")


def test_the_bar_fills_in_its_place(monkeypatch: pytest.MonkeyPatch) -> None:
    err = Terminal()
    watch = trial._Watch(8, err)
    for _ in range(4):
        watch.more(2)
    shown = err.getvalue().split("\r")
    assert shown[1] == f"[{'.' * 24}]   0 %"
    assert shown[-1] == f"[{'#' * 24}] 100 %\n"
    assert all(len(one.rstrip()) <= 40 for one in shown)


def test_more_workers_are_a_pool_of_processes(monkeypatch: pytest.MonkeyPatch) -> None:
    given: list[object] = []

    class Pool(Executor):
        """Stands for the pool: it says how many it was made for."""

        def __init__(self, number: int, initializer: object) -> None:
            given.append(number)

    monkeypatch.setattr(trial, "ProcessPoolExecutor", Pool)
    with trial._workers(1) as none, trial._workers(3) as three:
        assert none is None
        assert isinstance(three, Pool)
    assert given == [3]


# --- the table ----------------------------------------------------------------------------------

FAULTS = (
    OfFault("burnt lug leg 1", "loose-lug", 0.1, Result.ISOLATED, "loose-lug", ("loose-lug",),
            By.SOLVED, 12, 31.0, 24.0, rows=100, closest=(Closeness("volts", "below 3 V", 0.4),)),
    OfFault("wire rubbed through at the load side of the contactor", "rubbed-wire", 0.1,
            Result.WRONG, "x", ("x",), By.STATED, 9, 22.0, None, "look-at-the-wires",
            "x was found, and it was rubbed-wire.", 100, 3),
    OfFault("thermostat dead", "thermostat-dead", 0.1, Result.GROUP, "b", ("a", "b"), By.STATED, 4,
            10.0, rows=100),
)  # fmt: skip
MADE = Trial(
    TREE, UNIT, 100, 1, FAULTS,
    Totals(3, 1.0, 0.667, 0.667, 1.33, 0.5, 21.0, None, 300, 0.02, 0, 4, 0.75),
    neither=(("burnt lug leg 1", "thermostat dead"),),
)  # fmt: skip


@pytest.mark.parametrize("columns", [40, 60, 80, 84, 100, 200])
def test_a_table_fits_its_columns(columns: int) -> None:
    lines = list(as_lines(MADE, columns))
    assert max(len(line) for line in lines) <= columns
    text = " ".join(" ".join(lines).split())
    for word in ("isolated", "solved", "stated", "look-at-the-wires", "found after a"):
        assert word in text
    assert "Found as something else" in text
    assert "Wrong under tolerance in 2 %; at most 1 %." in text
    assert "Close: volts, below 3 V, 0.4 of the meter's accuracy (burnt lug leg 1)." in text
    assert "Of 4 pairs of faults one of the two was found in 75 %." in text
    assert "Neither found: burnt lug leg 1 with thermostat dead." in text


def test_where_every_goal_is_met_the_table_says_so() -> None:
    fine = Trial(TREE, UNIT, 0, 1, FAULTS[:1], Totals(1, 1, 1, 1, 1, 0, 31, 24, 0, 0, 0))
    assert fine.missed == ()
    lines = list(as_lines(fine, 100))
    assert lines[-1] == "Every goal is met."
    assert "Minutes to the finding 31, best order 24." in lines

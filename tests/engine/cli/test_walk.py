"""``halfsplit walk``: answers from a file, and the same answers typed line by line."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from engine.cli.exits import Exit
from engine.cli.plain import asker, walk_by_lines
from engine.cli.walk import run
from engine.guide.actions import REASONS
from engine.guide.casework import NOON
from engine.guide.headless import Alike, walk_through
from engine.guide.talk import Mode, View
from engine.guide.visit import Visit
from engine.job.store import Header, create
from engine.loader.heads import heads
from engine.loader.library import cases_of
from engine.session.state import State
from tests.technician import shipped

ROOT = Path(__file__).resolve().parents[3]
READINGS = """format: 1
readings for: blank-thermostat
nameplate: {thermostat_power: batteries, battery_volts: 3 V}
answers:
  story: nothing special
  size-up: fit
  r-to-c: 0.2 V
  batteries: 2.2 V
  call: called
  display: lit and running
  under-load: 24.1 V
  runs-on: runs on
"""
EVERY = 120
"""Of so many cases of a tree one is typed here; all of them in tests/long/."""


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Keep jobs in a folder of the test's own."""
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path / "home"))
    return tmp_path


def written(folder: Path, text: str = READINGS) -> str:
    file = folder / "wall.readings.yaml"
    file.write_text(text, encoding="utf-8", newline="\n")
    return str(file)


def walk(*words: str) -> tuple[int | None, str, str]:
    out, err = io.StringIO(), io.StringIO()
    return run(words, out, err), out.getvalue(), err.getvalue()


def test_data_goes_to_stdout_and_narration_to_stderr(tmp_path: Path) -> None:
    file = written(tmp_path, READINGS + "  coils: 12 ohm\n")
    done = subprocess.run(
        [sys.executable, "-m", "tui", "walk", "blank-thermostat", "--readings", file, "--json"],
        cwd=ROOT,
        env={**os.environ, "HALFSPLIT_HOME": str(tmp_path / "home")},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == Exit.FINE
    told: Any = json.loads(done.stdout)
    assert {"tree", "revision", "steps", "finding", "end", "missing"} <= set(told)
    assert (told["finding"], told["end"], told["missing"]) == ("batteries-flat", "in service", None)
    assert done.stderr == "The walk never came by coils; its answer was not used.\n"


def test_a_missing_answer_ends_with_one_and_says_which(tmp_path: Path) -> None:
    code, out, _ = walk("--readings", written(tmp_path, READINGS[: READINGS.index("  call")]))
    assert code == Exit.PROBLEMS
    assert out.endswith("No answer was given for call; the walk stops there.\n")


def test_an_answer_that_is_not_taken_ends_with_one(tmp_path: Path) -> None:
    file = written(tmp_path, READINGS.replace("0.2 V", "0.2 A"))
    code, out, _ = walk("blank-thermostat", "--readings", file)
    assert code == Exit.PROBLEMS
    assert "voltage is asked here" in out


def test_the_tree_may_be_left_out_or_given_by_its_path(tmp_path: Path) -> None:
    file = written(tmp_path)
    path = str(ROOT / "trees" / "thermostat" / "blank-thermostat.yaml")
    told = {walk(*words, "--readings", file, "--json")[1] for words in ((), (path,))}
    assert len(told) == 1


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("no-such-tree", "--readings", "FILE"), Exit.PROBLEMS, "no-tree"),
        (("blank-thermostat", "--readings", "none.yaml"), Exit.PROBLEMS, "none.yaml"),
        (("unit-trips-breaker", "--readings", "FILE"), Exit.PROBLEMS, "holds readings for"),
        (("--plain",), Exit.USAGE, "Name a tree, or a job with --job."),
        (("a", "b"), Exit.USAGE, "usage"),
        (("--help",), Exit.FINE, ""),
    ],
)
def test_what_cannot_be_walked_is_said(
    words: tuple[str, ...], code: Exit, says: str, tmp_path: Path
) -> None:
    file = written(tmp_path)
    ended, out, err = walk(*(file if word == "FILE" else word for word in words))
    assert ended == code
    assert says in err
    assert "Traceback" not in out + err


def test_without_a_file_and_not_plain_a_screen_is_wanted() -> None:
    assert walk("blank-thermostat") == (None, "", "")


def test_every_demo_walks_to_its_end() -> None:
    demos = sorted((ROOT / "trees" / "demo").glob("*.readings.yaml"))
    assert demos
    for demo in demos:
        code, out, err = walk("--readings", str(demo), "--json")
        assert (code, err) == (Exit.FINE, ""), demo.name
        assert json.loads(out)["end"], demo.name


# The same answers, typed


def typed_alike(tree: str, first: int, step: int) -> int:
    """Return how many cases of a tree come to the same walked from a file and typed."""
    walk_tree = shipped(tree)
    cases, _ = cases_of(tree, walk=walk_tree)
    assert cases is not None
    chosen = list(cases.cases.values())[first::step]
    for case in chosen:
        alike = Alike(walk_tree)
        walked = walk_through(walk_tree, case.nameplate, case.answers, start=NOON, alike=alike)
        state = typed(tree, tuple(_lines(alike)))
        assert told(state) == told(walked.view.state), case.name
    return len(chosen)


def _lines(alike: Alike) -> Iterator[str]:
    """Yield what was answered on a walk, in order."""
    said = {view: (text, came.after) for (view, text), came in alike.seen.items() if view}
    view: object = alike.seen[0, ""].before
    while isinstance(view, View) and id(view) in said:
        text, view = said[id(view)]
        yield text


def told(state: State) -> tuple[object, ...]:
    return (
        state.words,
        state.numbers,
        state.verdicts,
        [(one.step, one.verdict) for one in state.passed],
        [(one.finding, one.work) for one in state.found],
        state.power,
        state.end,
        state.step,
    )


def typed(tree: str, lines: tuple[str, ...]) -> State:
    """Return the state that lines typed at the line by line walk come to."""
    with tempfile.TemporaryDirectory() as folder:
        job = create(Path(folder), Header("", NOON.isoformat(), ""))
        visit = Visit(job, shipped(tree), _Clock(), "")

        def hands() -> Iterator[str]:
            for line in lines:
                reason = line.removeprefix("can't ")
                yield f"c {REASONS.index(reason) + 1}" if reason != line else line
                if visit.talk.mode is Mode.SURE:
                    yield "1"

        walk_by_lines(visit, asker(io.StringIO(), hands()), io.StringIO())
        return visit.state


class _Clock:
    def __init__(self) -> None:
        self.now = datetime(2026, 1, 1, 12, tzinfo=UTC)

    def __call__(self) -> datetime:
        """Return the time, a tenth of a second later each time."""
        self.now += timedelta(milliseconds=100)
        return self.now


@pytest.mark.parametrize("tree", sorted(head.name for head in heads()))
def test_answers_typed_line_by_line_come_to_the_same(tree: str) -> None:
    assert typed_alike(tree, 3, EVERY) >= 1

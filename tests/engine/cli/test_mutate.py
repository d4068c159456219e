"""``halfsplit check --mutate TREE``: who notices slips, in words, as data, and by exit code."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator, Sequence
from itertools import islice
from pathlib import Path
from shutil import copytree

import pytest

from engine.cli.check import run
from engine.cli.exits import Exit
from engine.mutation.mutant import Mutant
from engine.mutation.trying import Trial, Tried
from tests.engine.mutation.slips import CASES, SHELF, TREE


@pytest.fixture
def tree(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the small tree with its cases beside it."""
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path / "home"))
    copytree(SHELF, tmp_path / "shelf")
    text = CASES.read_text(encoding="utf-8")
    beside = tmp_path / "shelf" / CASES.name
    beside.write_text(text, encoding="utf-8", newline="\n")
    return tmp_path / "shelf" / TREE.name


def mutate(*words: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    return run(("--mutate", *words), out, err), out.getvalue(), err.getvalue()


def test_a_sample_is_told_in_words(tree: Path) -> None:
    code, out, err = mutate(str(tree))
    lines = out.splitlines()
    assert code == Exit.PROBLEMS
    assert lines[0] == "fan-stopped: 60 of 87 slips tried (seed 1; --all tries every one)"
    assert [line.split() for line in lines if line.startswith("for the ")] == [
        ["for", "the", "proof", "tried", "noticed"],
        ["for", "the", "cases", "tried", "noticed"],
    ]
    assert ["prove", "dead", "left", "out", "1", "1"] in [line.split() for line in lines]
    assert "goal 95 % and more." in " ".join(out.split())
    assert err.splitlines() == [f"{count} of 60 slips tried" for count in (20, 40, 60)]


def test_every_slip_as_data(tree: Path) -> None:
    code, out, _ = mutate(str(tree), "--all", "--json")
    told = json.loads(out)
    assert (told["tree"], told["tried"], told["of"]) == ("fan-stopped", 87, 87)
    assert sum(row["tried"] for row in told["operators"]) == 87
    assert len(told["slips"]) == 87
    assert (code == Exit.FINE) is told["goals"]["met"]
    survived = [one for one in told["slips"] if one["fate"] == "survived"]
    moved = next(one for one in survived if one["change"].startswith('"up to 200 ohm" ends at 80'))
    assert moved["write"] == (
        'Write a case that reads 160 ohm to 200 ohm, where "whole" → leave becomes '
        '"open" → finding fan-winding, at windings, and say what comes of it.'
    )
    killed = next(one for one in told["slips"] if one["fate"] == "killed by the cases")
    assert killed["by"] in ("capacitor weak", "winding open", "supply a little low")
    assert killed["write"] == ""


def test_the_same_seed_draws_the_same(tree: Path) -> None:
    told = [
        [one["change"] for one in json.loads(mutate(str(tree), "--json", *words)[1])["slips"]]
        for words in ((), ("--seed", "1"), ("--seed", "2"))
    ]
    assert told[0] == told[1] != told[2]


@pytest.mark.parametrize("columns", [40, 100])
def test_it_is_told_in_the_columns_that_there_are(
    tree: Path, columns: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    _, out, _ = mutate(str(tree))
    assert max(map(len, out.splitlines())) <= columns
    counts = [line.split()[-2:] for line in out.splitlines() if re.search(r" \d+ +\d+$", line)]
    assert sum(int(tried) for tried, _ in counts) == 60


def test_stopped_on_the_way_it_tells_of_those_tried(
    tree: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole, several = Trial.tried, 7

    def stopped(trial: Trial, mutants: Sequence[Mutant]) -> Iterator[Tried]:
        yield from islice(whole(trial, mutants), several)
        raise KeyboardInterrupt

    monkeypatch.setattr(Trial, "tried", stopped)
    code, out, err = mutate(str(tree))
    assert (code, err) == (Exit.STOPPED, "\nStopped.\n")
    assert out.startswith("fan-stopped: 7 of 87 slips tried")
    code, out, _ = mutate(str(tree), "--json")
    assert (code, json.loads(out)["tried"]) == (Exit.STOPPED, 7)


def test_what_goes_beyond_the_rules_is_told_with_its_why(tree: Path) -> None:
    beside = tree.with_name(CASES.name)
    text = beside.read_text(encoding="utf-8")
    why = "The roof is another place than the wall."
    beyond = f"beyond the rules: {{before: {why}, leave/all-clear: Nobody worked since.}}\ncases:"
    text = text.replace("\ncases:\n", f"\n{beyond}\n", 1)
    beside.write_text(text, encoding="utf-8", newline="\n")
    _, out, _ = mutate(str(tree), "--all")
    assert f"Beyond the rules: {why}" in " ".join(out.split())
    assert "the proof did not notice: 0; goal 0." in " ".join(out.split())


def test_a_wrong_case_is_told_and_fails(tree: Path) -> None:
    beside = tree.with_name(CASES.name)
    text = beside.read_text(encoding="utf-8")
    beside.write_text(text.replace("4.5 uF", "5.00 uF"), encoding="utf-8", newline="\n")
    code, _, err = mutate(str(tree))
    assert code == Exit.PROBLEMS
    assert "The case capacitor weak is wrong of the tree as it is, and left out." in err


def test_a_tree_that_can_not_be_walked(tree: Path) -> None:
    code, out, err = mutate("no-such-tree")
    assert (code, out) == (Exit.PROBLEMS, "")
    assert "no-such-tree" in err

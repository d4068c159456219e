"""``halfsplit check --diff OLD NEW``: what a revision changes for who walks it."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from engine.cli.check import run
from engine.cli.exits import Exit
from tests.engine.revision.revised import TREE, revised

LINE = (
    'Start winding of the fan: 150 ohm to 200 ohm was "whole" → leave, '
    'is now "open" → finding fan-winding.'
)


@pytest.fixture
def trees(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[str, str]:
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path / "home"))
    revised(tmp_path / "old")
    revised(tmp_path / "new", ("up to 200 ohm", "up to 150 ohm"), ("revision: 3", "revision: 4"))
    return str(tmp_path / "old" / TREE), str(tmp_path / "new" / TREE)


def diff(*words: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    code = run(["--diff", *words], out, err)
    return code, out.getvalue(), err.getvalue()


def test_what_is_different_is_told_a_line_each(trees: tuple[str, str]) -> None:
    code, out, err = diff(*trees)
    assert (code, err) == (Exit.FINE, "")
    assert out.splitlines() == ["fan-stopped: revision 3 then, 4 now.", LINE]


def test_the_same_tree_by_its_id(trees: tuple[str, str]) -> None:
    code, out, _ = diff("blank-thermostat", "blank-thermostat")
    assert code == Exit.FINE
    assert "nothing that a walk shows is different" in out


def test_as_json(trees: tuple[str, str]) -> None:
    code, out, _ = diff(*trees, "--json")
    assert code == Exit.FINE
    assert json.loads(out) == {
        "tree": "fan-stopped",
        "revisions": [3, 4],
        "moved": [
            {
                "step": "Start winding of the fan",
                "answer": "150 ohm to 200 ohm",
                "was": '"whole" → leave',
                "now": '"open" → finding fan-winding',
                "example": "",
            }
        ],
        "added": [],
        "removed": [],
        "renamed": [],
        "changed": [],
    }


def test_two_trees_that_are_not_the_same_are_not_compared(trees: tuple[str, str]) -> None:
    code, out, err = diff(trees[0], "blank-thermostat")
    assert (code, out) == (Exit.PROBLEMS, "")
    assert err == f"{trees[0]} is fan-stopped, and blank-thermostat is blank-thermostat.\n"


def test_a_tree_that_cannot_be_walked_is_a_problem(trees: tuple[str, str]) -> None:
    code, out, err = diff(trees[0], "no-such-tree")
    assert (code, out) == (Exit.PROBLEMS, "")
    assert "There is no tree called no-such-tree." in err


def test_one_tree_alone_is_wrong_usage(trees: tuple[str, str]) -> None:
    code, out, err = diff(trees[0])
    assert (code, out) == (Exit.USAGE, "")
    assert "--diff" in err

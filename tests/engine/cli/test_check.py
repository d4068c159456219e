"""``halfsplit check``: every problem of what is named, and of everything where nothing is."""

from __future__ import annotations

import io
import json
import shutil
from pathlib import Path

import pytest

from engine.cli.check import run
from engine.cli.exits import Exit
from engine.loader.heads import heads

ROOT = Path(__file__).resolve().parents[3]
BROKEN = ROOT / "tests" / "broken_trees"
HUMS = ROOT / "tests" / "engine" / "session" / "hums.yaml"


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Look for the shop's own trees in a folder of the test's own."""
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


def check(*words: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    return run(words, out, err), out.getvalue(), err.getvalue()


def test_a_good_tree_has_no_problem_and_says_what_it_holds() -> None:
    code, out, err = check("blank-thermostat")
    assert (code, err) == (Exit.FINE, "")
    held, proved, cost, problems = out.splitlines()
    assert held.startswith("blank-thermostat: ")
    assert proved.startswith("  proved: R1 to R13, ")
    assert cost.startswith("  to the finding: best ")
    assert problems == "No problems."


def test_every_problem_is_printed_with_its_place_and_counted() -> None:
    code, out, _ = check(str(BROKEN / "duplicate-key.yaml"), str(BROKEN / "tab-indent.yaml"))
    assert code == Exit.PROBLEMS
    lines = out.splitlines()
    assert [line.split()[1] for line in lines[:2]] == ["duplicate-key", "tab-indent"]
    assert lines[-1] == "2 problems."


def test_a_file_checked_twice_has_its_problems_once() -> None:
    file = str(BROKEN / "duplicate-key.yaml")
    assert check(file, file)[1].endswith("1 problem.\n")


def test_a_tree_without_cases_has_one_problem_and_not_one_for_each_finding() -> None:
    code, out, _ = check(str(HUMS))
    assert code == Exit.PROBLEMS
    assert out.count(" no-case ") == 1
    assert "Write fan-hums.cases.yaml, one case for each finding." in out


def test_a_finding_without_a_case_is_a_problem(tmp_path: Path) -> None:
    tree = tmp_path / HUMS.name
    tree.write_text(HUMS.read_text(encoding="utf-8"), encoding="utf-8", newline="\n")
    cases = "format: 1\ncases for: fan-hums\ncases: {none yet: {answers: {}}}\n"
    tree.with_name(f"{HUMS.stem}.cases.yaml").write_text(cases, encoding="utf-8", newline="\n")
    _, out, _ = check(str(tree))
    assert out.count(" no-case No case comes to the finding ") == 2


def test_json_has_exactly_these_names(tmp_path: Path) -> None:
    code, out, _ = check(str(HUMS), "--json")
    told = json.loads(out)
    assert code == Exit.PROBLEMS
    assert set(told) == {"problems", "trees"}
    assert set(told["problems"][0]) == {
        "path", "line", "column", "code", "severity", "sentence", "fix",
    }  # fmt: skip
    (tree,) = told["trees"]
    assert set(tree) == {"tree", "steps", "findings", "suspects", "cases", "properties", "costs"}
    assert set(tree["properties"].values()) <= {"proved", "refuted", "not proved"}
    assert set(tree["costs"]["expected"]) == {"minutes", "checks"}
    assert (tree["tree"], tree["findings"], tree["cases"]) == ("fan-hums", 2, 0)


def test_a_folder_is_all_that_is_in_it(tmp_path: Path) -> None:
    folder = tmp_path / "shop" / "trees"
    folder.mkdir(parents=True)
    for name in ("duplicate-key", "no-head"):
        shutil.copy(BROKEN / f"{name}.yaml", folder)
    _, out, _ = check(str(folder))
    assert {line.split()[1] for line in out.splitlines()[:-1]} == {"duplicate-key", "no-head"}


def test_without_a_name_every_tree_is_checked_the_shops_own_beside_the_shipped(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("engine.cli.check.problems_of", lambda walk, cases: ())
    own = home / "trees"
    own.mkdir(parents=True)
    text = HUMS.read_text(encoding="utf-8").replace("tree: fan-hums", "tree: blank-thermostat")
    (own / "mine.yaml").write_text(text, encoding="utf-8", newline="\n")
    _, out, _ = check("--json")
    told = json.loads(out)
    names = [tree["tree"] for tree in told["trees"]]
    assert sorted(names) == sorted([*(head.name for head in heads()), "blank-thermostat"])
    assert len({(tree["tree"], tree["steps"]) for tree in told["trees"]}) == len(names)


@pytest.mark.parametrize("name", ["blank-thermostt", "none.yaml", "no/such/folder"])
def test_what_is_not_there_is_a_problem_in_a_sentence(name: str) -> None:
    code, out, err = check(name)
    assert code == Exit.PROBLEMS
    assert name in out
    assert "Traceback" not in out + err


def test_a_wrong_word_is_wrong_usage() -> None:
    code, _, err = check("--jsn")
    assert code == Exit.USAGE
    assert "usage" in err


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_on_a_narrow_terminal_nothing_is_cut_and_no_word_broken(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    out = _Terminal()
    assert run((str(HUMS),), out, io.StringIO()) == Exit.PROBLEMS
    lines = out.getvalue().splitlines()
    assert all(len(line) <= 40 for line in lines)
    assert "no-case" in " ".join(lines)
    assert "  Write fan-hums.cases.yaml, one case" in lines
    assert lines[-1] == "1 problem."


def test_a_folder_with_nothing_in_it_is_not_without_problems(tmp_path: Path) -> None:
    code, out, _ = check(str(tmp_path))
    assert code == Exit.PROBLEMS
    assert "no-tree No file in this folder ends in .yaml." in out

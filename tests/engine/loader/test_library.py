"""Finding trees, loading one with what it uses, and what a load may cost."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from engine.loader import library
from engine.loader.loading import Loader
from engine.loader.shelves import Found, shelves
from engine.problems import Severity, Span

TESTS = Path(__file__).parents[2]
HUMS = TESTS / "data" / "trees" / "hums-and-stops.yaml"
SHIPPED = TESTS.parent / "trees"

SMALL = """\
format: 1
tree: {name}
title: {title}
complaint: {{said as: [it is off]}}
revision: 3
status: draft
layout: single feed
if stuck: away
suspects:
  loose-wire: {{title: Loose wire}}
start: look
steps:
  look: {{act: ask, choices: {{loose: {{finds: loose-wire}}, whole: away}}}}
  away: {{stage: any, use: withdraw}}
findings:
  loose-wire:
    suspect: loose-wire
    zone: unit
    box: control box
    repair: A new end.
    tell customer: A wire was loose.
    then: away
"""


def own(home: Path, name: str, title: str = "Own", place: str = "") -> Path:
    """Write a small tree on a home's shelf; return its path."""
    path = home / "trees" / place / f"{name}.yaml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(SMALL.format(name=name, title=title), encoding="utf-8", newline="\n")
    return path


# --- lists ----------------------------------------------------------------------------------------


def test_a_list_has_the_homes_own_trees_before_the_shipped_ones(tmp_path: Path) -> None:
    own(tmp_path, "unit-off", place="power")
    own(tmp_path, "blank-thermostat", "Our own")
    found = list(library.heads(tmp_path))
    assert [(head.name, head.shipped) for head in found[:2]] == [
        ("blank-thermostat", False),
        ("unit-off", False),
    ]
    assert any(head.name == "blank-thermostat" and head.shipped for head in found)
    assert found[0].title == "Our own"
    assert (found[0].said_as, found[0].revision, found[0].status) == (("it is off",), "3", "draft")


def test_a_list_reads_no_further_than_the_head(tmp_path: Path) -> None:
    path = own(tmp_path, "unit-off")
    with path.open("a", encoding="utf-8", newline="\n") as file:
        file.write("steps: {not: closed\n\tand: worse\n")
    (head,) = [head for head in library.heads(tmp_path) if not head.shipped]
    assert head.name == "unit-off"


def test_a_list_passes_over_what_is_no_tree(tmp_path: Path) -> None:
    folder = own(tmp_path, "unit-off").parent
    (folder / "notes.yaml").write_text("unit: a simulated one\n", encoding="utf-8")
    (folder / "broken.yaml").write_bytes(b"\xff\xfe\x00")
    (folder / "unit-off.cases.yaml").write_text("cases for: unit-off\n", encoding="utf-8")
    own(tmp_path, "withdraw", place="procedures")
    assert [head.name for head in library.heads(tmp_path) if not head.shipped] == ["unit-off"]


def test_without_a_home_the_shipped_trees_are_there(tmp_path: Path) -> None:
    assert all(head.shipped for head in library.heads())
    assert [head.name for head in library.heads(tmp_path / "nowhere")] == [
        head.name for head in library.heads()
    ]


# --- one tree -------------------------------------------------------------------------------------


def test_a_tree_is_loaded_by_its_id(tmp_path: Path) -> None:
    own(tmp_path, "unit-off")
    loaded = library.load("unit-off", tmp_path)
    assert loaded.problems == ()
    assert loaded.walk is not None
    assert loaded.walk.tree.name == "unit-off"
    assert loaded.walk.digest == loaded.digest


def test_the_id_counts_and_not_the_name_of_the_file(tmp_path: Path) -> None:
    own(tmp_path, "unit-off").rename(tmp_path / "trees" / "older.yaml")
    assert library.load("unit-off", tmp_path).walk is not None


def test_of_two_with_one_id_the_homes_own_counts(tmp_path: Path) -> None:
    own(tmp_path, "blank-thermostat", "Our own")
    loaded = library.load("blank-thermostat", tmp_path)
    assert loaded.walk is not None
    assert loaded.walk.tree.title == "Our own"


def test_a_tree_is_loaded_by_its_path_from_any_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert library.load(str(HUMS)).walk is not None
    (tmp_path / "here.yaml").write_bytes(HUMS.read_bytes())
    assert library.load("here.yaml").walk is not None


def test_the_example_of_the_format_loads_as_written() -> None:
    loaded = library.load(str(HUMS))
    assert loaded.problems == ()
    assert loaded.walk is not None
    assert loaded.walk.steps["capacitor"].close == "weak"
    assert loaded.walk.tree.suspects["weak-capacitor"].title == "Run capacitor weak or failed"


def test_an_unknown_tree_offers_the_nearest() -> None:
    loaded = library.load("blank-termostat")
    (problem,) = loaded.problems
    assert loaded.walk is None
    assert problem.code == "no-tree"
    assert "blank-thermostat" in problem.fix


def test_a_file_that_is_not_there_is_a_problem(tmp_path: Path) -> None:
    loaded = library.load(str(tmp_path / "gone.yaml"))
    assert [problem.code for problem in loaded.problems] == ["not-opened"]
    assert loaded.walk is None


@pytest.mark.parametrize("file", ["procedures/prove-dead.yaml", "vocabulary.yaml"])
def test_a_sound_file_that_holds_no_tree_is_never_passed_over_in_silence(file: str) -> None:
    path = SHIPPED / file
    assert library.check(path) == ()
    loaded = library.load(str(path))
    (problem,) = loaded.problems
    assert loaded.walk is None
    assert problem.code == "no-tree"
    assert problem.span.path == str(path)


def test_a_tree_with_a_problem_that_stops_it_is_not_walked(tmp_path: Path) -> None:
    path = own(tmp_path, "unit-off")
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("whole: away", "whole: awry"), encoding="utf-8", newline="\n")
    loaded = library.load("unit-off", tmp_path)
    assert loaded.walk is None
    assert [problem.severity for problem in loaded.problems] == [Severity.STOPS]


def test_a_tree_with_something_to_mend_is_walked(tmp_path: Path) -> None:
    path = own(tmp_path, "unit-off")
    text = path.read_text(encoding="utf-8").replace("steps:\n", "steps:\n  spare: {act: tell}\n")
    path.write_text(text, encoding="utf-8", newline="\n")
    loaded = library.load("unit-off", tmp_path)
    assert [problem.code for problem in loaded.problems] == ["unreachable"]
    assert loaded.walk is not None


def test_problems_of_a_procedure_are_told_with_the_tree_that_uses_it(tmp_path: Path) -> None:
    own(tmp_path, "unit-off")
    folder = tmp_path / "trees" / "procedures"
    folder.mkdir()
    text = (SHIPPED / "procedures" / "withdraw.yaml").read_text(encoding="utf-8")
    (folder / "withdraw.yaml").write_text(text.replace("act: end", "act: ends"), encoding="utf-8")
    loaded = library.load("unit-off", tmp_path)
    assert loaded.walk is None
    assert {problem.code for problem in loaded.problems} == {"wrong-word"}
    assert loaded.problems[0].span.path == str(folder / "withdraw.yaml")


def test_a_procedure_lies_in_a_file_of_its_name(tmp_path: Path) -> None:
    path = own(tmp_path, "unit-off")
    path.write_text(
        path.read_text(encoding="utf-8").replace("use: withdraw", "use: go-away"), encoding="utf-8"
    )
    folder = tmp_path / "trees" / "procedures"
    folder.mkdir()
    (folder / "go-away.yaml").write_bytes((SHIPPED / "procedures" / "withdraw.yaml").read_bytes())
    (problem,) = library.load("unit-off", tmp_path).problems
    assert (problem.code, problem.span) == (
        "file-name",
        Span(str(folder / "go-away.yaml"), 2, 12),
    )


@pytest.mark.parametrize("raw", [b"", b"\xff\xfe", b"steps: [", b"tree: x\n", b"unit: x\n"])
def test_a_procedure_that_cannot_be_used_stops_the_tree(tmp_path: Path, raw: bytes) -> None:
    own(tmp_path, "unit-off")
    folder = tmp_path / "trees" / "procedures"
    folder.mkdir()
    (folder / "withdraw.yaml").write_bytes(raw)
    loaded = library.load("unit-off", tmp_path)
    assert loaded.walk is None
    assert loaded.problems


def test_a_homes_own_words_are_added_to_the_shipped_ones(tmp_path: Path) -> None:
    own(tmp_path, "unit-off")
    words = "vocabulary: ours\nformat: 1\npoints: {attic.1: {title: In the attic}}\n"
    words += "sets: {attic: {1: [attic.1], 3: [attic.1]}}\n"
    (tmp_path / "trees" / "vocabulary.yaml").write_text(words, encoding="utf-8")
    loaded = library.load("unit-off", tmp_path)
    assert loaded.walk is not None
    assert {"attic.1", "contactor.L1"} <= set(loaded.walk.vocabulary.points)
    assert "vocabulary.own.yaml" in loaded.files


# --- what a job keeps -----------------------------------------------------------------------------


def test_the_files_of_a_tree_load_the_same_from_a_folder_of_their_own(tmp_path: Path) -> None:
    own(tmp_path, "unit-off", place="power")
    words = "vocabulary: ours\nformat: 1\nsuspects: {loose-wire: A wire}\n"
    words += "points: {ground: {title: Ground}}\nsets: {g: {1: [ground]}}\n"
    (tmp_path / "trees" / "vocabulary.yaml").write_text(words, encoding="utf-8")
    loaded = library.load("unit-off", tmp_path)
    kept = tmp_path / "kept"
    for place, raw in loaded.files.items():
        (kept / place).parent.mkdir(parents=True, exist_ok=True)
        (kept / place).write_bytes(raw)
    again = library.load_kept("unit-off", kept)
    assert again.walk is not None
    assert again.digest == loaded.digest
    assert loaded.walk is not None
    assert list(again.walk.steps) == list(loaded.walk.steps)
    assert again.walk.vocabulary.suspects == loaded.walk.vocabulary.suspects


def test_the_digest_is_of_everything_the_tree_is_made_of(tmp_path: Path) -> None:
    path = own(tmp_path, "unit-off")
    first = library.load("unit-off", tmp_path).digest
    assert library.load("unit-off", tmp_path).digest == first
    path.write_text(path.read_text(encoding="utf-8") + "# a remark\n", encoding="utf-8")
    assert library.load("unit-off", tmp_path).digest != first


def test_a_procedure_is_read_once_for_many_trees() -> None:
    loader = Loader(shelves(None))
    withdraw = shelves(None).procedure("withdraw")
    assert withdraw is not None
    assert loader.file(withdraw) is loader.file(withdraw)
    assert loader.load(Found.at(HUMS)).problems == loader.load(Found.at(HUMS)).problems


@pytest.mark.parametrize("name", ["../withdraw", "", "With Draw", "a/b"])
def test_a_procedure_is_looked_for_by_an_id_only(name: str) -> None:
    assert shelves(None).procedure(name) is None


# --- cases and readings ---------------------------------------------------------------------------


def test_the_cases_beside_a_tree(tmp_path: Path) -> None:
    path = own(tmp_path, "unit-off")
    assert library.cases_of("unit-off", tmp_path) == (None, ())
    cases = "format: 1\ncases for: unit-off\ncases:\n"
    cases += "  loose: {answers: {look: loose}, expect: {findings: [loose-wire]}}\n"
    path.with_name("unit-off.cases.yaml").write_text(cases, encoding="utf-8")
    for tree in ("unit-off", str(path)):
        found, problems = library.cases_of(tree, tmp_path)
        assert problems == ()
        assert found is not None
        assert found.cases["loose"].expect.findings == ("loose-wire",)


def test_readings_for_a_tree(tmp_path: Path) -> None:
    own(tmp_path, "unit-off")
    file = tmp_path / "monday.readings.yaml"
    text = "format: 1\nreadings for: unit-off\njob: {site: Library}\nanswers: {look: loose}\n"
    file.write_text(text, encoding="utf-8")
    readings, problems = library.load_readings(file, tmp_path)
    assert problems == ()
    assert readings is not None
    assert (readings.answers, readings.job) == ({"look": "loose"}, {"site": "Library"})
    file.write_text(text.replace("look:", "lock:"), encoding="utf-8")
    _, problems = library.load_readings(file, tmp_path)
    assert [(problem.code, problem.fix) for problem in problems] == [
        ("unknown-step", "Did you mean look?")
    ]
    assert library.check(file, tmp_path) == problems


# --- cost -----------------------------------------------------------------------------------------


def test_a_good_tree_needs_nothing_heavy() -> None:
    program = (
        "import sys; from engine.loader import library\n"
        f"loaded = library.load({str(HUMS)!r}); assert loaded.walk\n"
        "heavy = {'jsonschema', 'networkx', 'numpy', 'textual', 'rich'}\n"
        "print(sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=TESTS.parent,
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == "[]"

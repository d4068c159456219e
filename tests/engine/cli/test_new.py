"""``halfsplit new tree``: asked line by line or from a file; broken off, nothing typed is lost."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path

import pytest
from jsonschema import Draft7Validator

from engine.cli.exits import Exit
from engine.cli.main import main
from engine.cli.new import BEGUN
from tests.engine.starter.answering import ANSWERS, fan_lines

NAME = "outdoor-fan-stands-still"


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path))
    return tmp_path


def run(*words: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    code = main(words, lambda _: 9, out, err)
    return code, out.getvalue(), err.getvalue()


def typed(monkeypatch: pytest.MonkeyPatch, *lines: str) -> tuple[int, str, str]:
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
    return run("new", "tree")


def test_answers_from_a_file_make_a_tree_that_passes_every_check(home: Path) -> None:
    code, out, _ = run("new", "tree", "--answers", str(ANSWERS), "--json")
    answer = json.loads(out)
    assert (code, answer["problems"]) == (Exit.FINE, [])
    assert Path(answer["path"]) == home / "trees" / f"{NAME}.yaml"
    code, out, _ = run("check", NAME, "--json")
    (tree,) = json.loads(out)["trees"]
    assert code == Exit.FINE
    assert set(tree["properties"].values()) == {"proved"}
    assert (tree["findings"], tree["cases"]) == (4, 11)


def test_the_schema_that_the_first_line_names_is_there_and_is_one(home: Path) -> None:
    run("new", "tree", "--answers", str(ANSWERS))
    tree = home / "trees" / f"{NAME}.yaml"
    first = tree.read_text(encoding="utf-8").splitlines()[0]
    _, schema = first.split("$schema=")
    Draft7Validator.check_schema(json.loads((tree.parent / schema).read_text(encoding="utf-8")))


def test_typed_and_broken_off_it_goes_on_where_it_was(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = fan_lines()
    code, _, err = typed(monkeypatch, *lines[:10])
    assert code == Exit.STOPPED
    assert "every line is kept" in err
    assert (home / BEGUN).exists()
    code, _, err = typed(monkeypatch, "1", *lines[10:20], "u", *lines[19:])
    assert "A tree was begun: the fan outside stands still" in err
    assert code == Exit.FINE
    assert not (home / BEGUN).exists()
    kept = (home / "trees" / f"{NAME}.answers.txt").read_text(encoding="utf-8")
    assert [line for line in kept.splitlines() if line.startswith(">")] == [
        f"> {line}".rstrip() for line in lines
    ]


def test_begun_anew_what_was_left_is_kept_aside(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    typed(monkeypatch, *fan_lines()[:10])
    before = (home / BEGUN).read_bytes()
    code, _, err = typed(monkeypatch, "no", "it rattles")
    assert code == Exit.STOPPED
    assert "Every line is kept in" in err
    assert (home / "new-tree-left.txt").read_bytes() == before


def test_lines_that_no_longer_answer_are_kept_aside(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    typed(monkeypatch, *fan_lines()[:10])
    kept = (home / BEGUN).read_text(encoding="utf-8")
    (home / BEGUN).write_text(f"{kept}> many\n> 2\n", encoding="utf-8", newline="\n")
    _, _, err = typed(monkeypatch, "1", "1")
    assert "'many' and what came after it no longer answers" in err
    aside = (home / "new-tree-left.txt").read_text(encoding="utf-8")
    assert [line for line in aside.splitlines() if line.startswith(">")][-2:] == ["> many", "> 2"]


def test_a_second_tree_of_that_name_gets_another(home: Path) -> None:
    run("new", "tree", "--answers", str(ANSWERS))
    first = (home / "trees" / f"{NAME}.yaml").read_bytes()
    code, out, _ = run("new", "tree", "--answers", str(ANSWERS), "--json")
    assert (code, json.loads(out)["tree"]) == (Exit.FINE, f"{NAME}-2")
    assert (home / "trees" / f"{NAME}.yaml").read_bytes() == first


@pytest.mark.parametrize(
    ("lines", "why"),
    [
        (["it hums"], "An answer is missing after 1 answers: The complaint as a title"),
        (["it hums", "", "", "Weak", "many"], "'many' is not taken, after 4 answers"),
        ([*fan_lines(), "more"], "'more' answers nothing"),
    ],
)
def test_answers_that_do_not_fit_are_said(tmp_path: Path, lines: list[str], why: str) -> None:
    file = tmp_path / "answers.txt"
    file.write_text("".join(f"> {line}\n" for line in lines), encoding="utf-8", newline="\n")
    code, out, err = run("new", "tree", "--answers", str(file))
    assert (code, out) == (Exit.PROBLEMS, "")
    assert why in err


def test_a_file_that_is_not_there_is_said() -> None:
    code, _, err = run("new", "tree", "--answers", "nowhere.txt")
    assert code == Exit.PROBLEMS
    assert "nowhere.txt can't be read" in err

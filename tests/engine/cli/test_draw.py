"""``halfsplit draw``: an SVG, a sheet or JSON, on standard output or in a file."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest

from engine.cli.draw import run
from engine.cli.exits import Exit

ROOT = Path(__file__).resolve().parents[3]
TREE = str(ROOT / "tests" / "data" / "shelf" / "fan-stopped.yaml")


@pytest.fixture(autouse=True)
def _home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path / "home"))


def draw(*words: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    code = run(words, out, err)
    return code, out.getvalue(), err.getvalue()


def test_the_drawing_is_svg_on_standard_output() -> None:
    code, out, err = draw(TREE)
    assert (code, err) == (Exit.FINE, "")
    assert ElementTree.fromstring(out).tag == "{http://www.w3.org/2000/svg}svg"


def test_a_file_is_written_and_said_so(tmp_path: Path) -> None:
    file = tmp_path / "fan.svg"
    assert draw(TREE, "--out", str(file)) == (
        Exit.FINE,
        "",
        f"{file} holds fan-stopped, revision 3.\n",
    )
    assert file.read_text(encoding="utf-8") == draw(TREE)[1]


def test_a_sheet_is_html_with_the_date_and_the_paper_of_the_settings(tmp_path: Path) -> None:
    home = tmp_path / "home"
    home.mkdir()
    (home / "settings.json").write_text('{"paper": "A4"}', encoding="utf-8")
    code, out, err = draw(TREE, "--sheet")
    assert (code, err) == (Exit.FINE, "")
    assert out.startswith("<!DOCTYPE html>")
    assert "size: A4;" in out
    assert "printed 2" in out


def test_json_has_the_tree_its_boxes_and_its_ways() -> None:
    code, out, _ = draw(TREE, "--json")
    assert code == Exit.FINE
    answer = json.loads(out)
    assert answer["tree"] == "fan-stopped"
    assert answer["start"] in {node["id"] for node in answer["nodes"]}
    assert {edge["from"] for edge in answer["edges"]} <= {node["id"] for node in answer["nodes"]}


def test_a_tree_that_is_not_there_is_a_problem() -> None:
    code, out, err = draw("blank-thermostats")
    assert (code, out) == (Exit.PROBLEMS, "")
    assert "Did you mean blank-thermostat?" in err


def test_a_tree_with_a_problem_that_stops_it_is_not_drawn(tmp_path: Path) -> None:
    file = tmp_path / "broken.yaml"
    text = Path(TREE).read_text(encoding="utf-8")
    file.write_text(text.replace("start: ", "start: nowhere-"), encoding="utf-8")
    code, out, err = draw(str(file))
    assert (code, out) == (Exit.PROBLEMS, "")
    assert "unknown-step" in err


@pytest.mark.parametrize("words", [(), (TREE, "--sheet", "--json"), (TREE, "--colour")])
def test_a_wrong_command_line_is_said_with_the_usage(words: tuple[str, ...]) -> None:
    code, out, err = draw(*words)
    assert (code, out) == (Exit.USAGE, "")
    assert "usage: halfsplit draw TREE" in err


def test_where_nothing_can_be_written_it_says_why(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    code, _, err = draw(TREE, "--out", str(tmp_path / "file" / "fan.svg"))
    assert code == Exit.PROBLEMS
    assert "can't be written" in err


def test_only_a_drawing_loads_the_layout() -> None:
    code = (
        "import sys; from tui.__main__ import main; main(); "
        "print('grandalf' in sys.modules, 'networkx' in sys.modules, file=sys.stderr)"
    )
    loaded = {}
    for words in ((), ("--sheet",), ("--json",)):
        done = subprocess.run(
            [sys.executable, "-c", code, "draw", TREE, *words],
            capture_output=True,
            text=True,
            encoding="utf-8",
            cwd=ROOT,
            check=False,
        )
        loaded[words] = done.stderr.split()[-2:]
    assert loaded == {
        (): ["True", "False"],
        ("--sheet",): ["False", "False"],
        ("--json",): ["False", "False"],
    }


@pytest.mark.parametrize("form", [(), ("--sheet",), ("--json",)])
def test_a_procedure_is_drawn_by_its_name_or_its_path(form: tuple[str, ...]) -> None:
    path = str(ROOT / "trees" / "procedures" / "prove-dead.yaml")
    code, out, err = draw("prove-dead", *form)
    assert (code, err) == (Exit.FINE, "")
    assert "not done" in out
    assert draw(path, *form) == (code, out, err)


def test_a_procedure_in_a_file_has_no_revision_said(tmp_path: Path) -> None:
    file = tmp_path / "dead.svg"
    assert draw("prove-dead", "--out", str(file))[2] == f"{file} holds prove-dead.\n"

"""``halfsplit trees``: listed, packed to be sent, checked and asked about before one is added."""

from __future__ import annotations

import io
import json
import subprocess
import sys
import zipfile
from pathlib import Path
from typing import Any

import pytest

from engine.cli.exits import Exit
from engine.cli.trees import run

ROOT = Path(__file__).resolve().parents[3]
FAN = ROOT / "tests" / "data" / "shelf" / "fan-stopped.yaml"


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    home = tmp_path / "home"
    monkeypatch.setenv("HALFSPLIT_HOME", str(home))
    return home


@pytest.fixture
def sent(tmp_path: Path, home: Path) -> Path:
    file = tmp_path / "fan.zip"
    assert trees("pack", str(FAN), str(file))[0] == Exit.FINE
    return file


def trees(*words: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    code = run(words, out, err)
    return code, out.getvalue(), err.getvalue()


def answer(*words: str) -> Any:
    _, out, _ = trees(*words, "--json")
    assert out.count("\n") == 1
    return json.loads(out)


def typed(monkeypatch: pytest.MonkeyPatch, *lines: str) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in lines)))


def changed(file: Path, old: str, new: str) -> Path:
    """Return the packed tree with words of its tree's file exchanged."""
    other = file.with_name("changed.zip")
    with zipfile.ZipFile(file) as packed, zipfile.ZipFile(other, "w") as after:
        for one in packed.infolist():
            raw = packed.read(one)
            if one.filename.endswith("/fan-stopped.yaml"):
                assert old.encode() in raw
                raw = raw.replace(old.encode(), new.encode(), 1)
            after.writestr(one, raw)
    return other


def own(home: Path) -> list[str]:
    return sorted(path.name for path in home.rglob("*.yaml"))


# --- the list and pack ----------------------------------------------------------------------------


def test_the_shops_own_trees_are_listed_before_the_shipped_ones(home: Path, sent: Path) -> None:
    assert trees("add", str(sent), "--yes")[0] == Exit.FINE
    code, out, err = trees()
    assert (code, err) == (Exit.FINE, "")
    first, second, *_ = out.splitlines()
    said = "fan-stopped Outdoor fan does not turn revision 3, draft your own"
    assert " ".join(first.split()) == said
    assert second.startswith("blank-thermostat ")
    assert second.endswith("shipped")


def test_the_list_as_json(home: Path) -> None:
    found = {one["tree"]: one for one in answer()["trees"]}
    one = found["blank-thermostat"]
    assert (one["title"], one["status"], one["shipped"]) == ("Blank thermostat", "draft", True)
    assert isinstance(one["revision"], int)


def test_a_tree_is_packed_under_its_name_and_revision(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert trees("pack", str(FAN)) == (
        Exit.FINE,
        "fan-stopped-r3.zip holds fan-stopped, revision 3.\n",
        "",
    )
    code, out, err = trees("pack", str(FAN))
    assert (code, out) == (Exit.PROBLEMS, "")
    assert err == "fan-stopped-r3.zip is there already; nothing was written.\n"
    assert answer("pack", str(FAN), "b.zip") == {
        "tree": "fan-stopped",
        "revision": 3,
        "file": "b.zip",
    }


def test_a_tree_that_can_not_be_walked_is_not_packed(home: Path, tmp_path: Path) -> None:
    code, out, err = trees("pack", "no-such-tree", str(tmp_path / "x.zip"))
    assert (code, out) == (Exit.PROBLEMS, "")
    assert "There is no tree called no-such-tree." in err
    assert not (tmp_path / "x.zip").exists()


# --- add ------------------------------------------------------------------------------------------


def test_a_new_tree_is_described_asked_about_and_added(
    home: Path, sent: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    typed(monkeypatch, "what?", "y")
    code, out, err = trees("add", str(sent))
    assert code == Exit.FINE
    lines = out.splitlines()
    assert lines[0] == (
        "New: fan-stopped, Outdoor fan does not turn, revision 3, draft: 13 steps, 4 findings."
    )
    assert "Puts beside your trees vocabulary.yaml." in lines
    assert lines[-1] == "fan-stopped, revision 3, is among your trees now."
    assert err.count("Add fan-stopped to your trees? 1 yes 2 no > ") == 2
    assert "fan-stopped.yaml" in own(home)


@pytest.mark.parametrize("lines", [("2",), ("no",), ("n",), ()])
def test_nothing_is_added_without_a_yes(
    home: Path, sent: Path, monkeypatch: pytest.MonkeyPatch, lines: tuple[str, ...]
) -> None:
    typed(monkeypatch, *lines)
    code, _, err = trees("add", str(sent))
    assert code == Exit.STOPPED
    assert err.endswith("Nothing was added.\n")
    assert own(home) == []


def test_a_shipped_tree_sent_back_is_said_to_be_the_same(home: Path, tmp_path: Path) -> None:
    file = tmp_path / "thermostat.zip"
    trees("pack", "blank-thermostat", str(file))
    code, out, _ = trees("add", str(file), "--yes")
    assert code == Exit.FINE
    assert out.splitlines()[0] == (
        "blank-thermostat, revision 1, is here already, word for word the same."
    )


def test_an_older_revision_is_said_to_be_older(
    home: Path, sent: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    trees("add", str(sent), "--yes")
    typed(monkeypatch, "no")
    code, out, _ = trees("add", str(changed(sent, "revision: 3", "revision: 2")))
    assert code == Exit.STOPPED
    assert out.splitlines()[0] == "OLDER: the file holds revision 2, and revision 3 is here."


def test_a_revision_tells_what_it_changes_and_keeps_the_old_one(
    home: Path, sent: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    trees("add", str(sent), "--yes")
    newer = changed(sent, "up to 200 ohm", "up to 150 ohm")
    typed(monkeypatch, "yes")
    code, out, _ = trees("add", str(newer))
    assert code == Exit.FINE
    assert out.splitlines()[0].endswith("and they are not the same. Ask who wrote them.")
    assert (
        'Start winding of the fan: 150 ohm to 200 ohm was "whole" → leave, '
        'is now "open" → finding fan-winding.' in out
    )
    kept = home / "trees" / "old" / "fan-stopped-r3"
    assert out.splitlines()[-1] == f"What was there before is kept in {kept}."
    assert b"up to 200 ohm" in (kept / "fan-stopped.yaml").read_bytes()
    assert [one["tree"] for one in answer()["trees"] if not one["shipped"]] == ["fan-stopped"]
    assert (
        trees("add", str(newer))[1] == "fan-stopped, revision 3, is here already, and the same.\n"
    )


def test_a_problem_that_stops_the_tree_refuses_it(home: Path, sent: Path) -> None:
    broken = changed(sent, "then: listen", "then: nowhere")
    code, out, err = trees("add", str(broken), "--yes")
    assert (code, out) == (Exit.PROBLEMS, "")
    first, *_, last = err.splitlines()
    assert first.startswith("fan-stopped.yaml:")
    assert " unknown-step " in first
    assert last == "Nothing was added: such a tree is never offered on a job."
    assert own(home) == []


def test_json_alone_is_on_standard_output(home: Path, sent: Path) -> None:
    found = answer("add", str(sent), "--yes")
    assert (found["tree"], found["added"], found["kept"]) == ("fan-stopped", True, None)
    assert found["written"][-1] == "fan-stopped.yaml"
    assert answer("add", str(sent)) == {
        "tree": "fan-stopped",
        "added": False,
        "written": [],
        "kept": None,
    }


def test_a_hostile_file_is_told_and_nothing_is_written(home: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.zip"
    with zipfile.ZipFile(bad, "w") as packed:
        packed.writestr("fan/fan.yaml", FAN.read_bytes())
        packed.writestr("fan/../../outside.yaml", b"x: y\n")
    code, out, err = trees("add", str(bad), "--yes")
    assert (code, out) == (Exit.PROBLEMS, "")
    assert err.startswith(f"{bad} was not taken in: ")
    assert own(tmp_path) == []


@pytest.mark.parametrize("words", [("pack",), ("add",), ("add", "a", "b"), ("burn", "x")])
def test_a_wrong_command_line_is_said_with_the_usage(home: Path, words: tuple[str, ...]) -> None:
    code, out, err = trees(*words)
    assert (code, out) == (Exit.USAGE, "")
    assert "usage: halfsplit trees" in err


def test_the_list_loads_no_more_than_it_needs(home: Path) -> None:
    code = "import sys; from tui.__main__ import main; main(); print(*sys.modules, file=sys.stderr)"
    done = subprocess.run(
        [sys.executable, "-c", code, "trees"],
        capture_output=True,
        text=True,
        encoding="utf-8",
        cwd=ROOT,
        check=True,
    )
    loaded = set(done.stderr.split())
    assert "blank-thermostat" in done.stdout
    assert not loaded & {"networkx", "numpy", "grandalf", "textual", "engine.guide", "jsonschema"}

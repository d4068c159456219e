"""The author's guide: its example really loads, is proved and walked; every code is explained."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest

from engine.authoring import pretend_to, studied, with_cases
from engine.cli.main import COMMANDS, main
from engine.codes import CODES
from engine.loader.library import load
from engine.loader.units import load_unit
from engine.trial.belonging import belongs
from tests.engine.starter.answering import ANSWERS

GUIDE = (Path(__file__).parent.parent / "trees" / "AUTHORS.md").read_text(encoding="utf-8")
NAME = "outdoor-fan-stands-still"


def block(kind: str) -> str:
    """Return what stands in the guide's one block of a kind."""
    (found,) = re.findall(rf"^```{kind}\n(.*?)^```$", GUIDE, re.MULTILINE | re.DOTALL)
    assert isinstance(found, str)
    return found


def run(*words: str) -> tuple[int, str]:
    out, err = io.StringIO(), io.StringIO()
    code = main(words, lambda _: 9, out, err)
    return code, out.getvalue()


@pytest.fixture
def tree(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the guide's tree, begun by its answers."""
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path))
    answers = tmp_path / "answers.txt"
    answers.write_text(block("answers"), encoding="utf-8", newline="\n")
    assert run("new", "tree", "--answers", str(answers))[0] == 0
    return tmp_path / "trees" / f"{NAME}.yaml"


def by_hand(tree: Path) -> None:
    """Put the guide's step and case in the place that it says."""
    step = block("step")
    name = step.split(":", 1)[0]
    text = tree.read_text(encoding="utf-8")
    begun = re.search(rf"^{name}:\n(?:    .*\n)+", text, re.MULTILINE)
    assert begun is not None
    tree.write_text(text.replace(begun[0], step), encoding="utf-8", newline="\n")
    cases = tree.with_name(f"{NAME}.cases.yaml")
    text = cases.read_text(encoding="utf-8").replace("\ncases:\n", f"\ncases:\n{block('case')}")
    cases.write_text(text, encoding="utf-8", newline="\n")


def test_the_guides_faults_are_added_and_belong(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HALFSPLIT_HOME", str(tmp_path))
    folder = tmp_path / "trees" / "units"
    folder.mkdir(parents=True)
    text = block("faults")
    (folder / "ours.yaml").write_text(text, encoding="utf-8", newline="\n")
    assert run("check", str(folder / "ours.yaml"))[0] == 0
    unit = load_unit("3-ton-high-leg", tmp_path).unit
    walk = load("blank-thermostat").walk
    assert unit is not None
    assert walk is not None
    added = set(re.findall(r"^  (\w[^:]*):$", text, re.MULTILINE))
    assert len(added) == 2
    assert added <= set(belongs(walk, unit))


def test_the_answers_are_those_that_are_tried_elsewhere() -> None:
    assert block("answers") == ANSWERS.read_text(encoding="utf-8")


def test_the_example_as_begun_and_as_made_by_hand_has_no_problems(tree: Path) -> None:
    assert run("check", NAME)[1].splitlines()[-1] == "No problems."
    by_hand(tree)
    code, out = run("check", NAME)
    assert (code, out.splitlines()[-1]) == (0, "No problems.")
    assert "12 cases" in out


def test_the_example_is_walked(tree: Path) -> None:
    by_hand(tree)
    study = with_cases(studied(tree, tree.parent.parent))
    walk, _ = pretend_to(study, "check-no-call-reaches-the-unit")
    assert walk.entered("0").lines[:2] == ("0 V: no call.", "Nothing asks the fan to run.")


def test_the_refuted_path_is_the_one_that_is_shown(tree: Path) -> None:
    text = tree.read_text(encoding="utf-8")
    before, after = text.split("  check-contactor-coil:\n", 1)
    wrong = after.replace("stage: unit dead", "stage: control box live", 1)
    tree.write_text(f"{before}  check-contactor-coil:\n{wrong}", encoding="utf-8", newline="\n")
    assert load(str(tree)).walk is not None
    code, out = run("check", NAME)
    assert code == 1
    (told,) = [line for line in out.splitlines() if "breaks-r4" in line]
    for part in re.split(r"…|\n", block("text")):
        assert " ".join(part.split()) in told


def test_every_code_is_explained_as_it_is_meant() -> None:
    rows = re.findall(r"^\| `([a-z0-9-]+)` \| (.*?) \| (.+?) \|$", GUIDE, re.MULTILINE)
    told = {code: meaning for code, meaning, _ in rows if code in CODES}
    wanted = {code.name: code.explanation for code in CODES.values()}
    assert told == wanted, "a code needs its row in trees/AUTHORS.md: what it means, what to do"
    assert all(fix.endswith((".", "…")) for code, _, fix in rows if code in CODES)


def test_every_command_that_the_guide_names_is_one() -> None:
    named = set(re.findall(r"halfsplit ([a-z]+)", GUIDE))
    assert named
    assert named <= set(COMMANDS)

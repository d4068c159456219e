"""``halfsplit check --fix``: mended in a new file; the old one, its remarks and its order stay."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest
import yaml

from engine.cli.exits import Exit
from engine.cli.main import main
from engine.loader.library import check
from engine.loader.text import read
from tests.engine.starter.answering import fan_tree

BROKEN = Path(__file__).parents[2] / "broken_trees"
TREES = Path(__file__).parents[3] / "trees"
SHIPPED = sorted([*TREES.glob("procedures/*.yaml"), *TREES.glob("thermostat/*.yaml")])


def run(*words: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    code = main(["check", *words], lambda _: 9, out, err)
    return code, out.getvalue(), err.getvalue()


def fixed(path: Path) -> Path:
    """Return the new file that mending a file wrote."""
    before = path.read_bytes()
    code, out, _ = run("--fix", str(path), "--json")
    assert code == Exit.FINE
    assert path.read_bytes() == before
    (answer,) = json.loads(out)["mended"]
    assert answer["new"], answer
    return Path(answer["new"])


def changed(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8", newline="\n")


@pytest.fixture
def fan(tmp_path: Path) -> Path:
    return fan_tree(tmp_path)


def test_a_step_that_opens_before_it_reads_becomes_two(fan: Path) -> None:
    old = "    do: |\n      One lead on Contactor coil, Y side"
    changed(fan, old, old.replace("One lead", "Open the control box. One lead"))
    text = run(str(fan))[1]
    assert "verb-of-another-act" in text
    assert "    check-contactor-coil-first:\n      act: open up\n" in text
    new = fixed(fan)
    assert not [one for one in check(new) if one.code == "verb-of-another-act"]
    words = new.read_text(encoding="utf-8")
    assert "then: check-contactor-coil\n" in words
    assert words.count("check-contactor-coil-first") > 3
    assert words.count("#") == fan.read_text(encoding="utf-8").count("#")


TWO_IN_ONE = """\
format: 1
tree: two-in-one
title: Unit does not run
complaint: {said as: [it does not run]}
revision: 1
status: draft
layout: single feed
if stuck: leave
suspects: {worn: {title: A worn part, weight: 1 of 1}}
start: handle
steps:
  handle:
    title: Handle off
    act: switch off
    device: disconnect
    do: Stand to the side, handle to OFF. Lock out the handle.
  cover:
    title: Box shut; unlock the handle
    act: close up
    box: control box
    then: heard
  heard:
    title: What was heard
    act: ask
    do: Ask whoever was there. Open the control box.
    choices: {a hum: {finds: worn}, nothing: leave}
  leave:
    stage: any
    use: make-safe-and-leave
    with: {the device: disconnect}

findings:
  worn:
    suspect: worn
    act: repair
    zone: unit
    box: control box
    repair: Replace the part. Switch on the disconnect.
    tell customer: A part was worn.
    left: It stays worn.
    then: leave
"""


def test_what_is_told_last_becomes_the_step_after_in_work_title_and_repair(tmp_path: Path) -> None:
    """Not after a step with several answers, which may mean it for some of them only."""
    path = tmp_path / "two-in-one.yaml"
    path.write_text(TWO_IN_ONE, encoding="utf-8", newline="\n")
    assert [one.code for one in check(path)].count("verb-of-another-act") == 4
    new = fixed(path)
    (left,) = (one for one in check(new) if one.code == "verb-of-another-act")
    assert new.read_text(encoding="utf-8").split("\n")[left.span.line - 1].startswith("    do: Ask")
    tree = yaml.safe_load(new.read_text(encoding="utf-8"))
    steps, finding = tree["steps"], tree["findings"]["worn"]
    ways = {name: (step.get("act"), step.get("then")) for name, step in steps.items()}
    assert list(ways.items()) == [
        ("handle", ("switch off", None)),
        ("handle-after", ("lock out", "cover")),
        ("cover", ("close up", "cover-after")),
        ("cover-after", ("unlock", "heard")),
        ("heard", ("ask", None)),
        ("leave", (None, None)),
        ("worn-after", ("switch on", "leave")),
    ]
    assert steps["handle"]["do"].strip() == "Stand to the side, handle to OFF."
    assert steps["cover"]["title"] == "Box shut"
    assert (finding["repair"].strip(), finding["then"]) == ("Replace the part.", "worn-after")


def test_braces_that_hold_a_sentence_are_taken_apart_and_say_the_same(tmp_path: Path) -> None:
    path = tmp_path / "written.yaml"
    path.write_text(
        "format: 1\n"
        "tree: written # kept\n"
        "steps:\n"
        "  # a remark\n"
        '  one: {act: ask, do: "Ask, then listen.", then: two}  # one more\n'
        "  two: {act: ask, then: one}\n",
        encoding="utf-8",
        newline="\n",
    )
    new = fixed(path)
    assert new.read_text(encoding="utf-8") == (
        "format: 1\n"
        "tree: written # kept\n"
        "steps:\n"
        "  # a remark\n"
        "  one:  # one more\n"
        "    act: ask\n"
        '    do: "Ask, then listen."\n'
        "    then: two\n"
        "  two: {act: ask, then: one}\n"
    )
    before, after = (read("", one.read_bytes()) for one in (path, new))
    assert before.data == after.data


@pytest.mark.parametrize(
    "code", ["comma-in-braces", "colon-in-text", "name-in-braces", "no-space-after-colon"]
)
def test_a_trap_of_the_writing_is_mended(code: str, tmp_path: Path) -> None:
    path = tmp_path / "broken.yaml"
    path.write_bytes((BROKEN / f"{code}.yaml").read_bytes())
    assert [one.code for one in read("", path.read_bytes()).problems] == [code]
    new = fixed(path)
    assert read("", new.read_bytes()).problems == ()


def test_what_may_be_meant_otherwise_is_left(tmp_path: Path) -> None:
    path = tmp_path / "broken.yaml"
    path.write_bytes((BROKEN / "cut-short.yaml").read_bytes())
    code, out, _ = run("--fix", str(path))
    assert code == Exit.FINE
    assert "Nothing in it is certain to be mended." in out
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_a_shipped_file_says_the_same_when_it_is_mended(path: Path, tmp_path: Path) -> None:
    copy = tmp_path / path.name
    copy.write_bytes(path.read_bytes())
    answer = json.loads(run("--fix", str(copy), "--json")[1])["mended"][0]
    if answer["new"]:
        assert read("", Path(answer["new"]).read_bytes()).data == read("", path.read_bytes()).data


def test_a_second_time_another_new_file_is_written(tmp_path: Path) -> None:
    path = tmp_path / "broken.yaml"
    path.write_bytes((BROKEN / "colon-in-text.yaml").read_bytes())
    assert [fixed(path).name, fixed(path).name] == ["broken.mended.yaml", "broken-2.mended.yaml"]

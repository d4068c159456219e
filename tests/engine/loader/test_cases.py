"""Cases and readings from their files, and held against their tree."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.cases import Answer, Cases, Readings, answer_for
from engine.loader import library
from engine.loader.building import Building, names
from engine.loader.cases import build_cases
from engine.loader.readings import build_readings
from engine.loader.shelves import Found, shelves
from engine.loader.text import read

HUMS = Path(__file__).parents[2] / "data" / "trees" / "hums-and-stops.yaml"
CASES = """\
format: 1
cases for: hums-and-stops
as usual:
  lock: done
  volts-gone: {before: 120 V, pairs: 0 V, ground: 0 0, after: 120 V}
beyond the rules: {lock: It is done twice.}
cases:
  weak:
    why: The commonest of all.
    nameplate: {can_rating: 45 uF, tolerance: 6 %, fitted: [run capacitor, drain float]}
    answers: {capacitor: 32 uF, repair weak-capacitor: done}
    expect: {findings: [weak-capacitor], end: made safe}
  weak and open:
    like: weak
    nameplate: {can_rating: 30 uF}
    answers:
      capacitor: [32 uF, 29 uF]
      windings: OL
    expect:
      findings: [weak-capacitor, compressor-open]
      path: [capacitor, windings]
      verdicts: {windings: open}
  much like it:
    like: weak and open
    answers: {windings: 1.2 ohm}
"""


def cases_of(text: str) -> tuple[Cases, list[str]]:
    """Return the cases that a text says, and the codes of its problems."""
    document = read("x.cases.yaml", text.encode("utf-8"))
    file = Building(document, text.encode("utf-8"))
    return build_cases(file, names(document.data)), [one.code for one in file.problems]


def readings_of(text: str) -> Readings:
    """Return the readings that a text says."""
    document = read("x.readings.yaml", text.encode("utf-8"))
    return build_readings(Building(document), names(document.data))


def test_a_case_has_what_is_usual_and_what_it_says_itself() -> None:
    cases, problems = cases_of(CASES)
    weak = cases.cases["weak"]
    assert problems == []
    assert cases.tree == "hums-and-stops"
    assert weak.nameplate == {
        "can_rating": "45 uF",
        "fitted": ("run capacitor", "drain float"),
        "tolerance": "6 %",
    }
    assert weak.answers["lock"] == "done"
    assert weak.answers["volts-gone"] == {
        "before": "120 V",
        "pairs": "0 V",
        "ground": "0 0",
        "after": "120 V",
    }
    assert (weak.expect.findings, weak.expect.end) == (("weak-capacitor",), "made safe")


def test_a_case_like_another_says_only_what_is_different() -> None:
    cases, _ = cases_of(CASES)
    both, like_it = cases.cases["weak and open"], cases.cases["much like it"]
    assert both.nameplate["can_rating"] == "30 uF"
    assert both.nameplate["tolerance"] == "6 %"
    assert both.answers["capacitor"] == ("32 uF", "29 uF")
    assert both.answers["repair weak-capacitor"] == "done"
    assert both.expect.path == ("capacitor", "windings")
    assert like_it.answers["windings"] == "1.2 ohm"
    assert both.expect.verdicts == {"windings": "open"}
    assert like_it.expect == both.expect


def test_what_is_beyond_the_rules_says_why() -> None:
    cases, _ = cases_of(CASES)
    assert cases.beyond == {"lock": "It is done twice."}


def test_cases_like_one_another_in_a_circle_are_a_problem() -> None:
    text = "cases for: x\ncases:\n  a: {like: b}\n  b: {like: a}\n"
    _, problems = cases_of(text)
    assert problems == ["like-of-like", "like-of-like"]


def test_an_answer_is_found_by_the_end_of_a_steps_name() -> None:
    answers: dict[str, Answer] = {
        "lock": "done",
        "iso/lock": "not yet",
        "capacitor": ("32 uF", "29 uF"),
    }
    assert answer_for(answers, "enter unit dead/lock", 0) == "done"
    assert answer_for(answers, "a/iso/lock", 0) == "not yet"
    assert [answer_for(answers, "capacitor", times) for times in range(3)] == [
        "32 uF",
        "29 uF",
        "29 uF",
    ]
    with pytest.raises(KeyError):
        answer_for(answers, "windings", 0)


def test_readings_of_one_walk() -> None:
    readings = readings_of(
        "readings for: x\njob: {site: Library, unit: RTU-2}\nnameplate: {phases: 3}\n"
        "answers: {look: [yes, no], volts: {pairs: 208 209 207}}\n"
    )
    assert (readings.tree, readings.job["unit"], readings.nameplate) == (
        "x",
        "RTU-2",
        {"phases": "3"},
    )
    assert readings.answers == {"look": ("yes", "no"), "volts": {"pairs": "208 209 207"}}


# --- against the tree -----------------------------------------------------------------------------


def problems_of(folder: Path, text: str) -> list[tuple[str, str]]:
    """Return code and sentence of what is wrong with cases beside the example tree."""
    (folder / HUMS.name).write_bytes(HUMS.read_bytes())
    path = folder / "hums-and-stops.cases.yaml"
    path.write_text(text, encoding="utf-8", newline="\n")
    _, problems = library.cases_in(Found.at(path), shelves(None, path))
    return [(one.code, one.sentence) for one in problems]


def test_cases_that_name_only_what_the_tree_has(tmp_path: Path) -> None:
    assert problems_of(tmp_path, CASES) == []


@pytest.mark.parametrize(
    ("old", "new", "code", "word"),
    [
        ("lock: done", "loc: done", "unknown-step", "loc"),
        ("windings: OL", "winding: OL", "unknown-step", "winding"),
        ("findings: [weak-capacitor]", "findings: [weak]", "unknown-finding", "weak"),
        ("path: [capacitor", "path: [capacitors", "unknown-step", "capacitors"),
        ("rules: {lock", "rules: {locks", "unknown-step", "locks"),
        ("verdicts: {windings", "verdicts: {winding", "unknown-step", "winding"),
        ("windings: open}", "windings: opened}", "unknown-verdict", "opened"),
        ("tolerance: 6 %", "tollerance: 6 %", "unknown-name", "tollerance"),
        ("cases for: hums-and-stops", "cases for: hums-and-stop", "no-tree", "hums-and-stop"),
    ],
)
def test_cases_that_name_what_is_not_there(
    tmp_path: Path, old: str, new: str, code: str, word: str
) -> None:
    ((found, sentence),) = problems_of(tmp_path, CASES.replace(old, new, 1))
    assert (found, sentence.endswith(f" {word}.")) == (code, True)

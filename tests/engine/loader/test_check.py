"""What a file says, held against itself and against what it uses.

One broken file for each code is in ``tests/broken_trees``; here are slips on a good tree, and
what must not be said.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.loader import library
from tests.engine.loader.slips import changed, found, place_of

TESTS = Path(__file__).parents[2]
SHIPPED = sorted((TESTS.parent / "trees").rglob("*.yaml"))

GOOD = """\
format: 1
tree: small
title: Unit does not start
complaint: {said as: [it does not start]}
revision: 1
status: draft
layout: single feed
if stuck: leave
nameplate:
  rating: {ask: Rating on the can, quantity: capacitance, from: 5 uF, to: 100 uF}
  cover: {ask: What holds the cover, one of: [screws, latches]}
suspects:
  weak-capacitor: {title: Weak run capacitor, weight: 3 of 10}
stages:
  unit dead:
    zone: unit
    box: control box
    enter: {use: go-in, with: {the device: disconnect}, returns: {not done: leave}}
    leave: {use: come-out}
start: heard
steps:
  heard:
    title: What was heard
    act: ask
    do: Ask what was heard.
    choices:
      a hum: capacitor
      nothing: leave
  capacitor:
    title: Run capacitor, {rating}
    stage: unit dead
    act: read dead
    leads off: [run_cap.HERM]
    work out: {low: rating less 6 %, high: rating plus 6 %}
    readings: {herm: {function: capacitance, between: [run_cap.HERM, run_cap.C], when: dead}}
    bands:
      below low: {verdict: weak, finds: weak-capacitor}
      up to high: {verdict: good, then: leave}
      otherwise: {verdict: wrong part, finds: weak-capacitor}
      OL: {verdict: shorted, finds: weak-capacitor}
    source: judgement
  leave: {stage: any, use: walk-off, with: {the device: disconnect}}
findings:
  weak-capacitor:
    suspect: weak-capacitor
    stage: unit dead
    repair: A new one of the same rating.
    tell customer: The capacitor was weak.
    then: leave
"""


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """Make a folder with the procedures that the small tree uses."""
    folder = tmp_path / "procedures"
    folder.mkdir()
    for file in (TESTS / "broken_trees" / "procedures").glob("*.yaml"):
        (folder / file.name).write_bytes(file.read_bytes())
    return tmp_path


# --- whole files ----------------------------------------------------------------------------------


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_a_shipped_file_has_no_problem(path: Path) -> None:
    assert [str(one) for one in library.check(path)] == []


# --- the good tree, and slips on it ---------------------------------------------------------------


def test_the_small_tree_has_no_problem(small: Path) -> None:
    assert found(small / "small.yaml", GOOD) == []


def test_all_problems_of_a_file_come_in_one_run(small: Path) -> None:
    text = changed(
        GOOD,
        ("a hum: capacitor", "a hum: capacitors"),
        ("below low", "below 40 V"),
        ("run_cap.C", "run_cap.D"),
        ("tell customer", "tell the customer"),
        ("Ask what was heard.", "Open the panel and ask what was heard."),
    )
    assert sorted(code for code, _, _ in found(small / "small.yaml", text)) == [
        "unknown-key",
        "unknown-point",
        "unknown-step",
        "verb-of-another-act",
        "wrong-kind",
    ]


ASK, SOURCE, ENTER = "    act: ask", "    source: judgement", "{the device: disconnect}, returns"
TRIPPED = "nothing: {counts as: tripped, on: braker, then: leave}"
SLIPS = [
    ("{verdict: good, then: leave}", "{verdict: good, then: leaf}", "unknown-step", "leaf}"),
    ("then: leave}", "then: leave, if still wrong: heard}", "misplaced-target", "if still wrong"),
    ("work out: {low:", "work out: {rating: 5 uF, low:", "same-name", "rating: 5 uF"),
    ("work out: {low:", "work out: {herm: 5 uF, low:", "same-name", "herm: 5 uF"),
    ("to: 100 uF", "to: 1 uF", "bad-quantity", "1 uF"),
    ("repair: A", "device: braker\n    repair: A", "unknown-device", "braker"),
    ("    act: ask", "    ask first: [ratings]\n    act: ask", "unknown-name", "ratings"),
    ("    box: control", "    ask first: [ratings]\n    box: control", "unknown-name", "ratings"),
    ("[screws, latches]", "[screws, latches], default: glue", "unknown-word", "glue"),
    ("to: 100 uF", "to: 100 uF, default: 6 V", "wrong-kind", "6 V"),
    (
        "    act: ask",
        "    if: cover has latches\n    if not: leave\n    act: ask",
        "bad-condition",
        "cover has",
    ),
    (
        "nothing: leave",
        "nothing: {counts as: tripped, on: braker, then: leave}",
        "unknown-device",
        "braker",
    ),
    ("if stuck: leave", "if stuck: heard", "stage-not-any", "heard\nnameplate"),
    (SOURCE, "    source: judgment", "bad-source", "judgment"),
    (SOURCE, f"    cannot: {{reach: heart}}\n{SOURCE}", "unknown-step", "heart"),
    (SOURCE, f"    close: wek\n{SOURCE}", "unknown-verdict", "wek"),
    ("low: rating less 6 %", "low: rating less 6 ohm", "wrong-kind", "less 6 ohm"),
    ("high: rating plus", "high: ratings plus", "unknown-name", "ratings plus"),
    ("below low", "below lower", "unknown-name", "lower:"),
    ("{rating}", "{ratings}", "unknown-name", "ratings}"),
    ("high: rating plus 6 %", "high: rating less 9 %", "cuts-cross", "up to high"),
    ("to: 100 uF", "to: 100 V", "wrong-kind", "100 V"),
    (ASK, f"    if: cover is glue\n    if not: leave\n{ASK}", "unknown-word", "glue"),
    ("function: capacitance", "function: volts", "wrong-act", "volts"),
    (ENTER, "{the device: unit}, returns", "unknown-device", "unit},"),
    ("returns: {not done: leave}", "returns: {undone: leave}", "unknown-return", "undone"),
    ("use: come-out", "use: come-in", "unknown-procedure", "come-in"),
    ("dead\n    repair", "off\n    repair", "unknown-stage", "unit off"),
]


@pytest.mark.parametrize(("old", "new", "code", "at"), SLIPS)
def test_a_slip_is_found_at_the_word_at_fault(
    small: Path, old: str, new: str, code: str, at: str
) -> None:
    text = changed(GOOD, (old, new))
    assert (code, *place_of(text, at)) in found(small / "small.yaml", text)


READ = """\
    act: read live
    do: One lead on each.
    caution: {WARNING: Live.}
    readings: {it: {function: volts, between: [contactor.L1, contactor.L2], when: at rest}}
    bands:
      below 20 V: {verdict: nothing, then: leave}
      otherwise: {verdict: something, then: capacitor}
    source: judgement
"""


def test_what_lies_in_a_box_is_read_in_that_box(small: Path) -> None:
    """A caution of the author's own does not stand in for saying where hands go."""
    start = GOOD.index("    act: ask")
    volts = GOOD[:start] + READ + GOOD[GOOD.index("  capacitor:\n") :]
    assert ("act-lacks", *place_of(volts, "read live")) in found(small / "small.yaml", volts)
    air = changed(
        volts,
        (
            "function: volts, between: [contactor.L1, contactor.L2]",
            "function: temperature, each of: [air.supply]",
        ),
        ("    bands:", "    judge: min(it)\n    bands:"),
        ("below 20 V", "below 59 F"),
    )
    assert "act-lacks" not in {code for code, _, _ in found(small / "small.yaml", air)}

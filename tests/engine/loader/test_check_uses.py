"""Slips with procedures, lists, sorts and figures, each at the word at fault."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.loader import library
from tests.engine.loader.slips import changed, found, place_of

ALL = """\
format: 1
procedure: all-of-it
title: A bit of everything
takes: {the box: box, the zones: list, the limit: quantity, the points: point set, the note: text}
returns: [done, not done]
gives:
  lowest: {from: survey, work out: low}
  inside: {from: inner, reading: volts}
steps:
  survey:
    title: Volts between the legs
    act: read live
    zone: unit
    box: control box
    readings: {pairs: {function: volts, pairs of: the points}}
    work out: {low: min(pairs)}
    judge: verdict of unbalance(pairs)
    choices: {good: which, too close to call: which, high: return not done}
    cannot: which
    source: "standard: NEMA MG 1, from memory"
  which:
    sort: the box
    choices: {panel: each, otherwise: inner}
  inner:
    use: inner
    with: {the place: "{survey.low}", the least: the limit}
    returns: {good: each, low: return not done}
  each:
    for each: the zones
    none: return done
    steps:
      look:
        title: Ohms of the {the zone}
        act: check
        zone: the zone
        box: control box
        readings:
          shell: {function: ohms, to ground from: contactor load}
          legs: {function: ohms, pairs of: contactor load}
        judge in turn:
          - judge: min(shell)
            bands:
              below the limit of it: {counts as: fault, then: return not done}
              otherwise: carry on
          - judge: min(legs)
            bands:
              below 2 ohm: {counts as: fault, then: return not done}
              otherwise: {counts as: clear, then: next one}
        source: judgement
"""
INNER = """\
format: 1
procedure: inner
title: Inner
takes: {the place: text, the least: quantity}
returns: [good, low]
gives: {volts: {from: first, reading: volts}}
steps:
  first:
    title: Volts at the {the place}
    act: read live
    zone: unit
    box: control box
    readings: {volts: {function: volts, between: [contactor.L1, contactor.L2]}}
    bands:
      below the least: {then: return low}
      otherwise: {then: return good}
    source: judgement
"""
TREE = """\
format: 1
tree: user
title: Uses it
complaint: {said as: [it is off]}
revision: 1
status: draft
layout: single feed
if stuck: away
suspects:
  loose-wire: {title: Loose wire}
lists:
  zones:
    unit: {the zone: unit}
start: use-it
steps:
  use-it:
    use: all-of-it
    with:
      the box: control box
      the zones: zones
      the limit: 20 V
      the points: contactor line
      the note: as found
    returns:
      done: by-lowest
      not done: away
  by-lowest:
    sort: min(use-it.lowest, use-it.inside)
    bands:
      below 187 V: {finds: loose-wire}
      below 200 V: by-word
      otherwise: {also: dirt, then: by-word}
    source: judgement
  by-word:
    sort: use-it
    choices: {done: away, otherwise: away}
  away: {stage: any, act: end, end: withdrawn}
findings:
  dirt: {kind: noted, title: Dirt in the box}
  loose-wire:
    suspect: loose-wire
    zone: unit
    box: control box
    repair: A new end.
    tell customer: A wire was loose.
    then: away
"""
ALL = ALL.replace("below the limit of it", "below 1 Mohm")


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    """Make a folder with the tree and the procedures."""
    (tmp_path / "procedures").mkdir()
    (tmp_path / "procedures" / "all-of-it.yaml").write_text(ALL, encoding="utf-8")
    (tmp_path / "procedures" / "inner.yaml").write_text(INNER, encoding="utf-8")
    return tmp_path


def test_nothing_is_wrong_without_a_slip(shelf: Path) -> None:
    assert found(shelf / "user.yaml", TREE) == []
    for name in ("all-of-it", "inner"):
        assert library.check(shelf / "procedures" / f"{name}.yaml") == ()


IN_TREE = [
    ("the zones: zones", "the zones: zone", "unknown-list", "zone\n      the limit"),
    ("the zones: zones", "the zones: [unit]", "wrong-parameter", "[unit]"),
    ("the zones: zones", "the zones: {unit: {the place: x}}", "missing-parameter", "unit: {the p"),
    ("the limit: 20 V", "the limit: 20", "bad-formula", "20\n"),
    ("the limit: 20 V", "the limit: [20 V]", "wrong-parameter", "[20 V]"),
    ("the points: contactor line", "the points: contactor lin", "unknown-set", "contactor lin\n"),
    ("the points: contactor line", "the points: [contactor.L1, x]", "unknown-set", "x]"),
    ("the box: control box", "the box: box", "unknown-box", "box\n      the zones"),
    ("the zone: unit", "the zone: units", "unknown-zone", "units}"),
    ("done: by-lowest", "done: {counts as: clear, then: by-lowest}", "wrong-effect", "clear,"),
    ("done: by-lowest", "done: {finds: dirt}\n      dun: by-lowest", "side-finding", "dirt}"),
    ("{also: dirt,", "{also: loose-wire,", "side-finding", "loose-wire, then"),
    ("use-it.lowest", "use-it.lowst", "unknown-name", "use-it.lowst,"),
    ("below 187 V", "below 187 ohm", "wrong-kind", "187 ohm"),
    ("{done: away, otherwise: away}", "{done: away}", "wrong-choices", "choices"),
    ("{done: away, otherwise: away}", "{dun: away, otherwise: away}", "wrong-choices", "dun:"),
    (
        "away: {stage: any,",
        "away: {if: the box is panel, if not: x, stage: any,",
        "unknown-parameter",
        "the box is panel",
    ),
    ("not done: away", "not done: return done", "misplaced-target", "done\n  by-lowest"),
    ("not done: away", "not done: carry on", "misplaced-target", "carry on"),
    ("    sort: use-it\n", "    sort: use-itt\n", "unknown-name", "use-itt"),
]


@pytest.mark.parametrize(("old", "new", "code", "at"), IN_TREE)
def test_a_slip_in_the_tree(shelf: Path, old: str, new: str, code: str, at: str) -> None:
    text = changed(TREE, (old, new))
    assert (code, *place_of(text, at)) in found(shelf / "user.yaml", text)


FINE, CLEAR = "choices: {good", "otherwise: {counts as: clear, then: next one}"
IN_PROCEDURE = [
    ("work out: low}", "work out: lowest}", "unknown-name", "lowest}"),
    ("from: inner, reading: volts", "from: inner, reading: volt", "unknown-name", "volt}"),
    ("{good: which", "{fine: which", "wrong-choices", "fine:"),
    ("too close to call: which, ", "", "wrong-choices", FINE),
    (
        "judge: verdict of unbalance(pairs)",
        "judge: unbalance(pairs)",
        "wrong-kind",
        "choices: {good",
    ),
    ("    judge: verdict of unbalance(pairs)\n", "", "no-judge", FINE),
    ("judge: min(legs)", "judge: min(leg)", "unknown-name", "leg)"),
    (
        "otherwise: {counts as: clear, then: next one}",
        "otherwise: carry on",
        "misplaced-target",
        "carry on\n        source",
    ),
    ("counts as: clear", "counts as: clean", "wrong-effect", "clean"),
    ("the least: the limit", "the least: the note", "wrong-parameter", "the note}"),
    ('the place: "{survey.low}"', 'the place: "{survey.lo}"', "unknown-name", "survey.lo}"),
    ("low: return not done}", "low: {finds: x}}", "unknown-finding", "x}}"),
    ("title: Volts between the legs", "title: Volts of {the leg}", "unknown-parameter", "the leg}"),
    (
        "{panel: each,",
        "{panel: {counts as: clear, then: each},",
        "wrong-effect",
        "clear, then: each",
    ),
]


@pytest.mark.parametrize(("old", "new", "code", "at"), IN_PROCEDURE)
def test_a_slip_in_the_procedure(shelf: Path, old: str, new: str, code: str, at: str) -> None:
    text = changed(ALL, (old, new))
    assert (code, *place_of(text, at)) in found(shelf / "procedures" / "all-of-it.yaml", text)


def test_a_quantity_of_the_wrong_kind_is_found_where_it_is_compared(shelf: Path) -> None:
    text = changed(TREE, ("the limit: 20 V", "the limit: 20 ohm"))
    path = shelf / "user.yaml"
    path.write_text(text, encoding="utf-8")
    (problem,) = library.check(path)
    assert problem.code == "wrong-kind"
    assert problem.span.path.endswith("inner.yaml")


EACH = """\
  look:
    for each: zones
    none: away
    steps: {see: {act: check, zone: the zone, box: panel}}
  away: {"""


def test_rows_that_do_not_say_the_same_are_told_apart(shelf: Path) -> None:
    text = changed(
        TREE,
        ("    unit: {the zone: unit}", "    unit: {the zone: unit}\n    bus: {the place: bus}"),
        (
            "  away: {",
            EACH,
        ),
    )
    problems = found(shelf / "user.yaml", text)
    assert ("unknown-parameter", *place_of(text, "the zone, box: panel")) in problems


# --- the words that all trees share ---------------------------------------------------------------

WORDS = """\
vocabulary: ours
format: 1
points: {attic.1: {title: In the attic}}
sets: {attic: {1: [attic.1], 3: [attic.1, ground]}}
nameplate:
  roof: {ask: Roof, one of: [flat, steep]}
  pitch: {ask: Pitch, quantity: length, if: roof is steep, if unreadable: default, default: 1 in}
"""


@pytest.mark.parametrize(
    ("old", "new", "code", "at"),
    [
        ("[attic.1, ground]", "[attic.1, attic.2]", "unknown-point", "attic.2"),
        ("roof is steep", "rof is steep", "unknown-name", "rof is"),
        ("roof is steep", "roof is round", "unknown-word", "round,"),
        ("if unreadable: default", "if unreadable: away", "unknown-step", "away"),
    ],
)
def test_a_slip_in_the_shared_words(tmp_path: Path, old: str, new: str, code: str, at: str) -> None:
    path = tmp_path / "words.yaml"
    assert found(path, WORDS) == []
    text = changed(WORDS, (old, new))
    assert found(path, text) == [(code, *place_of(text, at))]

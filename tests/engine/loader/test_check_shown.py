"""What an answer counts as is held to what its readings can show."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.loader import library

STEP = """\
format: 1
procedure: read-it
title: Read it
returns: [done, not done]
steps:
  read:
    title: At the contactor
    act: {act}
    zone: {zone}
    box: control box
    readings: {{all: {{function: {function}, {where}}}}}
    judge: {judge}
    bands:
{bands}
    source: judgement
"""
DEAD = ("prove dead", "unit", "volts", "pairs of: contactor line", "max(all)")
BLED = ("discharge", "unit", "dc volts", "pairs of: contactor line", "max(all)")
UNDER = ("read live", "control", "volts", "between: [board.R, board.C]", "all")
CLEAR = ("check", "unit", "ohms", "to ground from: contactor line", "min(all)")
TESTED = ("insulation test", "unit", "insulation", "to ground from: contactor line", "min(all)")
Way = tuple[str, str, str, str, str]


def said(tmp_path: Path, way: Way, good: str, *bands: str) -> list[tuple[int, str]]:
    """Return line and sentence of what counts as too much; ``good`` marks the answer's word."""
    rows = "".join(
        f"      {band.rstrip('+')}: {{verdict: v{n}, "
        f"{f'counts as: {good}, ' if band.endswith('+') else ''}then: return done}}\n"
        for n, band in enumerate(bands)
    )
    act, zone, function, where, judge = way
    text = STEP.format(
        act=act, zone=zone, function=function, where=where, judge=judge, bands=rows.rstrip("\n")
    )
    path = tmp_path / "read-it.yaml"
    path.write_text(text, encoding="utf-8", newline="\n")
    found = library.check(path)
    return [(one.span.line, one.sentence) for one in found if one.code == "counts-too-much"]


@pytest.mark.parametrize(
    ("way", "good", "bands"),
    [
        (DEAD, "dead", ("below 3 V+", "otherwise")),
        (DEAD, "dead", ("below 50 V+", "otherwise")),
        (DEAD, "dead", ("up to 49.9 V+", "otherwise")),
        (BLED, "below limit", ("below 5 V+", "otherwise")),
        (UNDER, "under 50", ("below 20 V+", "up to 30 V+", "below 50 V+", "otherwise")),
        (CLEAR, "clear", ("below 1 Mohm", "otherwise+")),
        (CLEAR, "clear", ("below 1 Mohm", "otherwise", "OL+")),
        (TESTED, "clear", ("below 2 Mohm", "up to 20 Mohm+", "otherwise+")),
    ],
)
def test_what_the_readings_show_may_be_said(
    tmp_path: Path, way: Way, good: str, bands: tuple[str, ...]
) -> None:
    assert said(tmp_path, way, good, *bands) == []


@pytest.mark.parametrize(
    ("way", "good", "bands", "line", "why"),
    [
        # 50 V: 29 CFR 1910.333(a)(1), live parts below it need not be de-energised.
        (DEAD, "dead", ("below 3 V", "otherwise+"), 15, "50 V or more never counts as dead."),
        (DEAD, "dead", ("up to 50 V+", "otherwise"), 14, "not held below 50 V"),
        (DEAD, "dead", ("below low of rated_volts+", "otherwise"), 14, "for every nameplate"),
        (DEAD, "dead", ("below 3 V", "otherwise", "unsteady+"), 16, "nothing could be read"),
        (DEAD, "dead", ("below 3 V", "otherwise", "OL+"), 16, "an over-range"),
        (BLED, "below limit", ("below 60 V+", "otherwise"), 14, "never counts as below limit"),
        (UNDER, "under 50", ("up to 30 V+", "otherwise+"), 15, "everything above the last cut"),
        (CLEAR, "clear", ("below 1 Mohm+", "otherwise"), 14, "a dead short"),
        (CLEAR, "clear", ("below 1 Mohm", "otherwise", "can't read+"), 16, "nothing could be"),
        (TESTED, "clear", ("below 2 Mohm+", "otherwise"), 14, "would count as clear"),
        (
            (*DEAD[:4], "min(all)"),
            "dead",
            ("below 3 V+", "otherwise"),
            14,
            "One good reading would do: 'min(all)' leaves out the worst.",
        ),
        ((*CLEAR[:4], "max(all)"), "clear", ("below 1 Mohm", "otherwise+"), 15, "'max(all)'"),
    ],
)
def test_more_than_the_readings_show_is_a_problem_at_its_answer(
    tmp_path: Path, way: Way, good: str, bands: tuple[str, ...], line: int, why: str
) -> None:
    ((found, sentence),) = said(tmp_path, way, good, *bands)
    assert found == line
    assert why in sentence


def test_the_words_that_stand_for_the_worse_may_stand_anywhere(tmp_path: Path) -> None:
    assert said(tmp_path, DEAD, "not dead", "below 3 V", "otherwise+") == []
    assert said(tmp_path, CLEAR, "fault", "below 1 Mohm+", "otherwise") == []

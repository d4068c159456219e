"""An interview answered by somebody who does not care what: every way through it that there is."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

from engine.loader.loading import Loader
from engine.loader.shelves import shelves
from engine.starter import (
    Beginning,
    Interview,
    Question,
    WordsKnown,
    case_text,
    from_text,
    tree_text,
)
from engine.vocabulary import Vocabulary

ANSWERS = Path(__file__).parents[2] / "data" / "fan-stands-still.answers.txt"

Throw = Callable[[int], int]
"""Gives a number below the one it is given."""


@cache
def vocabulary() -> Vocabulary:
    """Return the shipped words."""
    return Loader(shelves(None)).vocabulary()


def known(*trees: str) -> WordsKnown:
    """Return what an interview knows, with trees of these names already there."""
    return WordsKnown(vocabulary(), trees)


def fan_lines() -> tuple[str, ...]:
    """Return the answers of the interview that is kept beside the tests."""
    return from_text(ANSWERS.read_text(encoding="utf-8"))


def written(beginning: Beginning, folder: Path) -> Path:
    """Write a beginning as a tree with cases; return the tree's file."""
    tree = folder / f"{beginning.name}.yaml"
    text = tree_text(beginning, vocabulary(), "../schemas/tree.json")
    tree.write_text(text, encoding="utf-8", newline="\n")
    cases = tree.with_name(f"{beginning.name}.cases.yaml")
    cases.write_text(case_text(beginning, vocabulary()), encoding="utf-8", newline="\n")
    return tree


def fan_tree(folder: Path) -> Path:
    """Write the tree of the answers that are kept beside the tests."""
    beginning = Interview.begun(known(), fan_lines()).beginning
    assert beginning is not None
    return written(beginning, folder)


WINDOWS = {
    "volts": (("3 V", "20.4 V", "90 % of low of rated_volts"), ("30 V", "110 % of 240 V")),
    "amps": (("2 A", "40 % of compressor_rla"), ("600 A", "2 times compressor_rla")),
    "ohms": (("4 ohm", "0.8 kohm"), ("2 kohm", "1 Mohm")),
    "microfarads": (
        ("2 uF", "fan_capacitance less capacitance_tolerance"),
        ("80 uF", "fan_capacitance plus 2 times fan_capacitance"),
    ),
}
"""Ends of windows by the reading, such that any lower one lies below any upper one."""
TEXTS = ("It hums: then it stops", "Nothing #1 of all", "- odd [one]", "it's 5 % off, say", '"so"')
"""What a file could misread."""
POINTS = (
    "run_cap.FAN",
    "run_cap.C",
    "contactor.L1",
    "contactor.L2",
    "contactor.T1",
    "contactor.T2",
    "compressor.lead.C",
    "contactor.coil.1",
    "board.R",
    "board.C",
    "thermostat.R",
    "thermostat.C",
    "thermostat.G",
    "thermostat.Y",
)


def answered(throw: Throw, causes: int) -> Interview:
    """Return a whole interview, its answers thrown."""
    interview = Interview.begun(known())
    read, number = "", 0
    while (question := interview.question) is not None:
        number += 1
        told = sum("of the ten" in line.question for line in interview.lines)
        for attempt in range(80):
            text = _answer(question, throw, read, number + attempt, causes, told)
            after = interview.entered(text)
            if after.question is None or not after.question.refused:
                break
        else:
            raise AssertionError(f"nothing answers {question}")
        if question.words == "Which reading?":
            chosen = question.choices[int(text) - 1]
            read = next(word for word in WINDOWS if word in chosen.casefold())
        interview = after
    return interview


def _answer(
    question: Question, throw: Throw, read: str, number: int, causes: int, told: int
) -> str:
    words = question.words
    if question.choices:
        return str(1 + throw(len(question.choices)))
    if "lead" in words:
        return POINTS[throw(len(POINTS))]
    for at, part in enumerate(("at least what", "at most what")):
        if part in words:
            ends = WINDOWS[read][at]
            return "" if not throw(4) else ends[throw(len(ends))]
    if "of the ten" in words:
        return f"{10 / causes - 0.1:.1f}"
    if "cause have you" in words:
        if question.enter and told >= causes:
            return ""
        return f"{TEXTS[throw(len(TEXTS))]} {number}"
    if question.enter:
        return ""
    return f"{TEXTS[throw(len(TEXTS))]} {number}"

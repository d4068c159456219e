"""Whatever happens to a file: it gives problems or a tree to walk, never an exception."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engine.loader import library
from tests.property.test_expansion_laws import loose_ends

TESTS = Path(__file__).parents[1]
SEEDS = [
    TESTS / "data" / "trees" / "hums-and-stops.yaml",
    TESTS / "broken_trees" / "whole" / "stays-off.yaml",
    TESTS.parent / "trees" / "procedures" / "prove-dead-and-discharge.yaml",
]
WORDS = [
    *("the zone", "the box", "next one", "carry on", "go on", "return done", "leave", "windings"),
    *("{", "}", "[", "]", "", '"', "a: b", "- ", "x", "12", "5 ohm", "low of x", "min("),
    *("otherwise", "below 5 V", "up to high", "OL", "is", "has", "any", "unit", "capacitor"),
    *("act", "use", "finds", "then", "like", "for each", "steps", "with", "returns"),
]
_PARTS = re.compile(r"(\W+)")


@st.composite
def damaged(draw: st.DrawFn) -> str:
    """Draw a file of the seeds with one to three of its lines changed."""
    lines = draw(st.sampled_from(SEEDS)).read_text(encoding="utf-8").split("\n")
    for _ in range(draw(st.integers(1, 3))):
        at = draw(st.integers(0, len(lines) - 1))
        other = draw(st.integers(0, len(lines) - 1))
        change = draw(st.sampled_from(["left out", "twice", "moved", "word", "indent"]))
        if change == "left out":
            lines[at] = ""
        elif change == "twice":
            lines.insert(at, lines[other])
        elif change == "moved":
            lines[at], lines[other] = lines[other], lines[at]
        elif change == "indent":
            lines[at] = "  " * draw(st.integers(0, 4)) + lines[at].strip()
        else:
            parts = _PARTS.split(lines[at])
            parts[draw(st.integers(0, len(parts) - 1))] = draw(st.sampled_from(WORDS))
            lines[at] = "".join(parts)
    return "\n".join(lines)


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make a place for a damaged file."""
    return tmp_path_factory.mktemp("damaged") / "damaged.yaml"


@settings(max_examples=60, deadline=None)
@given(text=damaged())
def test_a_damaged_file_has_problems_or_is_a_whole_tree(place: Path, text: str) -> None:
    place.write_text(text, encoding="utf-8", newline="\n")
    problems = library.check(place)
    loaded = library.load(str(place))
    assert loaded.walk is None or loose_ends(loaded.walk) == []
    assert all(problem.sentence.endswith((".", "?")) for problem in problems)

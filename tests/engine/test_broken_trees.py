"""Every way in which a file can be broken, one file each, found at its line and column.

The first line of a broken file is a remark: the line and column at which its one problem stands,
then what an author may have had in mind. What no file in the repository should be is made here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from engine.codes import CODES, MEANING, SHAPE, WRITING
from engine.loader import library
from engine.loader.parse import LONGEST_TEXT, PurePython
from engine.loader.text import LARGEST_FILE, MOST_ENTRIES, read
from tests.engine.loader.jargon import jargon

BROKEN = Path(__file__).parent.parent / "broken_trees"
FILES = sorted(BROKEN.glob("*.yaml"))
_OF_A_PLACE = ("not-opened", "file-name")
COVERED = tuple(one for one in (*WRITING, *SHAPE, *MEANING) if one.name not in _OF_A_PLACE)
"""Codes that must have a file here; what is wrong with a file's place is `test_library`'s."""
EXPECTED = re.compile(rb"# (\d+):(\d+) \S")

_START = b"format: 1\nprocedure: look-around\ntitle: Look around\nsteps:\n  look:\n"
MADE: Mapping[str, Callable[[], bytes]] = {
    "too-large": lambda: b"#" * (LARGEST_FILE + 1),
    "too-many": lambda: _START + b"\n" * MOST_ENTRIES,
    "too-long": lambda: _START + b"    act: look over\n    why: " + b"x" * (LONGEST_TEXT + 1),
    "too-deep": lambda: _START + b"    act: " + b"[" * 31,
}
"""Code → a file too large to keep, whose one problem has it."""


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_broken_file_has_its_one_problem_at_its_place(path: Path) -> None:
    found = library.check(path)
    assert [(one.code, one.span.line, one.span.column) for one in found] == [
        (path.stem, *place_said(path))
    ]
    assert {one.span.path for one in found} == {str(path)}


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_without_the_fast_parser_the_same_is_read(path: Path) -> None:
    raw = path.read_bytes()
    fast, slow = read(path.name, raw), read(path.name, raw, PurePython)
    assert (fast.data, fast.problems) == (slow.data, slow.problems)
    assert dict(fast.marks) == dict(slow.marks)


@pytest.mark.parametrize("code", MADE)
def test_a_made_file_has_its_one_problem(code: str, tmp_path: Path) -> None:
    made = tmp_path / "made.yaml"
    made.write_bytes(MADE[code]())
    assert [one.code for one in library.check(made)] == [code]


def test_every_code_has_a_broken_file() -> None:
    codes = {code.name for code in COVERED}
    assert codes <= {path.stem for path in FILES} | set(MADE)
    assert {path.stem for path in FILES} | set(MADE) <= set(CODES)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_problem_says_what_is_wrong_and_what_would_be_right(path: Path) -> None:
    for found in library.check(path):
        assert found.sentence.endswith((".", "?"))
        assert found.fix == "" or found.fix.endswith((".", "?"))
        assert str(found).startswith(f"{found.span} {path.stem} {found.sentence}")
        assert jargon([found]) == []


def place_said(path: Path) -> tuple[int, int]:
    """Return the line and column that a broken file says its problem stands at."""
    said = EXPECTED.match(path.read_bytes())
    assert said is not None, f"{path.name} does not begin with the place of its problem"
    return int(said[1]), int(said[2])

"""Every way in which a file can be broken, one file each, found at its line and column.

The first line of a broken file is a remark: the line and column at which its one problem stands,
then what an author may have had in mind. What no file in the repository should be is made here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from engine.codes import SHAPE, WRITING
from engine.loader.parse import FASTEST, LONGEST_TEXT, Parser, PurePython
from engine.loader.schema import SCHEMAS, check, unknown_kind
from engine.loader.text import LARGEST_FILE, MOST_ENTRIES, read
from engine.problems import Problem

BROKEN = Path(__file__).parent.parent / "broken_trees"
FILES = sorted(BROKEN.glob("*.yaml"))
EXPECTED = re.compile(rb"# (\d+):(\d+) \S")

_START = b"format: 1\nprocedure: look-around\ntitle: Look around\nsteps:\n  look:\n"
MADE: Mapping[str, Callable[[], bytes]] = {
    "too-large": lambda: b"#" * (LARGEST_FILE + 1),
    "too-many": lambda: _START + b"\n" * MOST_ENTRIES,
    "too-long": lambda: _START + b"    act: look over\n    why: " + b"x" * (LONGEST_TEXT + 1),
    "too-deep": lambda: _START + b"    act: " + b"[" * 31,
}
"""Code → a file too large to keep, whose one problem has it."""


def problems(name: str, raw: bytes, parser: Parser = FASTEST) -> list[Problem]:
    """Return everything that a load finds wrong with one file."""
    document = read(name, raw, parser)
    found = list(document.problems)
    if isinstance(document.data, dict):
        kind = next((key for key in document.data if key != "format"), "")
        found += check(document, kind) if kind in SCHEMAS else [unknown_kind(document)]
    return found


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
@pytest.mark.parametrize("parser", [FASTEST, PurePython], ids=["fastest", "pure"])
def test_a_broken_file_has_its_one_problem_at_its_place(path: Path, parser: Parser) -> None:
    raw = path.read_bytes()
    said = EXPECTED.match(raw)
    assert said is not None, f"{path.name} does not begin with the place of its problem"
    found = problems(path.name, raw, parser)
    assert [(one.code, one.span.line, one.span.column) for one in found] == [
        (path.stem, int(said[1]), int(said[2]))
    ]


@pytest.mark.parametrize("code", MADE)
def test_a_made_file_has_its_one_problem(code: str) -> None:
    assert [one.code for one in problems("made.yaml", MADE[code]())] == [code]


def test_every_code_has_a_broken_file() -> None:
    codes = {code.name for code in (*WRITING, *SHAPE)}
    assert codes == {path.stem for path in FILES} | set(MADE)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_problem_says_what_is_wrong_and_what_would_be_right(path: Path) -> None:
    (found,) = problems(path.name, path.read_bytes())
    assert found.sentence.endswith((".", "?"))
    assert found.fix == "" or found.fix.endswith((".", "?"))
    assert str(found).startswith(f"{path.name}:{found.span.line}:{found.span.column} {path.stem} ")

"""Sentences on a narrow terminal: every word whole, nothing lost, nothing added."""

from __future__ import annotations

import io
import shutil
from collections.abc import Iterator
from os import terminal_size

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.cli.exits import Exit
from engine.cli.main import main
from engine.cli.narration import Narration

NARROW = 40


class Terminal(io.StringIO):
    """A terminal of forty columns."""

    def isatty(self) -> bool:
        return True


@pytest.fixture(autouse=True, scope="module")
def narrow() -> Iterator[None]:
    patch = pytest.MonkeyPatch()
    patch.setattr(shutil, "get_terminal_size", lambda *_: terminal_size((NARROW, 15)))
    yield
    patch.undo()


WORDS = st.lists(st.text("abcd.", min_size=1, max_size=12), max_size=30).map(" ".join)


@given(st.lists(WORDS, max_size=4))
def test_no_line_is_too_long_and_no_word_is_broken(lines: list[str]) -> None:
    terminal = Terminal()
    text = "".join(f"{line}\n" for line in lines)
    assert Narration(terminal).write(text) == len(text)
    said = terminal.getvalue()
    assert all(len(line) <= NARROW for line in said.splitlines())
    assert said.split() == text.split()
    assert said.count("\n") >= len(lines)


def test_a_question_keeps_its_line_and_a_bar_its_place() -> None:
    terminal = Terminal()
    narration = Narration(terminal)
    narration.write("Go on? ")
    narration.write("\r" + "#" * 60)
    assert terminal.getvalue() == "Go on? \r" + "#" * 60


def test_every_command_is_told_so() -> None:
    out, err = io.StringIO(), Terminal()
    assert main(["trial", "nix", "--unit", "3-ton-high-leg"], lambda _: 0, out, err) == (
        Exit.PROBLEMS
    )
    assert err.getvalue().splitlines() == [
        "nix:1:1 no-tree There is no tree called",
        "  nix. A tree is named by its id, or by",
        "  the path of its file.",
    ]
    whole = io.StringIO()
    main(["trial", "nix", "--unit", "3-ton-high-leg"], lambda _: 0, out, whole)
    assert whole.getvalue().count("\n") == 1

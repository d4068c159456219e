"""The command line as a whole: which command, how it ends, and no traceback ever."""

from __future__ import annotations

import io
from collections.abc import Sequence
from importlib import import_module
from importlib.metadata import version

import pytest

from engine.cli import main as command
from engine.cli.exits import Exit


def draw(arguments: Sequence[str]) -> int:
    """Stand in for the screens."""
    return 0


def halfsplit(*words: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    return command.main(words, draw, out, err), out.getvalue(), err.getvalue()


def test_without_a_command_the_screens_open() -> None:
    assert halfsplit() == (0, "", "")


def test_the_version_is_that_of_the_package() -> None:
    assert halfsplit("--version") == (Exit.FINE, f"halfsplit {version('halfsplit')}\n", "")


@pytest.mark.parametrize("word", ["--help", "-h", "help"])
def test_help_names_every_command(word: str) -> None:
    code, out, _ = halfsplit(word)
    assert code == Exit.FINE
    for name in command.COMMANDS:
        assert f"  {name}" in out


@pytest.mark.parametrize("name", command.COMMANDS)
def test_every_command_helps_and_refuses_a_wrong_word(name: str) -> None:
    code, out, err = halfsplit(name, "--help")
    assert (code, err) == (Exit.FINE, "")
    assert "usage" in out.casefold()
    code, out, err = halfsplit(name, "--no-such-word")
    assert code == Exit.USAGE
    assert (out, "Traceback" in err) == ("", False)


def test_a_command_that_is_not_there_offers_the_nearest() -> None:
    code, _, err = halfsplit("chek")
    assert code == Exit.USAGE
    assert "Did you mean check?" in err


@pytest.mark.parametrize(
    ("raised", "code", "says"),
    [(KeyboardInterrupt(), Exit.STOPPED, "Stopped."), (BrokenPipeError(), Exit.FINE, "")],
)
def test_being_stopped_ends_quietly(
    raised: BaseException, code: Exit, says: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def run(*_: object) -> int:
        raise raised

    monkeypatch.setattr(import_module("engine.cli.check"), "run", run)
    monkeypatch.setattr("sys.stderr", io.StringIO())
    ended, _, err = halfsplit("check")
    assert ended == code
    assert says in err

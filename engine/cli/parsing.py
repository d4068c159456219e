"""Command lines: argparse that answers with a sentence and an exit code instead of leaving."""

from __future__ import annotations

import argparse
from typing import NoReturn

from engine.cli.exits import Exit


class UsageError(Exception):
    """What is wrong with a command line (or the help that was asked for), and the exit code."""

    def __init__(self, text: str, code: Exit = Exit.USAGE) -> None:
        super().__init__(text)
        self.code = code


class Parser(argparse.ArgumentParser):
    """A parser that raises `UsageError` where argparse would print and end the process."""

    def error(self, message: str) -> NoReturn:
        """Raise a wrong command line as a sentence with the usage below it."""
        raise UsageError(f"{message[:1].upper()}{message[1:]}.\n{self.format_usage().rstrip()}")

    def exit(self, status: int = 0, message: str | None = None) -> NoReturn:
        """Raise the end that ``--help`` asks for."""
        raise UsageError((message or "").rstrip(), Exit(status))

    def print_help(self, file: object = None) -> None:
        """Raise the help text, so that the caller's own stream gets it."""
        raise UsageError(self.format_help().rstrip(), Exit.FINE)

"""How long a command takes from the shell, and how long it is until the first screen is up."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.bench.__main__ import Measured
from tests.bench.large_tree import readings_text, tree_text
from tests.bench.timing import process

STEPS = 200
SHORT, WALK, CHECK = 120.0, 400.0, 400.0
"""Milliseconds that a short command and a walk from a file may take more than the interpreter, and
*check* in all. A walk of 200 steps was wished for in 120 as well; it loads, checks and walks 4,000
lines, so it has a floor of its own until it is faster."""
SCREEN = 1.5
"""Times the start of an empty application with one entry line."""

_COMMANDS = (
    ("--version", ("--version",)),
    ("figure", ("figure", "capacitor", "amps=5.2", "volts=370")),
    ("jobs", ("jobs",)),
)

_EMPTY = """
from textual.app import App
from textual.widgets import Input

class Empty(App):
    def compose(self):
        yield Input()

    def on_ready(self):
        self.exit()

Empty().run(headless=True)
"""
_FIRST_SCREEN = """
from tui.app import HalfsplitApp

class Started(HalfsplitApp):
    def push_screen(self, screen, *rest, **named):
        pushed = super().push_screen(screen, *rest, **named)
        screen.call_after_refresh(self.exit)
        return pushed

Started().run(headless=True)
"""


def figures() -> Iterator[Measured]:
    """Yield the milliseconds of the short commands, of *check*, and the ratio for the screen."""
    bare = process(["-c", "pass"])
    with tempfile.TemporaryDirectory() as folder:
        env = {**os.environ, "HALFSPLIT_HOME": folder}
        walk = ("walk", *_files(Path(folder)))
        long = (f"walk --readings, {STEPS} steps", walk, WALK)
        for name, arguments, floor in (*((*one, SHORT) for one in _COMMANDS), long):
            taken = process(["-m", "tui", *arguments], env=env) - bare
            yield Measured(f"{name}, over the bare interpreter", 1000 * taken, floor, "ms")
        taken = process(["-m", "tui", "check", walk[1]], env=env)
        yield Measured(f"check of one tree, {STEPS} steps", 1000 * taken, CHECK, "ms")
        empty = process(["-c", _EMPTY], env=env)
        screen = process(["-c", _FIRST_SCREEN], env=env)
        yield Measured("first screen over an empty application", screen / empty, SCREEN, "times")


def _files(folder: Path) -> tuple[str, ...]:
    """Write a tree and its readings; return what names them on the command line."""
    tree, readings = folder / "large.yaml", folder / "large.readings.yaml"
    tree.write_text(tree_text(STEPS), encoding="utf-8", newline="\n")
    readings.write_text(readings_text(STEPS), encoding="utf-8", newline="\n")
    return str(tree), "--readings", str(readings)

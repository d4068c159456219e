"""The command line: which command, and how it ends.

Every command lives in a module of its own that is imported only when it is asked for, so that
``halfsplit figure`` starts as fast as the interpreter allows.
"""

from __future__ import annotations

import io
import sys
from collections.abc import Callable, Mapping, Sequence
from importlib import import_module
from typing import TextIO, cast

from engine.cli.exits import Exit
from engine.cli.narration import Narration

COMMANDS: Mapping[str, tuple[str, str]] = {
    "walk": ("engine.cli.walk", "walk a tree: on the screen, line by line, or from a file"),
    "check": ("engine.cli.check", "say what is wrong with trees, procedures and cases"),
    "new": ("engine.cli.new", "begin a tree by answering questions"),
    "trial": ("engine.cli.trial", "try a tree against every fault of a simulated unit"),
    "rank": ("engine.cli.rank", "the next check for suspects and checks of your own"),
    "author": ("engine.cli.author", "follow a tree's file while you write it in your own editor"),
    "draw": ("engine.cli.draw", "a tree on paper: one drawing, or numbered steps for a binder"),
    "trees": ("engine.cli.trees", "which trees there are; one packed to be sent, one taken in"),
    "figure": ("engine.cli.figure", "work out a figure of the trade"),
    "jobs": ("engine.cli.jobs", "find, verify, pack and open jobs"),
    "report": ("engine.cli.report", "write a job's report"),
    "settings": ("engine.cli.settings", "what is asked once: name, meters, degrees, paper"),
}
"""Command → (its module, one line of help). Each module has ``run(arguments, out, err)``."""

Draw = Callable[[Sequence[str]], int]
"""Opens the screens; given by the caller, since the engine draws none."""

USAGE = "usage: halfsplit [COMMAND] [...]\n\nWithout a command the screens open.\n\n"


def main(
    arguments: Sequence[str],
    draw: Draw,
    out: TextIO = sys.stdout,
    err: TextIO = sys.stderr,
) -> int:
    """Run one command line and return the exit code; no traceback reaches the user."""
    for stream in (out, err):
        if isinstance(stream, io.TextIOWrapper):
            # A console that knows no ° or µ shows an escape instead of failing.
            stream.reconfigure(errors="backslashreplace")
    if err.isatty():
        # A text stream to whoever writes; `TextIO` is no class that one could inherit.
        err = cast("TextIO", Narration(err))
    try:
        return _run(list(arguments), draw, out, err)
    except KeyboardInterrupt:
        err.write("\nStopped.\n")
        return Exit.STOPPED
    except BrokenPipeError:
        # Whoever read the output has enough; that is no fault of anybody's.
        sys.stderr.close()
        return Exit.FINE


def _run(arguments: list[str], draw: Draw, out: TextIO, err: TextIO) -> int:
    if not arguments:
        return draw([])
    name, *rest = arguments
    if name in ("-h", "--help", "help"):
        out.write(help_text())
        return Exit.FINE
    if name == "--version":
        # Imported here: it costs as much as everything else a short command loads.
        from importlib.metadata import version

        out.write(f"halfsplit {version('halfsplit')}\n")
        return Exit.FINE
    if name not in COMMANDS:
        err.write(f"There is no command {name}.{_nearest(name)} halfsplit --help lists them.\n")
        return Exit.USAGE
    run = import_module(COMMANDS[name][0]).run
    code = run(rest, out, err)
    return draw(arguments) if code is None else int(code)


def help_text() -> str:
    """Return what ``--help`` prints: every command with its line."""
    width = max(len(name) for name in COMMANDS)
    lines = [f"  {name:{width}}  {line}" for name, (_, line) in COMMANDS.items()]
    return USAGE + "commands:\n" + "\n".join(lines) + "\n\nhalfsplit COMMAND --help tells more.\n"


def _nearest(name: str) -> str:
    import difflib

    near = difflib.get_close_matches(name, COMMANDS, 1)
    return f" Did you mean {near[0]}?" if near else ""

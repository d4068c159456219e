"""How the command ends: the exit codes, all of them, in one place."""

from __future__ import annotations

from enum import IntEnum


class Exit(IntEnum):
    """The exit code of a command."""

    FINE = 0
    """The work was done. What a figure's verdict says makes no difference."""
    PROBLEMS = 1
    """Problems were found in what was given to check, walk, rank or try."""
    USAGE = 2
    """A wrong command line, or values a figure can't work with."""
    STOPPED = 3
    """The user stopped it."""

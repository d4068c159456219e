"""The console command: everything goes to the engine; the screens are drawn from here."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from engine.cli.main import main as run


def _draw(arguments: Sequence[str]) -> int:
    # Textual is imported only when a screen is to be drawn: every other command works without it.
    try:
        from tui.app import draw
    except ModuleNotFoundError as error:
        if error.name is None or not error.name.startswith("textual"):
            raise
        sys.stderr.write("The screens need Textual; halfsplit walk TREE --plain does not.\n")
        return 2
    return draw(arguments)


def main() -> int:
    """Run the command line of this process and return its exit code."""
    return run(sys.argv[1:], _draw)


if __name__ == "__main__":
    sys.exit(main())

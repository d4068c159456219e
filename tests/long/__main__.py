"""The long tier: everything in ``tests/long`` (under thirty minutes on two cores)."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent


def main(arguments: list[str]) -> int:
    """Run pytest over this folder and return its exit code."""
    # What is timed keeps to one worker: fifteen screens at once are enough for two cores.
    command = [sys.executable, "-m", "pytest", "-n", "logical", "--dist", "loadgroup"]
    # Here the dice are thrown anew each time; the tier of every change keeps to the same throws.
    command += ["--hypothesis-profile", "thrown-anew"]
    # The folder is left out of ordinary collection, so it is named with that rule lifted.
    command += [str(HERE), "-o", "norecursedirs=.*", *arguments]
    return subprocess.run(command, cwd=HERE.parent.parent, check=False).returncode


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""Taking times: whole processes from outside, functions from inside.

The least of several runs counts: what else a machine does only ever adds.
"""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent


def process(arguments: Sequence[str], runs: int = 7, env: dict[str, str] | None = None) -> float:
    """Return the least seconds that this interpreter takes with ``arguments``, start to end."""
    taken = []
    for _ in range(runs + 1):
        begun = time.perf_counter()
        done = subprocess.run(
            [sys.executable, *arguments],
            cwd=ROOT,
            env=env,
            check=False,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        # 1 is a check that found something to say; more is a command that did not do its work.
        if done.returncode > 1:
            raise RuntimeError(f"{arguments} ended with {done.returncode}; its time means nothing")
        taken.append(time.perf_counter() - begun)
    return min(taken[1:])


def call(function: Callable[[], object], runs: int = 7) -> float:
    """Return the least seconds of a call, after one that does not count."""
    taken = []
    for _ in range(runs + 1):
        begun = time.perf_counter()
        function()
        taken.append(time.perf_counter() - begun)
    return min(taken[1:])


def percentile(values: Sequence[float], part: int) -> float:
    """Return the value that ``part`` percent of the values do not pass."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, len(ordered) * part // 100)]

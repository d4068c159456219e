"""Killing a process that writes a record, and holding what is left against what it had said."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from pathlib import Path

from engine.job.store import RECORD, open_job, read_job

RECORDER = Path(__file__).with_name("recorder.py")


def acknowledged_until_killed(jobs: Path, chance: random.Random) -> int:
    """Start the recorder, kill it at a random moment, return the last number it had said.

    Mostly while it writes, now and then while it starts, opens the job or makes it.
    """
    with subprocess.Popen(
        [sys.executable, "-B", str(RECORDER), str(jobs)], stdout=subprocess.PIPE, text=True
    ) as child:
        assert child.stdout is not None
        said: list[str] = []
        if chance.random() < 0.2:
            time.sleep(0.12 * chance.random())
        else:
            said.append(child.stdout.readline())
            time.sleep(chance.choice((0.0, 0.001, 0.01, 0.03)) * chance.random())
        child.kill()
        said += child.stdout.readlines()
    numbers = [line for line in said if line.endswith("\n") and line.strip().isdigit()]
    return int(numbers[-1]) if numbers else 0


def kill_and_look(jobs: Path, trials: int, seed: int) -> int:
    """Kill so often, each time going on with the same job; return how many entries it came to."""
    chance = random.Random(seed)
    most = 0
    for _ in range(trials):
        most = max(most, acknowledged_until_killed(jobs, chance))
        begun = [record for record in jobs.glob(f"*/{RECORD}") if record.stat().st_size]
        if not begun:
            assert most == 0
            continue
        folder = begun[0].parent
        found = read_job(folder)
        assert found.unsound == ()
        assert len(found.entries) >= most, "an entry that was acknowledged is lost"
        assert [one.n for one in found.entries] == list(range(1, len(found.entries) + 1))
        again = open_job(folder)
        assert again.entries == found.entries
    return most

"""A process that only writes entries, to be killed at any moment.

``python tests/recorder.py JOBS`` opens the job in the folder JOBS, or makes one, and prints each
entry's number once the record has it. It imports no more than the record needs, so that a test can
start it often.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from engine.entries import Entry, EntryKind
from engine.job.store import RECORD, Header, create, open_job

TIME = "2026-03-14T09:00:00-05:00"


def main(jobs: Path) -> None:
    """Write entries until the end of the world."""
    records = [record for record in jobs.glob(f"*/{RECORD}") if record.stat().st_size]
    header = Header("", TIME, "Dana", site="Elm Street Library")
    job = open_job(records[0].parent) if records else create(jobs, header)
    print("begun", flush=True)
    while True:
        n = len(job.entries) + 1
        words = f"reading {n}, 24.{n} °C, " + "x" * (n * 37 % 400)
        job.append(Entry(n, TIME, "Dana", EntryKind.NOTE, typed=words))
        print(n, flush=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]))

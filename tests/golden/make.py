"""Golden reports: jobs as they were once recorded, and the reports that must come of them.

``python -m tests.golden.make`` makes the reports anew from the records, to be reviewed as a diff;
with the word ``records`` it first types the jobs anew, too. The records stay as they are when a
door changes what it writes: an old job is reported as it was.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from shutil import copyfile, copytree
from tempfile import TemporaryDirectory

from engine.glossary import Glossary, Term
from engine.job.store import RECORD, Job, read_job
from engine.render.html import as_html
from engine.render.markdown import as_markdown
from engine.report.making import report_of
from tests.typed_jobs import LEFT_OPEN, REPAIRED, SHELF, loaded, walked

HERE = Path(__file__).resolve().parent
JOBS = {
    "repaired": (*REPAIRED[:6], "r", "208 209 206", *REPAIRED[6:]),
    "left-open": LEFT_OPEN,
    "stopped": ("1", "2", "n a smell at the burner", "x 1"),
}
"""Report → the lines typed: one reading repeated, one repair not done, one walk broken off."""
GLOSSARY = Glossary(
    {"compressor": Term("compressor", "", customer="the pump of the cooling circuit")}
)
"""One word is enough here, and the shipped ones may change."""


def job_of(name: str, jobs: Path) -> Job:
    """Return a golden job, put together from its record and the files of its tree."""
    folder = jobs / name
    copytree(SHELF, folder / "trees" / loaded().digest[:16])
    copyfile(HERE / f"{name}.{RECORD}", folder / RECORD)
    return read_job(folder)


def reports(jobs: Path) -> Iterator[tuple[str, bytes]]:
    """Yield every golden file's name and what it should hold."""
    for name in JOBS:
        report = report_of(job_of(name, jobs), GLOSSARY)
        yield f"{name}.md", as_markdown(report).encode("utf-8")
        yield f"{name}.html", as_html(report).encode("utf-8")


def type_anew(jobs: Path) -> None:
    """Type every job at a walk as it is now, and keep its record."""
    for name, lines in JOBS.items():
        copyfile(walked(jobs / name, lines).folder / RECORD, HERE / f"{name}.{RECORD}")


if __name__ == "__main__":
    with TemporaryDirectory() as folder:
        if "records" in sys.argv:
            type_anew(Path(folder) / "typed")
        for name, raw in reports(Path(folder)):
            (HERE / name).write_bytes(raw)

"""A job's report as bytes by the ending of a file's name, ready to be written down."""

from __future__ import annotations

from engine.job.store import Job
from engine.render.html import as_html
from engine.render.markdown import as_markdown
from engine.report.making import report_of


def report_pages(job: Job) -> dict[str, bytes]:
    """Return the report in each of its forms; raises JobError where the job can't be read."""
    report = report_of(job)
    return {
        "html": as_html(report).encode("utf-8"),
        "md": as_markdown(report).encode("utf-8"),
    }

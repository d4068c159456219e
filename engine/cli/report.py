"""``halfsplit report``: a job's report as Markdown or HTML; closing freezes it."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TextIO

from engine.cli import places, settings_file
from engine.cli.exits import Exit
from engine.cli.jobs import job_folder
from engine.cli.parsing import Parser, UsageError
from engine.cli.start import clock
from engine.job import closing, disk
from engine.job.chain import JobError
from engine.job.store import Job, open_job, read_job
from engine.loader.glossary import load_glossary
from engine.render import html, markdown
from engine.report.making import addenda, report_of
from engine.report.model import Report

USAGE = """halfsplit report JOB [--html | --markdown] [--out FILE] [--json]
       halfsplit report JOB --close [--by NAME]
       halfsplit report JOB --addendum TEXT [--by NAME]"""
HTML, MARKDOWN = "html", "md"


def _as_html(report: Report) -> str:
    return html.as_html(report, settings_file.read(places.home())[0].paper)


_LAYOUTS: Mapping[str, tuple[Callable[[Report], str], Callable[[str, Sequence[str]], str]]] = {
    HTML: (_as_html, html.with_addenda),
    MARKDOWN: (markdown.as_markdown, markdown.with_addenda),
}
"""Form → how a report is laid out, and how addenda go behind a frozen page."""


def run(arguments: Sequence[str], out: TextIO, err: TextIO) -> int:
    """Run the command and return its exit code."""
    try:
        given = _parser().parse_args(arguments)
        folder = job_folder(given.job)
        changes = given.close or given.addendum is not None
        job = open_job(folder) if changes else read_job(folder)
        if given.addendum is not None:
            closing.add(job, given.addendum, given.by or job.header.by, clock())
        if given.close:
            _close(job, given.by or job.header.by)
            err.write(f"{job.folder.name} is closed; its report is frozen in {job.folder}.\n")
        return _print(job, given, out, err)
    except UsageError as error:
        (out if error.code is Exit.FINE else err).write(f"{error}\n")
        return error.code
    except JobError as error:
        err.write(f"{error}\n")
        return Exit.PROBLEMS


def _parser() -> Parser:
    parser = Parser(prog="halfsplit report", usage=USAGE)
    parser.add_argument("job", metavar="JOB", help="the job's id; halfsplit jobs lists them")
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--html", action="store_true", help="one HTML file with everything in it")
    form.add_argument("--markdown", action="store_true", help="Markdown (the usual)")
    form.add_argument("--json", action="store_true", help="print one JSON object")
    parser.add_argument("--out", metavar="FILE", help="write it to a file")
    parser.add_argument("--close", action="store_true", help="close the job, freeze its report")
    parser.add_argument("--addendum", metavar="TEXT", help="add something to a closed job")
    parser.add_argument("--by", default="", metavar="NAME", help="who closes or adds")
    return parser


def _report(job: Job) -> Report:
    return report_of(job, load_glossary(places.home())[0])


def _close(job: Job, by: str) -> None:
    closing.close(job, pages(job), by, clock())


def pages(job: Job) -> dict[str, bytes]:
    """Return the report in each of its forms, by the ending of the file that it goes in.

    Raises JobError where the job can't be read.
    """
    return {form: _page(job, form).encode("utf-8", "replace") for form in _LAYOUTS}


def _print(job: Job, given: argparse.Namespace, out: TextIO, err: TextIO) -> int:
    """Print the report, or write it to a file; say what is not as it was written."""
    form = "json" if given.json else _form(given)
    problems = [*job.unsound, *closing.changed_files(job)]
    text = _json(job) if form == "json" else _page(job, form)
    if given.out:
        disk.write(Path(given.out), text.encode("utf-8", "replace"))
        err.write(f"{given.out} holds the report of {job.folder.name}.\n")
    else:
        out.write(text)
    err.writelines(f"{problem}\n" for problem in problems)
    return Exit.PROBLEMS if problems else Exit.FINE


def _form(given: argparse.Namespace) -> str:
    """Return which form is wanted: as said, else by the file's ending."""
    by_ending = Path(given.out).suffix.lower() in (".html", ".htm") if given.out else False
    return HTML if given.html or (by_ending and not given.markdown) else MARKDOWN


def _page(job: Job, form: str) -> str:
    """Return a page: of a closed job as it was frozen, with what was added since."""
    make, add = _LAYOUTS[form]
    frozen = closing.frozen_page(job, form)
    return add(frozen.decode("utf-8"), addenda(job)) if frozen else make(_report(job))


def _json(job: Job) -> str:
    report = _report(job)
    entry = closing.closing(job)
    files = {one.name: one.sha256 for one in entry.files} if entry else {}
    answer = {"job": job.folder.name, "closed": job.closed, "frozen": files, **asdict(report)}
    return json.dumps(answer, ensure_ascii=False) + "\n"

"""The beginning and the end of a job at the command line."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from engine.cli import places, settings_file
from engine.cli.clock import clock as clock
from engine.cli.exits import Exit
from engine.cli.jobs import job_folder
from engine.cli.plain import Ask, walk_by_lines
from engine.cli.width import say
from engine.entries import EntryKind
from engine.guide.visit import Visit, walk_entries
from engine.job import closing
from engine.job.chain import JobError
from engine.job.finding import find, last_visit
from engine.job.store import Header, Job, create, now_text, open_job, read_job
from engine.loader.glossary import load_glossary
from engine.loader.heads import heads_in
from engine.loader.library import Loaded, load_kept
from engine.safe_words import DEFERENCE
from engine.session.folding import fold
from engine.settings import Settings

if TYPE_CHECKING:
    from engine.report.model import Section


def walk_a_job(
    loaded: Loaded | None,
    job_id: str,
    ask: Ask,
    out: TextIO,
    err: TextIO,
    *,
    by: str = "",
    meter: str = "",
) -> int:
    """Begin a job in a tree, or go on with one, and walk it line by line."""
    kept_settings, wrong = settings_file.read(places.home())
    err.writelines(f"{sentence}\n" for sentence in wrong)
    settings = replace(
        kept_settings, name=by or kept_settings.name, meter=meter or kept_settings.meter
    )
    try:
        job = _job(loaded, job_id, ask, out, settings)
        tree = kept(job) if job.entries or loaded is None else loaded
        if tree is None or tree.walk is None:
            err.write(f"{job.folder.name} has no walk that can be gone on with.\n")
            return Exit.PROBLEMS
        visit = visit_for(job, tree, places.jobs(), clock, by, meter)
        if job.torn:
            say(out, [f"The last line had been cut off and was set aside: {job.torn}"])
        ended = walk_by_lines(visit, ask, out)
    except EOFError:
        out.write("\nNothing was begun.\n")
        return Exit.STOPPED
    except JobError as error:
        err.write(f"{error}\n")
        return Exit.PROBLEMS
    if ended:
        name = job.folder.name
        say(out, ["", *as_lines(ending(visit)), f"halfsplit report {name} writes the report."])
    else:
        go_on = f"halfsplit walk --plain --job {job.folder.name}"
        say(out, [f"{go_on} goes on with it."])
    return Exit.FINE


def _job(loaded: Loaded | None, job_id: str, ask: Ask, out: TextIO, settings: Settings) -> Job:
    if job_id:
        return open_job(job_folder(job_id))
    assert loaded is not None
    left = unfinished(places.jobs(), loaded)
    if left is not None and _go_on(left, ask, out):
        return left
    return new_job(places.jobs(), ask_header(ask, out, clock(), settings), loaded)


def _go_on(left: Job, ask: Ask, out: TextIO) -> bool:
    header = left.header
    where = ", ".join(word for word in (header.site, header.unit) if word) or header.id
    say(out, [f"A walk in this tree was left before its end: {where}, {header.created[:10]}."])
    return is_yes(ask, out, "Go on with it? 1 yes 2 no", {"1": True, "2": False})


def is_yes(ask: Ask, out: TextIO, question: str, answers: Mapping[str, bool]) -> bool:
    """Ask until one of the answers, or *yes* or *no*, is typed; show back anything else."""
    known = {**answers, "yes": True, "no": False}
    while (said := ask(question).strip().casefold()) not in known:
        out.write(f"  {said}\n  ^\n  1 yes, 2 no.\n")
    return known[said]


def ask_header(ask: Ask, out: TextIO, now: datetime, settings: Settings) -> Header:
    """Ask who, where and what; Enter alone skips any of them. A name that is kept is not asked."""
    say(out, [DEFERENCE, "", "Enter alone skips a question."])
    return Header(
        id="",
        created=now_text(now),
        by=settings.name or _ask_name(ask, out),
        site=ask("Site").strip(),
        unit=ask("Unit").strip(),
        said=ask("What the customer says").strip(),
        firm=settings.firm,
        licence=settings.licence,
        meter=settings.meter,
        deference=DEFERENCE,
    )


def _ask_name(ask: Ask, out: TextIO) -> str:
    """Ask who walks, and whether to keep the name so that it is not asked again."""
    name = ask("Your name").strip()
    keep = {"1": True, "2": False, "": False}
    if name and is_yes(ask, out, "Keep the name for later jobs? 1 yes, Enter no", keep):
        home = places.home()
        settings_file.write(home, replace(settings_file.read(home)[0], name=name))
        say(out, ["Kept. halfsplit settings --ask asks for the rest: firm, meter, degrees, paper."])
    return name


def new_job(jobs: Path, header: Header, loaded: Loaded) -> Job:
    """Make a job and keep the tree's own files in it."""
    job = create(jobs, header)
    job.keep_tree(loaded.digest, loaded.files)
    return job


def kept(job: Job) -> Loaded | None:
    """Return the tree of the job's latest walk as it was when the walk began; None without one.

    A job that was left before its walk began has kept the tree it was made for.
    """
    for entry in reversed(job.entries):
        if entry.kind is EntryKind.WALK:
            return load_kept(entry.tree, job.kept_tree(entry.outcome))
    for folder in sorted((job.folder / "trees").glob("[!.]*")):
        for head in heads_in(folder):
            loaded = load_kept(head.name, folder)
            if loaded.walk is not None:
                return loaded
    return None


def unfinished(jobs: Path, loaded: Loaded) -> Job | None:
    """Return the latest job whose walk in this tree was left before its end; None if none."""
    assert loaded.walk is not None
    for listed in find(jobs):
        if listed.closed or listed.problem or loaded.walk.tree.name not in listed.trees:
            continue
        # A job that was damaged is no reason not to begin another one.
        with suppress(JobError):
            job = read_job(listed.folder)
            tree = kept(job)
            if tree and tree.walk and fold(tree.walk, walk_entries(job, tree.walk)).step:
                return open_job(listed.folder)
    return None


def visit_for(
    job: Job, loaded: Loaded, jobs: Path, now: Callable[[], datetime], by: str, meter: str
) -> Visit:
    """Return the visit of a job as the settings want it, with the unit's last one beside it."""
    assert loaded.walk is not None
    home = places.home()
    settings = settings_file.read(home)[0]
    return Visit(
        job,
        replace(loaded.walk, degrees=settings.degrees),
        now,
        by or settings.name or job.header.by,
        meter or settings.meter or job.header.meter,
        last_visit(jobs, job.header.site, job.header.unit, besides=job.folder),
        away_after=timedelta(minutes=settings.away),
        glossary=load_glossary(home)[0],
    )


def ending(visit: Visit) -> tuple[Section, ...]:
    """Return what the visit's walk came to, as the job's report has it, and where that lies."""
    # Imported here: a walk needs its report only at the end.
    from engine.report.at_end import end_of
    from engine.report.model import Section
    from engine.report.walked import WalkDone

    job = visit.job
    done = WalkDone(visit.walk, walk_entries(job, visit.walk), visit.state)
    written = sorted(str(path) for path in job.folder.glob(f"{closing.REPORT}.*"))
    lies = tuple(written) or (f"Not written yet; its job is {job.folder.name}.",)
    return (*end_of(job, done), Section("Report", lies))


def as_lines(sections: Iterable[Section]) -> Iterator[str]:
    """Yield sections line by line: the heading before the first sentence, the others indented."""
    for one in sections:
        first, *others = one.sentences or ("Nothing was reported.",)
        yield f"{one.heading}: {first}"
        yield from (f"  {sentence}" for sentence in others)

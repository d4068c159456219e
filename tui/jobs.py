"""Beginning a job, going on with one, and walking another tree in it: what the screens stand on.

Loading a tree takes longer than a key press; the app does it beside the screens.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from engine.cli import places, settings_file
from engine.cli.start import clock, kept, new_job, unfinished, visit_for
from engine.guide.visit import Visit
from engine.job.chain import JobError
from engine.job.finding import Listed, find
from engine.job.kept import changes_since, passages
from engine.job.store import Header, Job, now_text, open_job
from engine.loader.library import Loaded, load
from engine.problems import Severity
from engine.safe_words import DEFERENCE
from engine.settings import Settings
from tui.screens.questions import Answers


def open_jobs() -> Sequence[Listed]:
    """Return the jobs that are not closed, the newest first."""
    return [one for one in find(places.jobs()) if not one.closed]


def ready(tree: str) -> Loaded:
    """Return a tree that may be walked on a job; raises JobError for one that may not."""
    loaded = load(tree, places.home())
    stopping = [one for one in loaded.problems if one.severity is Severity.STOPS]
    if stopping or loaded.walk is None:
        raise JobError(
            f"{tree} can't be walked on a job: {stopping[0].sentence if stopping else 'no tree'} "
            f"halfsplit check {tree} says more."
        )
    return loaded


def left_before_its_end(tree: str) -> tuple[Path, str] | None:
    """Return the folder of the latest walk left in a tree, and where and when that was; or None.

    Raises JobError as `ready`; nothing is loaded where no job is open.
    """
    if not open_jobs():
        return None
    job = unfinished(places.jobs(), ready(tree))
    if job is None:
        return None
    header = job.header
    where = ", ".join(word for word in (header.site, header.unit) if word) or header.id
    return job.folder, f"{where}, {header.created[:10]}"


def settings() -> Settings:
    """Return what was answered once for all jobs."""
    return settings_file.read(places.home())[0]


def begin(answers: Answers, loaded: Loaded, meter: str = "") -> Visit:
    """Make a job in a tree and return its visit; raises JobError where nothing can be written."""
    kept_settings = settings()
    if answers.keep_name:
        kept_settings = replace(kept_settings, name=answers.by)
        settings_file.write(places.home(), kept_settings)
    header = Header(
        id="",
        created=now_text(clock()),
        by=answers.by,
        site=answers.site,
        unit=answers.unit,
        said=answers.said,
        firm=kept_settings.firm,
        licence=kept_settings.licence,
        meter=meter or kept_settings.meter,
        deference=DEFERENCE,
    )
    job = new_job(places.jobs(), header, loaded)
    return visit_for(job, loaded, places.jobs(), clock, answers.by, meter)


def go_on(folder: Path, by: str = "", meter: str = "") -> tuple[Visit, tuple[str, ...]]:
    """Return the visit of a job that was left, and what there is to say before it goes on.

    Raises JobError where the record can't be read or holds no walk that can be gone on with.
    """
    job = open_job(folder)
    loaded = kept(job)
    if loaded is None or loaded.walk is None:
        raise JobError(f"{folder.name} holds no walk that can be gone on with.")
    begun = passages(job)
    said = list(changes_since(job, begun[-1], places.home())) if begun else []
    if job.torn:
        said.append(f"The last line had been cut off and was set aside: {job.torn}")
    return visit_for(job, loaded, places.jobs(), clock, by, meter), tuple(said)


def walk_another(job: Job, loaded: Loaded, before: Visit) -> Visit:
    """Return a visit of the same job in another tree, kept in it like the first."""
    job.keep_tree(loaded.digest, loaded.files)
    return visit_for(job, loaded, places.jobs(), clock, before.by, before.meter)

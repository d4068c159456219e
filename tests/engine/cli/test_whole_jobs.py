"""Whole jobs line by line, as somebody new would walk them: typed, read, left, gone on with."""

from __future__ import annotations

import io
import re
import sys
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from engine.cli import report, walk
from engine.cli.exits import Exit
from engine.cli.plain import asker, enter, page
from engine.cli.width import WIDTH, say
from engine.entries import EntryKind
from engine.job.finding import find
from engine.job.store import Job, read_job
from engine.job.verifying import problems_of
from tests.pictures import asks
from tests.stories import BY, LIBRARY, STORIES, Reader, Story, new_visit, shipped, sittings, type_on
from tests.typed_jobs import Watch

README = Path(__file__).parents[3] / "README.md"


@dataclass(frozen=True)
class Walked:
    """A story, the job it became, what was said, and the report of it."""

    story: Story
    job: Job
    said: str
    report: str


@pytest.fixture(scope="module", params=STORIES)
def walked(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Walked]:
    """Type a story at ``walk --plain``, sitting by sitting, and write the report."""
    story = STORIES[request.param]
    home = tmp_path_factory.mktemp("home")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("HALFSPLIT_HOME", str(home))
        patch.setenv("COLUMNS", "80")
        said = "".join(typed(story, home, patch))
        job = read_job(find(home / "jobs")[0].folder)
        out, err = io.StringIO(), io.StringIO()
        assert report.run([job.folder.name], out, err) == Exit.FINE
        assert not err.getvalue()
        yield Walked(story, job, said, out.getvalue())


def typed(story: Story, home: Path, patch: pytest.MonkeyPatch) -> Iterator[str]:
    """Yield what is said at each sitting; all that is typed is asked for, and nothing else."""
    words = [story.tree, "--plain"]
    begin = [BY, "", LIBRARY, story.unit, story.said]
    for lines in sittings(story.name):
        out, err = io.StringIO(), io.StringIO()
        keys = echoed((*begin, *lines), out)
        patch.setattr(sys, "stdin", keys)
        assert walk.run(words, out, err) == Exit.FINE, err.getvalue()
        assert not err.getvalue()
        assert not list(keys), "some of the lines were not asked for"
        yield out.getvalue()
        begin, words = [], ["--plain", "--job", find(home / "jobs")[0].folder.name]


def echoed(lines: Iterable[str], out: io.StringIO) -> Iterator[str]:
    """Yield lines as they are typed, each shown like a terminal shows it."""
    for line in lines:
        out.write(f"{line}\n")
        yield f"{line}\n"


def test_a_job_comes_to_what_its_story_says(walked: Walked) -> None:
    tree = shipped(walked.story.tree).walk
    assert tree is not None
    causes = [tree.tree.findings[one].title for one in walked.story.findings]
    assert re.findall(r"(?m)^Cause found: (.*)$", walked.said)[-len(causes) :] == causes or (
        not causes and "No cause was found on this walk." in walked.said
    )
    assert f"End: {walked.story.end}" in walked.said
    assert problems_of(walked.job.folder) == ()
    for cause in causes:
        assert cause in walked.report
    assert walked.story.said in walked.report


def test_everything_is_said_in_whole_lines_and_nothing_is_refused(walked: Walked) -> None:
    assert "Traceback" not in walked.said
    assert "\n  ^" not in walked.said
    too_long = [line for line in walked.said.splitlines() if len(line) > WIDTH]
    assert not [line for line in too_long if " > " not in line]


def test_every_step_is_named_before_it_is_answered(walked: Walked) -> None:
    said = re.sub(r"\s+", " ", walked.said)
    answered = [one for one in walked.job.entries if one.kind is EntryKind.ANSWER and one.title]
    assert answered
    at = 0
    for entry in answered:
        at = said.find(f" {entry.title} ", at)
        assert at >= 0, entry.title


def test_who_comes_back_is_told_how_it_was_left(walked: Walked) -> None:
    if walked.story.leaves_at:
        said = re.sub(r"\s+", " ", walked.said)
        assert f"--job {walked.job.folder.name} goes on with it." in said
        assert "As reported when you left:" in said
        assert [one.kind for one in walked.job.entries].count(EntryKind.RESUME) == 1


def test_the_sample_in_the_readme_is_what_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    story, watch, out = STORIES["weak capacitor"], Watch(), io.StringIO()
    visit = new_visit(story, tmp_path, watch)
    type_on(visit, Reader(story), watch, asks("capacitor"))
    say(out, page(visit.prompt(), watch()))
    assert enter(visit, asker(out, ["38.2\n"])(visit.asks), out)
    said = out.getvalue().replace("uF? > ", "uF? > 38.2\n")
    assert f"```text\n{said}```" in README.read_text(encoding="utf-8")

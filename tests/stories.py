"""Whole jobs as somebody new would walk them: what they type at what is asked, story by story.

A `Story` takes nameplate and answers from a case beside the tree, and says what is typed
otherwise. `Reader` reads what a prompt shows and gives the lines for it: a choice by its number,
a reading as the meter shows it. Nothing here looks into a walk; so the same story is typed on the
screen, line by line, and for the pictures.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from engine.cases import Answer, Case, Words, answer_for
from engine.guide.choices import Choice
from engine.guide.prompt import Now, Prompt
from engine.guide.visit import Visit
from engine.job.store import Header, create, now_text, open_job
from engine.loader.glossary import load_glossary
from engine.loader.library import Loaded, cases_of, load
from engine.tree import REPAIR, STUCK_REASONS
from tests.typed_jobs import Watch

NEXT = " | "
"""Stands between lines that are typed one after the other at one step."""
OVER = "1"
"""What is typed at a wait: it has passed."""
LEAVE = "l"


@dataclass(frozen=True)
class Story:
    """One job: who called, the case it is like, and what is typed that the case does not say."""

    name: str
    tree: str
    case: str
    unit: str
    said: str
    nameplate: Mapping[str, Words] = field(default_factory=dict)
    answers: Mapping[str, Answer] = field(default_factory=dict)
    """Step → lines typed, with `NEXT` between; else as in a case."""
    leaves_at: str = ""
    """The step at which the work is left, and gone on with an hour later."""
    findings: tuple[str, ...] = ()
    end: str = ""


@cache
def shipped(tree: str) -> Loaded:
    """Return a shipped tree, loaded once."""
    loaded = load(tree)
    assert loaded.walk is not None, "\n".join(map(str, loaded.problems))
    return loaded


@cache
def cases(tree: str) -> Mapping[str, Case]:
    """Return the cases beside a shipped tree."""
    kept, _ = cases_of(tree)
    assert kept is not None
    return kept.cases


class Reader:
    """Somebody who reads what is asked, and knows what the unit would answer."""

    def __init__(self, story: Story) -> None:
        """Make somebody who has read nothing yet."""
        like = cases(story.tree)[story.case]
        self._nameplate = {**like.nameplate, **story.nameplate}
        self._answers = {**like.answers, **story.answers}
        self._met: dict[str, list[int]] = {}

    def lines(self, shown: Prompt) -> tuple[str, ...]:
        """Return what to type at a prompt, line by line; each ends with Enter."""
        if shown.now is Now.WAIT:
            return (OVER,)
        if shown.field is not None:
            return (self._of_the_nameplate(shown),)
        said = self._said(shown)
        return tuple(_as_typed(shown.choices, line) for line in said.split(NEXT))

    def _of_the_nameplate(self, shown: Prompt) -> str:
        assert shown.field is not None
        words = self._nameplate.get(shown.field.name)
        if words is None:
            assert shown.enter, f"The story does not say {shown.field.ask}"
            return ""
        several = (words,) if isinstance(words, str) else words
        return " ".join(_as_typed(shown.choices, one) for one in several) or "0"

    def _said(self, shown: Prompt) -> str:
        """Return what the story says at a step; where it says nothing, that it is done."""
        met = self._met.setdefault(shown.step, [])
        if shown.number not in met:
            met.append(shown.number)
        try:
            answer = answer_for(self._answers, shown.step, met.index(shown.number))
        except KeyError:
            assert not shown.asked, f"The story does not say {shown.step}"
            one_way = len(shown.choices) == 1 or shown.step.startswith(REPAIR)
            assert one_way or shown.enter, f"The story does not say {shown.step}"
            return "1" if shown.choices else ""
        if isinstance(answer, str):
            return _cannot(answer)
        assert shown.asked, shown.step
        return answer[shown.asked[0][0].reading]


def _cannot(answer: str) -> str:
    """Return an answer of a case; *can't* is a letter and the number of its reason."""
    reason = answer.removeprefix("can't ")
    if answer.startswith("can't") and reason in STUCK_REASONS:
        return f"c{NEXT}{list(STUCK_REASONS).index(reason) + 1}"
    return answer


def _as_typed(choices: tuple[Choice, ...], said: str) -> str:
    """Return a line as somebody types it who picks a choice by its number."""
    return next((str(one.number) for one in choices if one.key == said), said)


# --- at a visit -----------------------------------------------------------------------------------


def new_visit(story: Story, jobs: Path, watch: Watch) -> Visit:
    """Return the visit of a new job, begun."""
    header = Header("", now_text(watch()), BY, LIBRARY, story.unit, story.said)
    walk = shipped(story.tree).walk
    assert walk is not None
    visit = Visit(create(jobs, header), walk, watch, BY, glossary=load_glossary()[0])
    visit.begin()
    return visit


def ended(shown: Prompt) -> bool:
    """Return whether a walk is at its end."""
    return shown.now is Now.ENDED


def type_on(
    visit: Visit, reader: Reader, watch: Watch, until: Callable[[Prompt], bool] = ended
) -> None:
    """Type what a story says, a line every 40 seconds, until something is shown."""
    while not until(shown := visit.prompt()):
        assert shown.now is not Now.ENDED
        for line in reader.lines(shown):
            watch.moved_on()
            done = visit.enter(line)
            assert not done.refused, (shown.step, line, done.refused)


@cache
def sittings(story: str) -> tuple[tuple[str, ...], ...]:
    """Return the lines of a whole job as they are typed, each time that it is gone on with."""
    told, watch = STORIES[story], Watch()
    reader = Reader(told)
    typed: list[list[str]] = [[]]
    with TemporaryDirectory() as folder:
        visit = new_visit(told, Path(folder), watch)
        while not ended(shown := visit.prompt()):
            leaves = shown.step == told.leaves_at and len(typed) == 1
            for line in (LEAVE,) if leaves else reader.lines(shown):
                watch.moved_on()
                done = visit.enter(line)
                assert not done.refused, (shown.step, line, done.refused)
                typed[-1].append(line)
            if leaves:
                watch.moved_on(3600)
                visit = come_back(visit, watch)
                typed.append([])
    assert_told(told, visit)
    return tuple(map(tuple, typed))


def come_back(visit: Visit, watch: Watch) -> Visit:
    """Return the visit of a job that was left, opened again."""
    again = Visit(open_job(visit.job.folder), visit.walk, watch, BY, glossary=visit.glossary)
    again.begin()
    return again


def assert_told(story: Story, visit: Visit) -> None:
    """Fail unless a job has come to what its story says."""
    findings = visit.walk.tree.findings
    causes = [one.finding for one in visit.state.found if not findings[one.finding].kind]
    assert (tuple(causes), visit.state.end) == (story.findings, story.end)


# --- the jobs -------------------------------------------------------------------------------------

LIBRARY = "Alder Street Library"
BY = "Ann Lee"

# Among them: a job left and gone on with, two causes on one job, a second trip, a check that can't
# be reached, a wrong reading taken back, STOP.
STORIES = {
    one.name: one
    for one in (
        Story(
            "weak capacitor",
            "unit-trips-breaker",
            "weak capacitor",
            unit="RTU-1",
            said="It throws the breaker when it starts.",
            leaves_at="capacitor",
            findings=("weak-capacitor",),
            end="in service",
        ),
        Story(
            "loose lug, then a worn breaker",
            "unit-trips-breaker",
            "loose lug mended, it trips again, the breaker is worn too",
            unit="RTU-2",
            said="It trips in the afternoon.",
            answers={"under-load": "w | s | z | a | 205 206 205"},
            findings=("loose-lug", "breaker-worn"),
            end="in service",
        ),
        Story(
            "compressor grounded",
            "unit-trips-breaker",
            "terminal cover does not come off",
            unit="RTU-3",
            said="The breaker will not hold.",
            answers={"repair compressor-grounded": "not now"},
            findings=("compressor-grounded",),
            end="made safe",
        ),
        Story(
            "drain blocked",
            "blank-thermostat",
            "middle cannot be told, float by float",
            unit="RTU-2",
            said="The thermostat in the reading room is dark.",
            answers={"r-to-c": "26.1 | u | 0.0", "pan": "n algae in the trap | water up"},
            findings=("drain-blocked",),
            end="in service",
        ),
        Story(
            "disconnect left off, then a shorted cable",
            "blank-thermostat",
            "disconnect on again, still blank, cable shorted",
            unit="RTU-4",
            said="Nothing on the display since the roofers left.",
            findings=("disconnect-off", "cable-shorted"),
            end="in service",
        ),
        Story(
            "a smell of gas",
            "blank-thermostat",
            "cable rubbed through",
            unit="RTU-1",
            said="The screen is dark.",
            answers={"line-volts": "x | 1"},
            end="withdrawn",
        ),
    )
}

"""A step whose words hold the work of another act: the two steps that it should be.

They are written only where the other act's sentences come first: then what was asked is still
asked last, and every answer leads where it led. Otherwise they are shown.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from engine.loader.building import Building, Role
from engine.loader.loading import FileRead
from engine.power import Act
from engine.problems import Span
from engine.safe_words import foreign_verbs
from engine.tree import ActHead, Step

LONGEST_TITLE = 60
_ENDS = re.compile(r"(?<=[.;!?])\s+")


@dataclass(frozen=True, slots=True)
class TwoSteps:
    """A step as the two that it should be."""

    step: Step
    other: Act
    first: tuple[str, ...]
    """The sentences that come first."""
    second: tuple[str, ...]
    """The sentences that come after them."""
    other_first: bool
    """Whether the other act's sentences are the first ones."""
    span: Span
    """Where the text stands."""

    @property
    def name(self) -> str:
        """The name of the step that is put in."""
        return f"{self.step.name}-{'first' if self.other_first else 'after'}"

    def shown(self) -> tuple[str, ...]:
        """Return both steps in short, as they would be written."""
        own = self.step.head.act if isinstance(self.step.head, ActHead) else ""
        new = (self.name, str(self.other))
        old = (self.step.name, str(own))
        one, two = (new, old) if self.other_first else (old, new)
        return (*_in_short(*one, self.first), *_in_short(*two, self.second))


def _in_short(name: str, act: str, sentences: tuple[str, ...]) -> Iterator[str]:
    yield f"{name}:"
    yield f"  act: {act}"
    yield f"  do: {' '.join(sentences)}"


def two_steps(file: FileRead) -> tuple[TwoSteps, ...]:
    """Return the two steps for each one that tells the reader to do another act as well."""
    if file.built is None:
        return ()
    return tuple(_found(file.built.file))


def _found(file: Building) -> Iterator[TwoSteps]:
    for path, step in file.steps.items():
        head = step.head
        if path[:-1] != ("steps",) or step.again or not isinstance(head, ActHead) or not step.do:
            continue
        sentences = tuple(one for one in _ENDS.split(step.do.strip()) if one)
        acts = [foreign_verbs(head.act, one) for one in sentences]
        others = {verbs[0][1] for verbs in acts if verbs}
        foreign = [bool(verbs) for verbs in acts]
        if len(others) != 1 or all(foreign) or sorted(foreign) not in (foreign, foreign[::-1]):
            continue
        first = [
            one for one, is_other in zip(sentences, foreign, strict=True) if is_other == foreign[0]
        ]
        second = sentences[len(first) :]
        span = file.place((*path, "do"))
        yield TwoSteps(step, others.pop(), tuple(first), second, foreign[0], span)


# --- writing --------------------------------------------------------------------------------------


def split_steps(text: str, file: FileRead) -> tuple[str, tuple[str, ...]]:
    """Return a file's text with the steps split that can be, and what was done."""
    assert file.built is not None
    building = file.built.file
    lines = text.split("\n")
    done: list[str] = []
    changes = [one for one in two_steps(file) if one.other_first]
    for one in sorted(
        changes, key=lambda change: -building.document.key("steps", change.step.name).line
    ):
        _point_to(lines, building, one)
        _put_before(lines, building, one)
        done.append(
            f"{one.step.name}: '{' '.join(one.first)}' is a step of its own now, {one.name}, "
            f"with act: {one.other}."
        )
    return "\n".join(lines), tuple(reversed(done))


def _point_to(lines: list[str], building: Building, one: TwoSteps) -> None:
    """Let what leads to the step lead to the one before it; lines keep their number."""
    places = sorted(
        (
            building.place_of(mention)
            for mention in building.mentions
            if mention.role is Role.STEP
            and mention.word == one.step.name
            and mention.path[-1:] != ("like",)
        ),
        key=lambda span: -span.column,
    )
    for span in places:
        line, at = lines[span.line - 1], span.column - 1
        word = one.step.name
        at = line.find(word, at)
        if at >= 0:
            lines[span.line - 1] = line[:at] + one.name + line[at + len(word) :]


def _put_before(lines: list[str], building: Building, one: TwoSteps) -> None:
    """Write the step that comes first, and take its sentences out of the other one."""
    document = building.document
    path = ("steps", one.step.name)
    key = document.key(*path, "do")
    indent = " " * (key.column - 1)
    after = _line_after(lines, key.line, len(indent))
    lines[key.line - 1 : after] = [f"{indent}do: |", f"{indent}  {' '.join(one.second)}"]
    outer = document.key(*path)
    before = " " * (outer.column - 1)
    lines[outer.line - 1 : outer.line - 1] = [
        f"{before}{one.name}:",
        *(f"{indent}{row}" for row in _rows(one)),
        f"{indent}do: |",
        f"{indent}  {' '.join(one.first)}",
        f"{indent}then: {one.step.name}",
    ]


def _rows(one: TwoSteps) -> Iterator[str]:
    title = one.first[0].rstrip(".!;?")
    quoted = title.replace('"', "'")[:LONGEST_TITLE]
    yield f'title: "{quoted}"'
    if one.step.stage:
        yield f"stage: {one.step.stage}"
    yield f"act: {one.other}"
    head = one.step.head
    assert isinstance(head, ActHead)
    for name in ("zone", "device", "box"):
        if value := getattr(head, name):
            yield f"{name}: {value}"


def _line_after(lines: list[str], line: int, indent: int) -> int:
    """Return the line on which a value that begins on a line has ended, counted from 0."""
    at = line
    while at < len(lines) and (
        not lines[at].strip() or len(lines[at]) - len(lines[at].lstrip()) > indent
    ):
        at += 1
    while at > line and not lines[at - 1].strip():
        at -= 1
    return at

"""A step whose words hold the work of another act: the two steps that it should be.

They are written where the other act's sentences come first: then what was asked is still asked
last, and every answer leads where it led. Where they come last, they are written after a step that
has one way on, and after a repair. Otherwise the two are shown.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from engine.expansion import repair_step
from engine.loader.building import Building, Role
from engine.loader.loading import FileRead
from engine.power import Act
from engine.problems import Span
from engine.safe_words import foreign_verbs
from engine.tree import ActHead, Step, Tree

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
    path: tuple[str, ...]
    """Where the text stands in the file: what a step is to do or its title, or a repair."""
    span: Span

    @property
    def of(self) -> str:
        """The name of the step or finding that the text belongs to."""
        return self.path[1]

    @property
    def name(self) -> str:
        """The name of the step that is put in."""
        return f"{self.of}-{'first' if self.other_first else 'after'}"

    @property
    def is_repair(self) -> bool:
        """Whether it is the repair of a finding that holds other work."""
        return self.path[0] == "findings"

    @property
    def is_sure(self) -> bool:
        """Whether it can be meant in one way only, and is written."""
        if self.other_first:
            return not self.is_repair
        head = self.step.head
        one_way_on = self.is_repair or (isinstance(head, ActHead) and not head.judgements)
        return one_way_on and bool(self.step.then)

    def shown(self) -> tuple[str, ...]:
        """Return both steps in short, as they would be written."""
        own = self.step.head.act if isinstance(self.step.head, ActHead) else ""
        new = (self.name, str(self.other))
        old = (self.of, str(own))
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
    found = {one.path[:2]: one for one in reversed(list(_found(file)))}
    return tuple(reversed(found.values()))


def _found(file: FileRead) -> Iterator[TwoSteps]:
    """Yield them in the order of the file; of one step what it is to do before its title."""
    assert file.built is not None
    building, made = file.built.file, file.built.made
    for path, step in building.steps.items():
        if path[:-1] == ("steps",) and not step.again:
            for key, words in (("do", step.do), ("title", step.title)):
                yield from _parted(building, ("steps", step.name, key), step, words)
    for finding in made.findings.values() if isinstance(made, Tree) else ():
        if not finding.kind:
            path = ("findings", finding.name, "repair")
            repair = replace(repair_step(finding), then=finding.then)
            yield from _parted(building, path, repair, finding.repair)


def _parted(file: Building, path: tuple[str, ...], step: Step, words: str) -> Iterator[TwoSteps]:
    head = step.head
    if not isinstance(head, ActHead) or not words:
        return
    sentences = tuple(one for one in _ENDS.split(words.strip()) if one)
    acts = [foreign_verbs(head.act, one) for one in sentences]
    others = {verbs[0][1] for verbs in acts if verbs}
    foreign = [bool(verbs) for verbs in acts]
    if len(others) != 1 or all(foreign) or sorted(foreign) not in (foreign, foreign[::-1]):
        return
    first = sentences[: foreign.count(foreign[0])]
    second = sentences[len(first) :]
    yield TwoSteps(step, others.pop(), first, second, foreign[0], path, file.place(path))


# --- writing --------------------------------------------------------------------------------------


def split_steps(text: str, file: FileRead) -> tuple[str, tuple[str, ...]]:
    """Return a file's text with the steps split that can be, and what was done."""
    assert file.built is not None
    building = file.built.file
    document = building.document
    lines = text.split("\n")
    below = document.key("findings").line > document.key("steps").line
    changes = [one for one in two_steps(file) if one.is_sure and (below or not one.is_repair)]
    for one in changes:
        # First, while every line still has its number.
        _point_to(lines, building, one)
    changes.sort(key=lambda one: -document.key(*one.path[:2]).line)
    repairs = [one for one in changes if one.is_repair]
    for one in repairs:
        _shorten(lines, building, one)
    for one in repairs:
        indent = " " * (document.key(*next(iter(building.steps))).column - 1)
        end = _line_after(lines, document.key("steps").line, 0)
        lines[end:end] = _written(one, indent, indent * 2)
    for one in changes:
        if not one.is_repair:
            _put_in(lines, building, one)
    return "\n".join(lines), tuple(_told(one) for one in reversed(changes))


def _told(one: TwoSteps) -> str:
    other = one.first if one.other_first else one.second
    said = f"'{' '.join(other)}' is a step of its own now"
    return f"{one.of}: {said}, {one.name}, with act: {one.other}."


def _point_to(lines: list[str], building: Building, one: TwoSteps) -> None:
    """Let what leads to the step lead to the one before it, or its own way on to the one after."""
    led_to = one.of if one.other_first else one.step.then
    places = sorted(
        (
            building.place_of(mention)
            for mention in building.mentions
            if mention.role is Role.STEP
            and mention.word == led_to
            and (
                mention.path[-1:] != ("like",)
                if one.other_first
                else mention.path == (*one.path[:2], "then")
            )
        ),
        key=lambda span: -span.column,
    )
    for span in places:
        line, at = lines[span.line - 1], span.column - 1
        at = line.find(led_to, at)
        if at >= 0:
            lines[span.line - 1] = line[:at] + one.name + line[at + len(led_to) :]


def _put_in(lines: list[str], building: Building, one: TwoSteps) -> None:
    """Write the other step before or after a step, and take its sentences out of that."""
    outer = building.document.key(*one.path[:2])
    before = " " * (outer.column - 1)
    indent = " " * (building.document.key(*one.path).column - 1)
    _shorten(lines, building, one)
    at = outer.line - 1 if one.other_first else _line_after(lines, outer.line, len(before))
    lines[at:at] = _written(one, before, indent)


def _shorten(lines: list[str], building: Building, one: TwoSteps) -> None:
    """Leave a text with the sentences that are its own."""
    key = building.document.key(*one.path)
    own = " ".join(one.second if one.other_first else one.first)
    indent = " " * (key.column - 1)
    after = _line_after(lines, key.line, len(indent))
    title = one.path[2] == "title"
    rows = [f"title: {_quoted(own.rstrip('.;'))}"] if title else [f"{one.path[2]}: |", f"  {own}"]
    lines[key.line - 1 : after] = [f"{indent}{row}" for row in rows]


def _written(one: TwoSteps, before: str, indent: str) -> list[str]:
    """Return the step that is put in, line by line."""
    sentences = one.first if one.other_first else one.second
    return [
        f"{before}{one.name}:",
        *(f"{indent}{row}" for row in _rows(one, sentences[0])),
        f"{indent}do: |",
        f"{indent}  {' '.join(sentences)}",
        f"{indent}then: {one.of if one.other_first else one.step.then}",
    ]


def _rows(one: TwoSteps, sentence: str) -> Iterator[str]:
    title = sentence.rstrip(".!;?")[:LONGEST_TITLE]
    yield f"title: {_quoted(title[0].upper() + title[1:])}"
    if one.step.stage:
        yield f"stage: {one.step.stage}"
    yield f"act: {one.other}"
    head = one.step.head
    assert isinstance(head, ActHead)
    for name in ("zone", "device", "box"):
        if value := getattr(head, name):
            yield f"{name}: {value}"


def _quoted(words: str) -> str:
    return '"' + words.replace('"', "'") + '"'


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

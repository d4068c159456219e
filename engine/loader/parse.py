"""One pass over a YAML parser's events: plain data, the place of everything, and what is wrong.

The parser's own schema is not used: every value stays the text that was written, which is what
YAML 1.2 asks of a reader that knows no types. Repeated parts (anchors and aliases) and types
(tags) do not belong to the format, so nothing can grow while it is read. The pass stops at the
first thing that is not YAML at all; `engine.loader.syntax` says why.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any, NamedTuple

import yaml
from yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    StreamEndEvent,
)

from engine.codes import problem
from engine.loader import prose
from engine.loader.document import Data, Mark, Place, Places
from engine.loader.wording import HIDDEN, shown
from engine.problems import Problem, Span

Parser = Callable[[str], Any]
"""Makes an object with ``get_event`` out of a text."""

_IN_A_WORD = re.compile(r"(?<=[\w.!)\"'])\?|(?<=\w )\?(?=[\w,}\]])")
_QUESTION = "\ue0ff"  # private use: `HIDDEN` keeps it out of every file


class PurePython(yaml.SafeLoader):
    """PyYAML without libyaml, brought to read as libyaml does: a text in braces may ask."""

    def __init__(self, text: str) -> None:
        super().__init__(_IN_A_WORD.sub(_QUESTION, text))

    def get_event(self) -> Any:
        """Return the next event, its text as it was written."""
        event = super().get_event()  # type: ignore[no-untyped-call]
        if isinstance(event, ScalarEvent):
            event.value = event.value.replace(_QUESTION, "?")
        return event


FASTEST: Parser = getattr(yaml, "CSafeLoader", PurePython)

DEEPEST = 32
MOST_PROBLEMS = 100
"""A file that has more is not read to its end: its author has enough to do."""
LONGEST_TEXT = 16 * 1024


class Stopped(Exception):  # noqa: N818 - a limit reached is no error of the software
    """Reading stops at a limit; carries the problem."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.sentence)
        self.problem = problem


def too_deep(span: Span) -> Problem:
    """Return the problem of a place beyond the limit of depth."""
    sentence = f"Things stand inside things more than {DEEPEST} deep here."
    return problem("too-deep", span, sentence, "Move the inner part to a step of its own.")


class Text(NamedTuple):
    """Where a text stands and how it is written: ``""`` plain, a quote, ``|`` or ``>``."""

    start: Mark
    end: Mark
    style: str


class Pass:
    """One reading of one text; `data` and `problems` grow as it goes."""

    def __init__(self, path: str, lines: list[str], parser: Any, watched: frozenset[int]) -> None:
        self.data: Data | None = None
        self.top: Mark | None = None
        self.places: Places = {}
        self.problems: list[Problem] = []
        self.doubtful: set[int] = set()
        self.watched_texts: list[Text] = []
        self.last_text: Text | None = None
        self._path = path
        self._lines = lines
        self._next: Callable[[], Any] = parser.get_event
        self.watched = watched

    def run(self) -> None:
        """Read to the end of the text; raises `Stopped` and whatever the parser raises."""
        while not isinstance(event := self._next(), (DocumentStartEvent, StreamEndEvent)):
            pass
        if isinstance(event, DocumentStartEvent):
            self._whole(self._next())

    def _whole(self, event: Any) -> None:
        self.top = event.start_mark
        if not isinstance(event, MappingStartEvent):
            self._not_names(event)
            return
        self.data, places = self._value(event, 1)
        self.places = places or {}
        self._next()
        after = self._next()
        if not isinstance(after, StreamEndEvent):
            rest = "Keep one tree or procedure in a file; take out the line of dashes."
            self._found("two-in-one", after.start_mark, "A second part begins here.", rest)

    def _not_names(self, event: Any) -> None:
        """Report a file that does not hold names at the top; nothing at all is left to others."""
        what = "a list"
        if isinstance(event, ScalarEvent):
            text = self._text(event)
            self._next()
            if not text and not event.style:
                return
            mark: Any = event.start_mark
            line: int = mark.line
            tight = prose.tight_name(self._lines[line])
            if tight is not None:
                self._trap(line, tight)
                return
            what = "a text without a name"
        first = "Begin with `tree:`, `procedure:` or another name that tells what the file is."
        self._found("wrong-top", event.start_mark, f"The file begins with {what}.", first)

    def _found(self, code: str, mark: Any, sentence: str, fix: str = "") -> None:
        self._found_at(code, mark.line, mark.column, sentence, fix)

    def _found_at(self, code: str, line: int, column: int, sentence: str, fix: str) -> None:
        span = Span(self._path, line + 1, column + 1)
        found = problem(code, span, sentence, fix)
        if len(self.problems) > MOST_PROBLEMS:
            raise Stopped(found)
        self.problems.append(found)
        self.doubtful.add(line + 1)

    def _trap(self, line: int, trap: prose.Trap) -> None:
        self._found_at(trap.code, line, trap.column, trap.sentence, trap.fix)

    def _value(self, event: Any, depth: int) -> tuple[Data, Places | None]:
        """Return what begins with an event that is not a plain text, and the places in it."""
        if isinstance(event, ScalarEvent):
            return self._text(event), None
        if isinstance(event, AliasEvent):
            return self._marked(event), None
        if event.anchor or event.tag:
            self._marked(event)
        if depth > DEEPEST:
            mark = event.start_mark
            raise Stopped(too_deep(Span(self._path, mark.line + 1, mark.column + 1)))
        if isinstance(event, MappingStartEvent):
            return self._mapping(event, depth)
        return self._list(depth)

    def _mapping(self, start: Any, depth: int) -> tuple[Data, Places | None]:
        data: dict[str, Data] = {}
        places: Places = {}
        alone: list[Any] = []
        next_event = self._next
        while True:
            name = next_event()
            if type(name) is MappingEndEvent:
                break
            key = self._name(name, depth)
            event = next_event()
            mark = event.start_mark
            inside = None
            value: Data
            if type(event) is ScalarEvent:
                value = self._text(event)
                if not value and not event.style:
                    mark = name.start_mark
                    if self._nothing(name, event, start):
                        alone.append(name)
                        continue
            else:
                value, inside = self._value(event, depth + 1)
            if key is None:
                continue
            if key in data:
                self._twice(key, name, places[key])
                continue
            data[key] = value
            places[key] = Place(name.start_mark, mark, inside)
        if alone:
            return self._standing_alone(start, name, alone, data, places)
        return data, places

    def _list(self, depth: int) -> tuple[Data, Places | None]:
        data: list[Data] = []
        places: Places = {}
        next_event = self._next
        while True:
            event = next_event()
            if type(event) is SequenceEndEvent:
                return data, places
            inside = None
            value: Data
            if type(event) is ScalarEvent:
                value = self._text(event)
                if not value and not event.style:
                    self._found("nothing-given", event.start_mark, "There is nothing in this row.")
            else:
                value, inside = self._value(event, depth + 1)
                if type(event) is MappingStartEvent and self._is_pair(event):
                    value, inside = self._pair(event, value), None
            mark = event.start_mark
            places[len(data)] = Place(mark, mark, inside)
            data.append(value)

    def _text(self, event: Any) -> str:
        """Return a text as written, after the checks that every text gets."""
        value: str = event.value
        style: str = event.style or ""
        if event.anchor or event.tag:
            value = self._marked(event)
        if len(value) > LONGEST_TEXT // 4:
            self._long(event)
        if style == '"' and HIDDEN.search(value):
            self._escaped(event)
        end = event.end_mark.line
        if end in self.watched or event.start_mark.line != end:
            self.last_text = Text(event.start_mark, event.end_mark, style)
            self.watched_texts.append(self.last_text)
        return value

    def _name(self, event: Any, depth: int) -> str | None:
        """Return a name; None, and a problem, for what cannot be one."""
        if type(event) is ScalarEvent:
            name = self._text(event)
            if name:
                return name
            self._found("wrong-name", event.start_mark, "This colon has no name before it.")
        else:
            self._value(event, depth + 1)
            if not isinstance(event, AliasEvent):
                what = "Braces or brackets cannot be a name."
                fix = "Put the name in quotes if they belong to it."
                self._found("wrong-name", event.start_mark, what, fix)
        return None

    def _nothing(self, name: Any, value: Any, start: Any) -> bool:
        """Report a name with nothing after it; True for one in braces without even a colon."""
        if start.flow_style and not self._between(name.end_mark, value.start_mark).strip():
            return True
        if type(name) is not ScalarEvent:
            return False
        words = f"`{shown(name.value)}` has nothing after its colon."
        fix = "Write what belongs there, or take the name out."
        self._found("nothing-given", name.start_mark, words, fix)
        return False

    def _standing_alone(
        self, start: Any, end: Any, alone: list[Any], data: dict[str, Data], places: Places
    ) -> tuple[Data, Places | None]:
        """Report names in braces that have no colon: a comma or ``{name}`` in a text."""
        if data or len(alone) > 1:
            name = alone[0]
            words = shown(name.value) if type(name) is ScalarEvent else "…"
            sentence = f"A comma cuts a text in two: `{words}` stands alone in the braces."
            fix = "Put the text in quotes, or on a line of its own."
            self._found("comma-in-braces", name.start_mark, sentence, fix)
            return data, places
        first, last = start.start_mark, end.end_mark
        text = self._between(first, last)
        line = self._lines[first.line]
        end = last.column if last.line == first.line else len(line)
        self._trap(first.line, prose.braces_trap(line, first.column, first.column, end))
        return text, None

    def _twice(self, key: str, name: Any, first: Place) -> None:
        line = first.key.line + 1
        sentence = f"`{shown(key)}` stands here and on line {line}."
        self._found("duplicate-key", name.start_mark, sentence, "Keep one of the two.")

    def _marked(self, event: Any) -> str:
        """Report the mark of a repeated part or of a type; return the text it was meant as."""
        mark, end = event.start_mark, event.end_mark
        line = self._lines[mark.line]
        last = len(line.rstrip())
        if isinstance(event, (ScalarEvent, AliasEvent)) and end.line == mark.line:
            last = end.column
        text: str = line[mark.column : last]
        self._trap(mark.line, prose.text_start(text, mark.column, last))
        return text

    def _is_pair(self, event: Any) -> bool:
        """Tell ``[a: b]``, a name and a text where a list has its texts."""
        mark = event.start_mark
        return bool(event.flow_style) and self._lines[mark.line][mark.column] != "{"

    def _pair(self, event: Any, value: Data) -> Data:
        mark = event.start_mark
        text = ": ".join(f"{k}: {v}" for k, v in value.items()) if isinstance(value, dict) else ""
        colon = self._lines[mark.line].find(":", mark.column)
        trap = prose.colon_trap(text, max(colon, mark.column), mark.column, mark.column)
        self._trap(mark.line, trap)
        return text

    def _long(self, event: Any) -> None:
        size = len(event.value.encode("utf-8", "replace"))
        if size > LONGEST_TEXT:
            sentence = f"This text is {size // 1024} KiB long; the longest allowed is 16 KiB."
            fix = "Shorten it, or split it over several steps."
            self._found("too-long", event.start_mark, sentence, fix)

    def _escaped(self, event: Any) -> None:
        sentence = "A backslash in this text makes a character that cannot be seen."
        self._found("hidden-character", event.start_mark, sentence, "Write \\\\ for a backslash.")

    def _between(self, first: Mark, last: Mark) -> str:
        """Return what is written between two places."""
        if first.line == last.line:
            return self._lines[first.line][first.column : last.column]
        rows = [self._lines[first.line][first.column :]]
        rows += self._lines[first.line + 1 : last.line]
        rows.append(self._lines[last.line][: last.column] if last.line < len(self._lines) else "")
        return " ".join(row.strip() for row in rows)

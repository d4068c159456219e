"""Bytes of a file to plain data with places: every guard against what a file may hold.

Promises: any bytes whatever give a `Document`, never an exception; every problem of the writing
come out in one run, at most `MOST_PROBLEMS` of them; nothing of the file is expanded, so that
reading takes time in proportion to its size; every text in the data is as it was written.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import islice

import yaml

from engine import collector
from engine.codes import problem
from engine.loader import prose
from engine.loader.document import Document, Marks, Path
from engine.loader.parse import FASTEST, MOST_PROBLEMS, Parser, Pass, Stopped, Text
from engine.loader.syntax import Stop, explain, traps_below
from engine.loader.wording import HIDDEN, REPLACEMENT
from engine.problems import Problem, Span

LARGEST_FILE = 16 * 1024 * 1024
MOST_ENTRIES = 1_000_000
_MOST_MENDED = 50
_MOST_READ_AGAIN = 4_000_000
"""Characters read in all while mending; a large file gets its first problems only."""

_TAB_INDENT = re.compile(r"^ *\t[ \t]*(?=[^\s#])", re.MULTILINE)
_REMARK = re.compile(r" #")


def read(path: str, raw: bytes, parser: Parser = FASTEST) -> Document:
    """Return what a file says, with its places and its problems; ``path`` is for them only.

    ``parser`` makes the parser of a text: a loader class of PyYAML, in C or in Python.
    """
    text, problems = _decoded(path, raw)
    if text is not None and _entries_at_most(text) > MOST_ENTRIES:
        limit = "The file has more than a million lines, names and list entries."
        problems.append(problem("too-many", Span(path), limit, "Keep one tree in a file."))
        text = None
    if text is None:
        return Document(path, None, {(): Span(path)}, _listed(problems))
    with collector.paused():
        document = _read_text(path, text, parser)
    return replace(document, problems=_listed(problems, document.problems))


def _listed(*found: list[Problem] | tuple[Problem, ...]) -> tuple[Problem, ...]:
    problems = sorted({one for part in found for one in part})
    if len(problems) > MOST_PROBLEMS:
        last = problems[MOST_PROBLEMS - 1]
        more = f"{last.fix} There are more problems below this one; mend these first."
        problems = [*problems[: MOST_PROBLEMS - 1], replace(last, fix=more.strip())]
    return tuple(problems)


def _decoded(path: str, raw: bytes) -> tuple[str | None, list[Problem]]:
    """Return the text with line ends made alike and nothing hidden in it, or None."""
    if len(raw) > LARGEST_FILE:
        size = f"The file is {len(raw) / 1024 / 1024:.0f} MB; the largest allowed is 16 MB."
        return None, [problem("too-large", Span(path), size, "Keep one tree in a file.")]
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        sentence = "The file is saved as UTF-16, which is not read here."
        fix = "Save it as UTF-8 (in an editor: Save as, encoding UTF-8)."
        return None, [problem("not-utf-8", Span(path), sentence, fix)]
    problems: list[Problem] = []
    raw = raw.removeprefix(b"\xef\xbb\xbf")
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as error:
        problems.append(_bad_byte(path, raw, error.start))
        text = raw.decode("utf-8", "replace")
    if "\r" in text:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    if HIDDEN.search(text):
        problems += _hidden(path, text)
        if len(problems) > MOST_PROBLEMS:
            return None, problems
        text = HIDDEN.sub(REPLACEMENT, text)
    return text, problems


def _bad_byte(path: str, raw: bytes, at: int) -> Problem:
    begin = raw.rfind(b"\n", 0, at) + 1
    column = len(raw[begin:at].decode("utf-8", "replace")) + 1
    span = Span(path, raw.count(b"\n", 0, at) + 1, column)
    sentence = "A character here is not written as UTF-8."
    fix = "Save the file as UTF-8 (in an editor: Save as, encoding UTF-8)."
    return problem("not-utf-8", span, sentence, fix)


def _hidden(path: str, text: str) -> Iterator[Problem]:
    """Yield each place where a character cannot be seen, by its number only."""
    line, begin = 1, 0
    for match in islice(HIDDEN.finditer(text), MOST_PROBLEMS + 1):
        line += text.count("\n", begin, match.start())
        begin = match.start()
        span = Span(path, line, match.start() - text.rfind("\n", 0, match.start()))
        sentence = f"A character that cannot be seen stands here (U+{ord(match[0]):04X})."
        yield problem("hidden-character", span, sentence, "Delete it.")


def _entries_at_most(text: str) -> int:
    """Return a count of the marks at which entries begin or end, lines among them.

    A name has its colon; a value ends at a line's end or a comma, or is the first in its bracket;
    a row has its dash. Counting them takes a hundredth of the time of reading them.
    """
    return sum(text.count(mark) for mark in ("\n", ",", ":", "[", "{", "- "))


def _tabs(path: str, text: str) -> list[Problem]:
    """Return the problem of lines that begin with a tab: how far in they stand, nobody can tell."""
    found = list(_TAB_INDENT.finditer(text)) if "\t" in text else []
    if not found:
        return []
    first = found[0]
    span = Span(path, text.count("\n", 0, first.start()) + 1, first[0].index("\t") + 1)
    more = f" So do others, {len(found)} lines in all." if found[1:] else ""
    sentence = f"This line begins with a tab.{more}"
    fix = "Use spaces, two for each step in (an editor can change tabs to spaces)."
    return [problem("tab-indent", span, sentence, fix)]


def _read_text(path: str, text: str, parser: Parser) -> Document:
    """Read, mending one line at a time where its author's meaning is plain."""
    tabs = _tabs(path, text)
    text = text.replace("\t", " ")
    lines = text.split("\n")
    if tabs:
        tabs += islice(traps_below(path, lines, -1), MOST_PROBLEMS)
        return Document(path, None, {(): Span(path)}, tuple(tabs))
    problems: list[Problem] = []
    mended: set[int] = set()
    spent = 0
    while True:
        spent += len(text)
        reading, stop = _pass(path, text, lines, parser)
        if stop is None:
            break
        problems.append(stop.problem)
        for number, line in stop.mended.items():
            lines[number] = line
            mended.add(number + 1)
        text = "\n".join(lines)
        enough = len(problems) >= _MOST_MENDED or spent + len(text) > _MOST_READ_AGAIN
        if not stop.mended or enough:
            problems += islice(traps_below(path, lines, stop.line), MOST_PROBLEMS)
            break
    cut = _cut_short(path, lines, reading)
    problems += [*_without_cut(reading.problems, cut), *cut]
    mended |= {one.span.line for one in cut}
    return _document(path, reading, stop is None, problems, mended)


def _pass(path: str, text: str, lines: list[str], parser: Parser) -> tuple[Pass, Stop | None]:
    watched = frozenset[int]()
    if " #" in text:
        watched = frozenset(n for n, line in enumerate(lines) if _REMARK.search(line.lstrip()))
    reading = Pass(path, lines, parser(text), watched)
    try:
        reading.run()
    except yaml.MarkedYAMLError as error:
        return reading, explain(path, lines, error, reading.last_text)
    except Stopped as stopped:
        return reading, Stop(stopped.problem, stopped.problem.span.line - 1)
    return reading, None


def _cut_short(path: str, lines: list[str], reading: Pass) -> list[Problem]:
    """Return the remarks that may be a part of the text before them."""
    texts_by_line: dict[int, list[Text]] = {}
    for text in reading.watched_texts:
        for line in range(text.start.line, min(text.end.line + 1, len(lines))):
            if line in reading.watched:
                texts_by_line.setdefault(line, []).append(text)
    found = []
    for number in sorted(reading.watched):
        trap = _remark_on(lines[number], number, texts_by_line.get(number, []))
        if trap is not None:
            span = Span(path, number + 1, trap.column + 1)
            found.append(problem(trap.code, span, trap.sentence, trap.fix))
            if len(found) > MOST_PROBLEMS:
                break
    return found


def _remark_on(line: str, number: int, texts: list[Text]) -> prose.Trap | None:
    """Return the problem of a line's remark; texts are those that stand on the line."""
    for match in _REMARK.finditer(line, len(line) - len(line.lstrip())):
        column = match.end() - 1
        here = (number, column)
        if any((t.start.line, t.start.column) <= here < (t.end.line, t.end.column) for t in texts):
            continue
        before = len(line[:column].rstrip())
        for text in texts:
            if not text.style and (text.end.line, text.end.column) == (number, before):
                start = text.start.column if text.start.line == number else 0
                return prose.remark_trap(line, start, column)
        if line[before - 1] in ":-":
            return prose.remark_trap(line, column, column)
        return None
    return None


def _without_cut(problems: list[Problem], cut: list[Problem]) -> list[Problem]:
    """Leave out that nothing was given where all of it was taken for a remark."""
    lines = {one.span.line for one in cut}
    return [p for p in problems if p.code != "nothing-given" or p.span.line not in lines]


def _document(
    path: str, reading: Pass, whole: bool, problems: list[Problem], mended: set[int]
) -> Document:
    if whole and reading.data is None and not reading.problems:
        first = "Begin with `tree:`, `procedure:` or another name that tells what the file is."
        problems.append(problem("empty-file", Span(path), "There is nothing in this file.", first))
    marks: Mapping[Path, Span] = {(): Span(path)}
    if reading.top is not None:
        marks = Marks(path, reading.top, reading.places)
    doubtful = frozenset(mended | reading.doubtful)
    return Document(path, reading.data if whole else None, marks, tuple(problems), doubtful)
